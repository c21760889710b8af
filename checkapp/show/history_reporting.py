"""The reports of a history written into files: all worked out first, then each put in its place as a whole."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.review.summary import counted
from checkapp.rig.errors import CheckappError, printable
from checkapp.rig.writing import not_written, replace_file

if TYPE_CHECKING:
    from checkapp.history.analysis import History


class ReportNameWrong(CheckappError):
    """A report was to be written under a name that does not suit it."""


def write_reports(
    history: History, *, pdf: Path | None, xlsx: Path | None, csv_dir: Path | None, today: str, title: str
) -> list[str]:
    """Write the reports that are asked for; a line of words for each file.

    ``today`` and ``title`` are printed. A folder for the CSV files that is not there is made. `ReportNameWrong`: a
    name that does not end as it should; `FileNotWritten`: not where it was asked for.
    """
    _check_names(pdf, xlsx)
    found: list[tuple[Path, bytes, str]] = []
    if pdf is not None:
        found.append((pdf, *_pdf(history, today, title)))
    if xlsx is not None:
        from checkapp.history.report_xlsx import xlsx_report

        found.append((xlsx, xlsx_report(history, title), "the tables as a workbook, a sheet each"))
    if csv_dir is not None:
        from checkapp.history.report_csv import csv_files

        _make(csv_dir)
        for name, content in csv_files(history).items():
            rows = content.count(b"\r\n") - 1
            found.append((csv_dir / name, content, counted(rows, "row")))
    for path, content, _ in found:
        replace_file(path, content)
    return [f"{printable(str(path))}: {words}" for path, _, words in found]


def _pdf(history: History, today: str, title: str) -> tuple[bytes, str]:
    from checkapp.history.conclusions import is_empty
    from checkapp.history.report_pdf import pdf_report

    words = "one page, there is nothing to tell yet" if is_empty(history) else "conclusions, figures, tables, method"
    return pdf_report(history, today, title), words


def _check_names(pdf: Path | None, xlsx: Path | None) -> None:
    for path, ending, what in ((pdf, ".pdf", "PDF"), (xlsx, ".xlsx", "workbook")):
        if path is not None and path.suffix.lower() != ending:
            shown = printable(str(path))
            raise ReportNameWrong(f"--{ending[1:]} {shown}: not the name of a {what}; end it in {ending}")


def _make(folder: Path) -> None:
    try:
        folder.mkdir(exist_ok=True)
    except (OSError, ValueError) as error:
        raise not_written(folder, error) from None
