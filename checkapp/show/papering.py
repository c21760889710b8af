"""The picture and the paper of a review, into files."""

from pathlib import Path

from checkapp.review.summary import counted
from checkapp.rig.errors import CheckappError, printable
from checkapp.rig.writing import replace_file
from checkapp.show.reviewing import Reviewed


class WrongEnding(CheckappError):
    """A file whose name does not end like anything that can be written."""


def check_names(picture: Path | None, pdf: Path | None) -> None:
    """Refuse names before anything is written: `WrongEnding` when one does not end as it should, or both are one."""
    if picture is not None and picture.suffix.lower() not in (".png", ".pdf"):
        raise WrongEnding(f"--picture {printable(str(picture))}: no such kind of picture; end it in .png or .pdf")
    if pdf is not None and pdf.suffix.lower() != ".pdf":
        raise WrongEnding(f"--pdf {printable(str(pdf))}: not a PDF; end it in .pdf")
    if picture is not None and pdf is not None and picture.absolute() == pdf.absolute():
        raise WrongEnding(f"--picture and --pdf are both {printable(str(pdf))}; give each a name of its own")


def write_picture(found: Reviewed, out: Path) -> str:
    """Write the picture of a rig as PNG or, where the name ends in ``.pdf``, as PDF; what was written, in words.

    `FileNotWritten`: not where it was asked for.
    """
    from checkapp.page import fonts
    from checkapp.review.picture import PICTURE_PX, picture

    drawing = picture(found.rig, found.review, fonts.measure)
    if out.suffix.lower() == ".pdf":
        from checkapp.page.pdf import pdf_bytes

        replace_file(out, pdf_bytes([drawing], _title(found)))
        return f"{out}: the rig as a picture, one A4 page"
    from checkapp.page.png import png_bytes

    replace_file(out, png_bytes(drawing, PICTURE_PX))
    return f"{out}: the rig as a picture, {PICTURE_PX} pixels wide"


def write_paper(found: Reviewed, out: Path, date: str) -> str:
    """Write the paper of a rig as PDF; what was written, in words. ``date`` is printed on every page.

    `FileNotWritten`: not where it was asked for.
    """
    from checkapp.page import fonts
    from checkapp.page.pdf import pdf_bytes
    from checkapp.review.paper import paper

    sheets = paper(found.rig, found.review, fonts.measure, date)
    drawings = [sheet.drawing for sheet in sheets]
    replace_file(out, pdf_bytes(drawings, _title(found), [sheet.section for sheet in sheets]))
    return f"{out}: findings, stage plan, patch and line check sheets on {counted(len(sheets), 'page')}"


def _title(found: Reviewed) -> str:
    version = f", version {found.rig.version}" if found.rig.version is not None else ""
    return f"{printable(found.rig.name)}{version}"
