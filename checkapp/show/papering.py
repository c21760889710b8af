"""The picture and the paper of a review, into files."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.review.summary import counted
from checkapp.rig.errors import CheckappError, printable
from checkapp.rig.writing import replace_file
from checkapp.show.languages import in_language
from checkapp.show.reviewing import Reviewed, reviewed
from checkapp.tongue import language as spoken
from checkapp.tongue import tr
from checkapp.tongue.catalogue import ENGLISH

if TYPE_CHECKING:
    from checkapp.page.drawing import Drawing
    from checkapp.review.report import Review

_MOST_NAMED = 4


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


def write_picture(found: Reviewed, out: Path, language: str = ENGLISH) -> str:
    """Write the picture of a rig as PNG or, where the name ends in ``.pdf``, as PDF; what was written, in words.

    ``language`` is that of the picture (ISO 639-1). `UnknownLanguage`; `FileNotWritten`: not where it was asked for.
    """
    from checkapp.page import fonts
    from checkapp.review.stage.picture import PICTURE_PX, picture

    with in_language(language):
        drawing, title = picture(found.rig, _said(found), fonts.measure), _title(found)
    if out.suffix.lower() == ".pdf":
        from checkapp.page.pdf import pdf_bytes

        replace_file(out, pdf_bytes([drawing], title))
        return f"{out}: the rig as a picture, one A4 page{_missing([drawing])}"
    from checkapp.page.png import png_bytes

    replace_file(out, png_bytes(drawing, PICTURE_PX))
    return f"{out}: the rig as a picture, {PICTURE_PX} pixels wide{_missing([drawing])}"


def write_paper(found: Reviewed, out: Path, date: str, language: str = ENGLISH) -> str:
    """Write the paper of a rig as PDF; what was written, in words. ``date`` is printed on every page.

    ``language`` is that of the paper (ISO 639-1). `UnknownLanguage`; `FileNotWritten`: not where it was asked for.
    """
    from checkapp.page import fonts
    from checkapp.page.pdf import pdf_bytes
    from checkapp.review.paper.pages import paper

    with in_language(language):
        sheets, title = paper(found.rig, _said(found), fonts.measure, date), _title(found)
    drawings = [sheet.drawing for sheet in sheets]
    replace_file(out, pdf_bytes(drawings, title, [sheet.section for sheet in sheets]))
    pages = counted(len(sheets), "page")
    return f"{out}: findings, stage plan, patch and line check sheets on {pages}{_missing(drawings)}"


def _said(found: Reviewed) -> "Review":
    """The review in the language spoken now."""
    return found.review if found.language == spoken() else reviewed(found.rig)


def _missing(drawings: "Sequence[Drawing]") -> str:
    """Which words have characters that no typeface has, if any."""
    from checkapp.page import fonts
    from checkapp.page.drawing import Words

    words = [shape for drawing in drawings for shape in drawing.shapes if isinstance(shape, Words)]
    texts = dict.fromkeys(
        printable(shape.text, 30) for shape in words if not fonts.has_glyphs(shape.text, fonts.plain_face())
    )
    return f"; {without_letters(list(texts))}" if texts else ""


def without_letters(texts: Sequence[str]) -> str:
    """That these texts, at least one, have characters that no typeface has; of many only the first are named."""
    named = ", ".join(texts[:_MOST_NAMED])
    if len(texts) > _MOST_NAMED:
        named = tr("{names} and {count} more", names=named, count=len(texts) - _MOST_NAMED)
    return tr("printed as a box, for want of a letter form: {texts}", texts=named)


def _title(found: Reviewed) -> str:
    name = printable(found.rig.name)
    version = found.rig.version
    return name if version is None else tr("{rig}, version {version}", rig=name, version=version)
