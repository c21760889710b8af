"""Tags of a rig onto a label stock."""

from collections.abc import Sequence
from pathlib import Path

from checkapp.review.summary import counted
from checkapp.rig.planfile import load_plan
from checkapp.show import places


def write_tags(plan: Path, out: Path, stock: str = "", items: Sequence[str] | None = None) -> str:
    """Write the tags of a rig, or of the items named, to a PDF; what was written, in words.

    ``stock`` is the name of a stock in the user's ``labels`` folder or among those that came with the program.
    """
    from checkapp.tags.label import labels_of
    from checkapp.tags.sheet import write_pdf
    from checkapp.tags.stock import DEFAULT_STOCK, find_stock

    rig = load_plan(plan)
    labels = labels_of(rig, items)
    found = find_stock(stock or DEFAULT_STOCK, places.folders("labels"))
    version = f", version {rig.version}" if rig.version is not None else ""
    written = write_pdf(labels, found, out, title=f"{rig.name}{version}")
    said = f"{out}: {counted(written.labels, 'tag')} on {counted(written.pages, 'page')}"
    if written.without_glyphs:
        said += f"; printed as a box, for want of a letter form: {' '.join(written.without_glyphs)}"
    return said
