"""Tags of a rig onto a label stock."""

from collections.abc import Sequence
from pathlib import Path

from checkapp.rig.planfile import load_plan
from checkapp.show import places

DEFAULT_STOCK = "sheet-a4"


def write_tags(plan: Path, out: Path, stock: str = "", items: Sequence[str] | None = None) -> str:
    """Write the tags of a rig, or of the items named, to a PDF; what was written, in words.

    ``stock`` is the name of a stock in the user's ``labels`` folder or among those that came with the program.
    """
    from checkapp.tags.label import labels_of
    from checkapp.tags.sheet import write_pdf
    from checkapp.tags.stock import find_stock

    rig = load_plan(plan)
    labels = labels_of(rig, items)
    found = find_stock(stock or DEFAULT_STOCK, places.folders("labels"))
    written = write_pdf(labels, found, out, title=f"{rig.name}, tags")
    return f"{out}: {written.labels} tags on {written.pages} page{'s' if written.pages != 1 else ''}"
