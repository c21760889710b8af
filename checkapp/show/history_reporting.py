"""The reports of a history written into files: all worked out and written first, then put in their places as one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.review.summary import counted
from checkapp.rig.errors import CheckappError, printable
from checkapp.rig.writing import not_written, replace_files
from checkapp.show.languages import in_language
from checkapp.tongue.catalogue import ENGLISH

if TYPE_CHECKING:
    from checkapp.history.analysis import History


class ReportNameWrong(CheckappError):
    """A report was to be written under a name that does not suit it."""


def write_reports(
    history: History,
    *,
    pdf: Path | None,
    xlsx: Path | None,
    csv_dir: Path | None,
    today: str,
    title: Callable[[], str],
    language: str = ENGLISH,
) -> list[str]:
    """Write the reports that are asked for; a line of words for each file.

    ``today`` and the ``title``, which is asked for in the language of each, are printed. What is printed on paper is in
    that ``language`` (ISO 639-1), tables are data and English. A folder for the CSV files that is not there is made.
    `ReportNameWrong`: a name that does not end as it should; `UnknownLanguage`; `FileNotWritten`: not where it was
    asked for, or no room. After an error those that were there before are as they were.
    """
    _check_names(pdf, xlsx)
    found: dict[Path, tuple[bytes, str]] = {}
    if pdf is not None:
        with in_language(language):
            content = _pdf(history, today, title())
        found[pdf] = content, _words(history, "one page", "conclusions, figures, tables, method")
    if xlsx is not None:
        found[xlsx] = _xlsx(history, title())
    if csv_dir is not None:
        found |= _csv(history, csv_dir)
    with nullcontext() if csv_dir is None else _folder(csv_dir):
        replace_files({path: content for path, (content, _) in found.items()})
    return [f"{printable(str(path))}: {words}" for path, (_, words) in found.items()]


def _pdf(history: History, today: str, title: str) -> bytes:
    from checkapp.history.report_pdf import pdf_report

    return pdf_report(history, today, title)


def _xlsx(history: History, title: str) -> tuple[bytes, str]:
    from checkapp.history.report_xlsx import xlsx_report

    words = _words(history, "a workbook of empty tables", "the tables as a workbook, a sheet each")
    return xlsx_report(history, title), words


def _words(history: History, empty: str, full: str) -> str:
    from checkapp.history.conclusions import is_empty

    return f"{empty}, there is nothing to tell yet" if is_empty(history) else full


def _csv(history: History, folder: Path) -> dict[Path, tuple[bytes, str]]:
    from checkapp.history.report_csv import csv_files

    files = csv_files(history)
    return {folder / name: (content, counted(content.count(b"\r\n") - 1, "row")) for name, content in files.items()}


def _check_names(pdf: Path | None, xlsx: Path | None) -> None:
    for path, ending, what in ((pdf, ".pdf", "PDF"), (xlsx, ".xlsx", "workbook")):
        if path is not None and path.suffix.lower() != ending:
            shown = printable(str(path))
            raise ReportNameWrong(f"--{ending[1:]} {shown}: not the name of a {what}; end it in {ending}")


@contextmanager
def _folder(folder: Path) -> Iterator[None]:
    """A folder that is there; where it was made for the block and that fails, it is gone again."""
    is_new = not folder.exists()
    try:
        folder.mkdir(exist_ok=True)
    except (OSError, ValueError) as error:
        raise not_written(folder, error) from None
    try:
        yield
    except CheckappError:
        if is_new:
            folder.rmdir()
        raise
