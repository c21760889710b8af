"""View data of the file chooser and of the preview of a file."""

from dataclasses import replace

from checkapp.show.browsing import Entry, FolderView, QuickPlace
from checkapp.show.incoming_views import (
    ColumnRow,
    ColumnView,
    IncomingView,
    KeepView,
    MeaningRow,
    NamingView,
    ReadLine,
    SheetPart,
    SheetRow,
)
from checkapp.show.views import FindingRow

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

COLUMNS = (
    ColumnRow("ch", "A  Ch", "number of the line"),
    ColumnRow("name", "B  Name", "name"),
    ColumnRow("mic", "C  Mic", "microphone or DI"),
    ColumnRow("tape", "F  Colour of tape", "not understood: left out", "look"),
)
LINES = (
    ReadLine("1", "Ledge Stage, input list", "above the list"),
    ReadLine("2", "Ch | Name | Mic | 48V | Colour of tape", "names the columns"),
    ReadLine("3", "Drums", "heading of a section"),
    ReadLine("4", "in 1  Kick", "DESK in 1, mic, Drums, dynamic", 'level mic, guessed from "dynamic"'),
    ReadLine("5", "in 2  Snare", "DESK in 2, mic, phantom, Drums, condenser", 'level mic, guessed from "condenser"'),
    ReadLine("6", "in 3  Keys L", "DESK in 3, mic, Drums, DI", 'level mic, guessed from "DI"'),
    ReadLine("", "in 4  Keys R", "DESK in 4, mic, Drums, DI"),
    ReadLine("7", "no | Spare", "left out", "", "look"),
)
LIST = IncomingView(
    kind="list",
    title="Ledge input list.xlsx",
    path="/lists/ledge.xlsx",
    summary="4 inputs, 0 outputs, 1 row left out",
    accept="take it",
    said=("Level guessed from the source word in 3 rows, which say so.",),
    look=(
        'Inputs: column F "Colour of tape" not understood: left out',
        'row 7: "no" is no number of a line: left out',
    ),
    sheets=(SheetRow("Day 2", "Day 2", "also looks like a list, with 24 lines"),),
    parts=(SheetPart("Inputs", COLUMNS, (), LINES),),
)
PLAN = IncomingView(
    kind="plan",
    title="barn.toml",
    path="/lists/barn.toml",
    summary="Barn: 24 inputs, 8 outputs, 3 boxes, plan 1A2B",
    accept="open it",
    said=("The review: 1 caution.", "It is copied to your plans as barn.toml, so that it is here without the stick."),
    findings=(FindingRow("caution", "cable-impedance", "HP12", "75 ohm, the link takes 88 to 132 ohm.", "Take HP13."),),
)
COLUMN = ColumnView(
    "tape",
    "F  Colour of tape",
    ("red", "blue"),
    (MeaningRow("number", "number of the line", True), MeaningRow("name", "name", False)),
)
NAMING = NamingView(
    "What is it to be?",
    "Ledge input list",
    "a rig of its own",
    "put it on the open rig",
    "Put on Quarry Nights, the list goes on the boxes that stand there, with the fewest re-plugs. That makes a new "
    "plan; the old one stays as it is.",
)


def long_views(long):
    """Screens with more words than anybody has."""
    many = tuple(Entry("sheet", f"{n} {long}.xlsx", f"spreadsheet, {long}", f"/lists/{n}.xlsx") for n in range(1, 40))
    places = tuple(QuickPlace(f"{n} {long}"[:16], f"/{n}") for n in range(6))
    row = ReadLine("5000", long, long, long, "look")
    part = SheetPart(long, (replace(COLUMNS[0], title=long, meaning=long),) * 3, (long,), (row,) * 4)
    meaning = MeaningRow("number", long, True)
    return {
        "incoming, long": (
            "incoming",
            replace(
                LIST, title=long, said=(long,), look=(long,) * 2, sheets=(SheetRow(long, long, long),), parts=(part,)
            ),
        ),
        "column, long": ("column", replace(COLUMN, title=long, samples=(long,) * 3, meanings=(meaning,) * 4)),
        "naming, long": (
            "naming",
            replace(NAMING, title=long, name=long, about=f"{long} {long}", said=long),
        ),
        "files, long": ("files", replace(FOLDER, title=long, path=f"/{long}" * 5, files=many, places=places)),
    }


def views():
    """Screens as they mostly are."""
    return {
        "files": ("files", FOLDER),
        "files, empty": ("files", EMPTY_FOLDER),
        "incoming": ("incoming", LIST),
        "incoming, plan": ("incoming", PLAN),
        "columns": ("column", replace(LIST, kept=("Ledge", "Wednesday club"), can_keep=True)),
        "column": ("column", COLUMN),
        "keepcolumns": ("keepcolumns", KeepView("Ledge input list", "The next list like it is read with one tap.")),
        "naming": ("naming", NAMING),
        "naming, own": ("naming", replace(NAMING, onto="", about="", said="Barn is here already; Barn 2 is free.")),
    }
