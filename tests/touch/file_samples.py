"""View data of the file chooser and of the preview of a file."""

from dataclasses import replace

from checkapp.show.browsing import Entry, FolderView, QuickPlace

FOLDER = FolderView(
    title="Lists",
    path="/home/crew/Documents/Lists",
    up="/home/crew/Documents",
    folders=(Entry("folder", "Last summer", "", "/home/crew/Documents/Lists/Last summer"),),
    files=(
        Entry("sheet", "Ledge input list.xlsx", "spreadsheet, 24 kB, today 14:05", "/lists/ledge.xlsx"),
        Entry("plan", "barn.toml", "plan, 9 kB, 2031-04-30", "/lists/barn.toml"),
    ),
    places=(QuickPlace("Downloads", "/home/crew/Downloads"), QuickPlace("Documents", "/home/crew/Documents", True)),
    left_out="3 other files are not shown: they are no spreadsheets and no plans.",
)
EMPTY_FOLDER = FolderView("/", "/", "", (), ())


def long_views(long):
    """Screens with more words than anybody has."""
    many = tuple(Entry("sheet", f"{n} {long}.xlsx", f"spreadsheet, {long}", f"/lists/{n}.xlsx") for n in range(1, 40))
    places = tuple(QuickPlace(f"{n} {long}", f"/{n}") for n in range(6))
    return {
        "files, long": ("files", replace(FOLDER, title=long, path=f"/{long}" * 5, files=many, places=places)),
    }


def views():
    """Screens as they mostly are."""
    return {"files": ("files", FOLDER), "files, empty": ("files", EMPTY_FOLDER)}
