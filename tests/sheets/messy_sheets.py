"""Lists as bands and festivals send them, of our own making, and what each of them has to become.

A case is a workbook: sheets of rows of cells as somebody typed them. Lines are expected in short: number, name, and
what differs from an input at microphone level on the desk port of its own number.
"""

import datetime
from dataclasses import dataclass, field
from typing import Any

Cell = Any


def line(number, name, level="mic", *, phantom=False, zone="", stand="", note="", port=None, way="in"):
    """A line as it is expected."""
    level = None if way == "out" else level
    return (f"{way} {number}", name, level, phantom, zone, stand, note, port or f"DESK {way} {number}")


def out(number, name, **more):
    """An output as it is expected."""
    return line(number, name, way="out", **more)


@dataclass(frozen=True)
class Tab:
    """A sheet of a case: hidden rows and merged ranges count from 1, as spreadsheet programs do."""

    rows: list[list[Cell]]
    name: str = "Sheet1"
    hidden: frozenset[int] = frozenset()
    merged: tuple[str, ...] = ()


@dataclass(frozen=True)
class Case:
    """A list, the lines that it has to become, and words of all that has to be called unclear, in order."""

    id: str
    tabs: list[Tab]
    lines: list[tuple]
    unclear: list[str] = field(default_factory=list)
    maps: dict[str, str] = field(default_factory=dict)
    sign: str = ","
    encoding: str = "utf-8"
    csv: bool = True
    """Whether a CSV file can say the same: one sheet, nothing hidden or merged."""


def one(id, rows, lines, unclear=(), **more):
    """A case of one sheet."""
    tab = {key: more.pop(key) for key in ("name", "hidden", "merged") if key in more}
    more.setdefault("csv", "hidden" not in tab and "merged" not in tab)
    return Case(id, [Tab(rows, **tab)], lines, list(unclear), **more)


CASES = [
    one(
        "plain",
        [
            ["Ch", "Name", "Mic", "48V", "Stand"],
            [1, "Kick", "dynamic", "", "short"],
            [2, "Hat", "condenser", "x", "tall"],
        ],
        [line(1, "Kick", stand="short", note="dynamic"), line(2, "Hat", phantom=True, stand="tall", note="condenser")],
    ),
    one(
        "titles above",
        [
            ["Brass at Low Tide"],
            ["Input list, version 4"],
            ["Contact: the van"],
            [],
            ["Please bring two stools."],
            ["#", "Instrument", "Mic / DI"],
            [1, "Tuba", "clip"],
            [2, "Horn", "clip"],
        ],
        [line(1, "Tuba", note="clip"), line(2, "Horn", note="clip")],
        sign=";",
        encoding="cp1252",
    ),
    one(
        "German",
        [
            ["Kanal", "Bezeichnung", "Mikrofon", "Phantomspeisung", "Stativ", "Bemerkung", "Ort"],
            ["1", "Große Trommel", "Grenzfläche", "ja", "", "Öffnung vorn", "Bühne links"],
            ["2", "Klavier", "Kondensator", "nein", "groß", "", "Mitte"],
        ],
        [
            line(1, "Große Trommel", phantom=True, zone="Bühne links", note="Grenzfläche; Öffnung vorn"),
            line(2, "Klavier", stand="groß", zone="Mitte", note="Kondensator"),
        ],
        sign=";",
        encoding="cp1252",
    ),
    one(
        "French",
        [
            ["Voie", "Désignation", "Micro", "Alim. fantôme", "Pied", "Remarques"],
            [1, "Grosse caisse", "dynamique", "non", "petit", ""],
            [2, "Caisse claire", "dynamique", "", "petit", "côté cour"],
            [3, "Contrebasse", "statique", "oui", "", ""],
        ],
        [
            line(1, "Grosse caisse", stand="petit", note="dynamique"),
            line(2, "Caisse claire", stand="petit", note="dynamique; côté cour"),
            line(3, "Contrebasse", phantom=True, note="statique"),
        ],
        sign=";",
        encoding="utf-8-sig",
    ),
    one(
        "Spanish",
        [
            ["Canal", "Fuente", "Micrófono", "Phantom", "Soporte", "Observaciones"],
            [1, "Cajón", "dinámico", "no", "bajo", ""],
            [2, "Guitarra española", "condensador", "sí", "alto", "muy suave"],
        ],
        [
            line(1, "Cajón", stand="bajo", note="dinámico"),
            line(2, "Guitarra española", phantom=True, stand="alto", note="condensador; muy suave"),
        ],
        encoding="utf-16",
        sign="\t",
    ),
    one(
        "Italian",
        [
            ["Canale", "Strumento", "Microfono", "48V", "Asta", "Note"],
            [1, "Fisarmonica", "condensatore", "si", "giraffa", ""],
            [2, "Voce", "dinamico", "", "dritta", "anello rosso"],
        ],
        [
            line(1, "Fisarmonica", phantom=True, stand="giraffa", note="condensatore"),
            line(2, "Voce", stand="dritta", note="dinamico; anello rosso"),
        ],
    ),
    one(
        "Dutch",
        [
            ["Kanaal", "Naam", "Microfoon", "Fantoomvoeding", "Statief", "Opmerkingen", "Plaats"],
            [1, "Draailier", "clip", "ja", "", "zacht", "links"],
            [2, "Zang", "dynamisch", "nee", "hoog", "", "midden"],
        ],
        [
            line(1, "Draailier", phantom=True, zone="links", note="clip; zacht"),
            line(2, "Zang", zone="midden", stand="hoog", note="dynamisch"),
        ],
    ),
    one(
        "sections",
        [
            ["Ch", "Name"],
            ["DRUMS"],
            [1, "Kick"],
            [2, "Snare"],
            [],
            ["", "Back line"],
            [3, "Bass"],
            ["-- VOCALS --"],
            [4, "Lead"],
        ],
        [
            line(1, "Kick", zone="DRUMS"),
            line(2, "Snare", zone="DRUMS"),
            line(3, "Bass", zone="Back line"),
            line(4, "Lead", zone="VOCALS"),
        ],
    ),
    one(
        "merged sections",
        [["Ch", "Name", "Mic", "Stand"], ["Strings"], [1, "Viola", "clip", ""], ["Winds"], [2, "Shawm", "dyn", "tall"]],
        [line(1, "Viola", zone="Strings", note="clip"), line(2, "Shawm", zone="Winds", stand="tall", note="dyn")],
        merged=("A2:D2", "A4:D4"),
    ),
    one(
        "merged title",
        [["Night of the Reeds", "", "", ""], ["Ch", "Name", "Mic", "48V"], [1, "Oboe", "cond", "✓"]],
        [line(1, "Oboe", phantom=True, note="cond")],
        merged=("A1:D1",),
    ),
    one(
        "a zone column goes before the section",
        [["Ch", "Name", "Position"], ["Choir"], [1, "Alto", ""], [2, "Organ", "Gallery"]],
        [line(1, "Alto", zone="Choir"), line(2, "Organ", zone="Gallery")],
    ),
    one(
        "ranges",
        [["Ch", "Name", "Mic"], ["1-4", "Choir", "condenser"], ["5 - 6", "Toms 1-2", "clip"], [7, "Gong", "dyn"]],
        [
            *(line(at, f"Choir {at}", note="condenser") for at in range(1, 5)),
            line(5, "Toms 1", note="clip"),
            line(6, "Toms 2", note="clip"),
            line(7, "Gong", note="dyn"),
        ],
    ),
    one(
        "stereo pairs",
        [
            ["Ch", "Name", "Mic"],
            ["1/2", "Overheads", "condenser"],
            ["3/4", "Keys L/R", "DI"],
            ["5+6", "Room 1/2", "condenser"],
            ["7-8", "Playback stereo", "laptop"],
            ["9 & 10", "Click (L/R)", "laptop"],
        ],
        [
            line(1, "Overheads L", note="condenser"),
            line(2, "Overheads R", note="condenser"),
            line(3, "Keys L", note="DI"),
            line(4, "Keys R", note="DI"),
            line(5, "Room 1", note="condenser"),
            line(6, "Room 2", note="condenser"),
            line(7, "Playback L", "line", note="laptop"),
            line(8, "Playback R", "line", note="laptop"),
            line(9, "Click L", "line", note="laptop"),
            line(10, "Click R", "line", note="laptop"),
        ],
    ),
    one(
        "numbers that a spreadsheet program made dates of",
        [["Ch", "Name"], [datetime.date(2031, 1, 2), "Piano"], [datetime.date(2031, 3, 6), "Bells"]],
        [
            line(1, "Piano L"),
            line(2, "Piano R"),
            *(line(3 + at, f"Bells {1 + at}") for at in range(4)),
        ],
    ),
    one(
        "numbers as text",
        [["Ch.", "Name"], ["1", "A"], ["'2", "B"], ["03", "C"], ["Ch 4", "D"], ["CH05", "E"], ["6.", "F"], ["#7", "G"]],
        [line(1, "A"), line(3, "C"), line(4, "D"), line(5, "E"), line(6, "F"), line(7, "G")],
        ['"\'2" is no number'],
    ),
    one(
        "whole numbers written as fractions",
        [["Ch", "Name"], [1.0, "A"], [2.0, "B"], ["3.0", "C"], ["4,0", "D"], [4.5, "E"]],
        [line(1, "A"), line(2, "B"), line(3, "C"), line(4, "D")],
        ['"4.5" is no number'],
    ),
    one(
        "duplicate numbers",
        [["Ch", "Name"], [1, "Kick"], [2, "Snare"], [2, "Snare under"], [3, "Hat"], ["3/4", "Toms"]],
        [line(1, "Kick"), line(2, "Snare"), line(3, "Hat"), line(4, "Toms R")],
        ["in 2 is taken by row 3", "in 3 is taken by row 5"],
    ),
    one(
        "hidden rows",
        [["Ch", "Name"], [1, "Kick"], [2, "Old snare"], [2, "New snare"], [], [3, "Hat"]],
        [line(1, "Kick"), line(2, "New snare"), line(3, "Hat")],
        ["a hidden row"],
        hidden=frozenset({3, 5}),
    ),
    one(
        "totals below",
        [["Ch", "Name", "48V"], [1, "Kick", ""], [2, "Hat", "x"], [], ["Total", "", 1], ["", "Total inputs: 2"]],
        [line(1, "Kick"), line(2, "Hat", phantom=True)],
    ),
    one(
        "totals in other languages",
        [["Nr", "Name", "Mikrofon"], [1, "Zither", "Kondensator"], ["Summe", "", "1"], ["Gesamt:", 1], ["Anzahl", 1]],
        [line(1, "Zither", note="Kondensator")],
    ),
    one(
        "phantom in all hands",
        [
            ["Ch", "Name", "+48V"],
            *(
                [at, f"In {at}", text]
                for at, text in enumerate(
                    [
                        "48V",
                        "+48",
                        "x",
                        "X",
                        "yes",
                        "P48",
                        "ja",
                        "oui",
                        "si",
                        "sí",
                        "48",
                        "✓",
                        "on",
                        True,
                        "+48 V",
                        "Y",
                    ],
                    1,
                )
            ),
            *(
                [at, f"In {at}", text]
                for at, text in enumerate(["", "no", "nein", "non", "-", "off", False, "nee", "n"], 17)
            ),
        ],
        [line(at, f"In {at}", phantom=at <= 16) for at in range(1, 26)],
    ),
    one(
        "phantom that nobody understands",
        [["Ch", "Name", "Phantom"], [1, "Harp", "ask Kay"], [2, "Lute", "?"]],
        [line(1, "Harp"), line(2, "Lute")],
        ['phantom "ask Kay" not understood', 'phantom "?" not understood'],
    ),
    one(
        "phantom in the source column",
        [["Ch", "Name", "Mic"], [1, "Flute", "condenser 48V"], [2, "Drum", "ribbon, no 48V"], [3, "Bell", "dyn"]],
        [
            line(1, "Flute", phantom=True, note="condenser 48V"),
            line(2, "Drum", note="ribbon, no 48V"),
            line(3, "Bell", note="dyn"),
        ],
    ),
    one(
        "phantom asked for beside its own blank column",
        [["Ch", "Name", "Mic", "48V"], [1, "Flute", "condenser +48V", ""]],
        [line(1, "Flute", note="condenser +48V")],
        ["the source asks for it"],
    ),
    one(
        "levels written",
        [["Ch", "Name", "Level"], [1, "Kick", "Mic"], [2, "Tape", "LINE"], [3, "Bass", "Hi-Z"], [4, "Saw", "loud"]],
        [line(1, "Kick"), line(2, "Tape", "line"), line(3, "Bass", "instrument"), line(4, "Saw")],
        ['level "loud" is none of'],
    ),
    one(
        "levels from the source",
        [
            ["Ch", "Name", "Source"],
            [1, "Bass", "Active DI"],
            [2, "Tracks L", "Laptop"],
            [3, "Guitar", "pickup"],
            [4, "Voice", "handheld"],
            [5, "Sitar", "QX-57"],
        ],
        [
            line(1, "Bass", note="Active DI"),
            line(2, "Tracks L", "line", note="Laptop"),
            line(3, "Guitar", "instrument", note="pickup"),
            line(4, "Voice", note="handheld"),
            line(5, "Sitar", note="QX-57"),
        ],
    ),
    one(
        "boxes in one column",
        [
            ["Ch", "Name", "Stage box"],
            [1, "Kick", "SB1-1"],
            [2, "Snare", "SB1/2"],
            [3, "Hat", "SB2 in 4"],
            [4, "Pod", ""],
        ],
        [
            line(1, "Kick", port="SB1 in 1"),
            line(2, "Snare", port="SB1 in 2"),
            line(3, "Hat", port="SB2 in 4"),
            line(4, "Pod"),
        ],
    ),
    one(
        "boxes in two columns",
        [["Box", "Port", "Ch", "Name"], ["A", 1, 1, "Kick"], ["A", 2, 2, "Snare"], ["B", "In 3", 3, "Keys"]],
        [line(1, "Kick", port="A in 1"), line(2, "Snare", port="A in 2"), line(3, "Keys", port="B in 3")],
    ),
    one(
        "boxes under a heading of two rows",
        [["Ch", "Name", "Stage box", ""], ["", "", "Box", "Port"], [1, "Kick", "DRM", 1], [2, "Snare", "DRM", 2]],
        [line(1, "Kick", port="DRM in 1"), line(2, "Snare", port="DRM in 2")],
        merged=("C1:D1", "A1:A2", "B1:B2"),
    ),
    one(
        "boxes that cannot be",
        [
            ["Ch", "Name", "Box"],
            [1, "Kick", "the one beside the big door 4"],
            [2, "Snare", "A1"],
            [3, "Hat", "A1"],
            [4, "Tom", "left"],
        ],
        [line(1, "Kick"), line(2, "Snare", port="A in 1"), line(3, "Hat"), line(4, "Tom")],
        ["not understood: put on the desk", "A in 1 is taken by in 2", 'port "left" not understood'],
    ),
    one(
        "a range of lines on a range of ports",
        [["Ch", "Name", "Box"], ["1-4", "Choir", "SR 5-8"], ["5/6", "Piano", "SR 9"]],
        [
            *(line(at, f"Choir {at}", port=f"SR in {at + 4}") for at in range(1, 5)),
            line(5, "Piano L", port="SR in 9"),
            line(6, "Piano R", port="SR in 10"),
        ],
    ),
    one(
        "unused numbers",
        [["Ch", "Name", "Mic"], [1, "Kick", "dyn"], [2, "", ""], [3, "-", "-"], [4, "", "spare dyn"], [5, "", ""]],
        [line(1, "Kick", note="dyn"), line(4, "spare dyn")],
    ),
    one(
        "lines without numbers",
        [
            ["Ch", "Name", "Mic"],
            [1, "Kick", "dyn"],
            ["", "Mystery", "dyn"],
            ["tbc", "Guest", "dyn"],
            [2, "Hat", "cond"],
        ],
        [line(1, "Kick", note="dyn"), line(2, "Hat", note="cond")],
        ["no number", '"tbc" is no number'],
    ),
    one(
        "no column of numbers",
        [["Instrument", "Mic"], ["Fiddle", "clip"], ["Bodhran", "dyn"]],
        [line(1, "Fiddle", note="clip"), line(2, "Bodhran", note="dyn")],
    ),
    one(
        "no headings",
        [[1, "Kick", "dyn"], [2, "Snare", "dyn"], [3, "Hat", "cond"]],
        [line(1, "Kick"), line(2, "Snare"), line(3, "Hat")],
        ["no row names the columns", "column C: left out"],
    ),
    one(
        "columns nobody knows",
        [["Ch", "Name", "Colour", "VCA", "Mood"], [1, "Kick", "red", 3, "angry"], [2, "Hat", "red", 3, "calm"]],
        [line(1, "Kick"), line(2, "Hat")],
        ['"Mood" not understood'],
    ),
    one(
        "columns told",
        [["Strip", "Was immer", "Quelle", "Saft"], [1, "Egal", "Geige", "ja"], [2, "Egal", "Cello", ""]],
        [line(1, "Geige", phantom=True), line(2, "Cello")],
        maps={"Strip": "number", "Quelle": "name", "Saft": "phantom", "Was immer": "ignore"},
    ),
    one(
        "a note in a column without a heading",
        [["Ch", "Name"], [1, "Kick", "who wrote this"], [2, "Hat"]],
        [line(1, "Kick"), line(2, "Hat")],
        ['C "who wrote this": in a column without a heading'],
    ),
    one(
        "text that looks like more than text",
        [
            ["Ch", "Name", "Note"],
            [1, "-1+1", "+SUM(A1)"],
            [2, 'The "Thing"', "back\\slash"],
            [3, "[[input]]", "# no comment"],
            [4, "日本の笛", "naïve – “quoted”"],
            [5, "@cmd", "a = true"],
            [6, "  Spaced   out ", "two\nlines"],
        ],
        [
            line(1, "-1+1", note="+SUM(A1)"),
            line(2, 'The "Thing"', note="back\\slash"),
            line(3, "[[input]]", note="# no comment"),
            line(4, "日本の笛", note="naïve – “quoted”"),
            line(5, "@cmd", note="a = true"),
            line(6, "Spaced out", note="two lines"),
        ],
    ),
    one(
        "outputs below the inputs",
        [
            ["Ch", "Name", "Mic"],
            [1, "Kick", "dyn"],
            [2, "Voice", "dyn"],
            [],
            ["OUTPUTS"],
            ["Out", "Name", "Note"],
            [1, "Wedge 1", "front"],
            ["2/3", "Ears", ""],
        ],
        [
            line(1, "Kick", note="dyn"),
            line(2, "Voice", note="dyn"),
            out(1, "Wedge 1", note="front"),
            out(2, "Ears L"),
            out(3, "Ears R"),
        ],
    ),
    one(
        "outputs beside the inputs",
        [
            ["Ch", "Name", "Mic", "", "Mix", "Destination"],
            [1, "Kick", "dyn", "", 1, "Drum wedge"],
            [2, "Voice", "dyn", "", 2, "Front wedge"],
            [3, "Lute", "clip", "", "", ""],
        ],
        [
            line(1, "Kick", note="dyn"),
            out(1, "Drum wedge"),
            line(2, "Voice", note="dyn"),
            out(2, "Front wedge"),
            line(3, "Lute", note="clip"),
        ],
    ),
    one(
        "outputs under one heading",
        [["Nr", "Name"], ["Eingänge"], [1, "Geige"], ["Ausgänge"], [1, "Monitor links"], [2, "Monitor rechts"]],
        [line(1, "Geige"), out(1, "Monitor links"), out(2, "Monitor rechts")],
    ),
    one(
        "outputs only",
        [["Aux", "Mix name", "Stage box"], [1, "Wedge front", "SB1 out 1"], [2, "Wedge drums", "SB1 out 2"]],
        [out(1, "Wedge front", port="SB1 out 1"), out(2, "Wedge drums", port="SB1 out 2")],
    ),
    one(
        "outputs named in the number",
        [["Ch", "Name"], [1, "Harp"], ["Aux 1", "Wedge"], ["Aux 2", "Fill"]],
        [line(1, "Harp"), out(1, "Wedge"), out(2, "Fill")],
    ),
    Case(
        "several sheets",
        [
            Tab([["Thank you for having us"], ["Stage plan on the next sheet"]], "Read me"),
            Tab([["Ch", "Name", "Mic"], [1, "Kick", "dyn"], [2, "Hat", "cond"], [3, "Bass", "DI"]], "Inputs"),
            Tab([["Ch", "Name"], [1, "Kick"]], "Old"),
            Tab([["Item", "Count"], ["Stools", 4]], "Backline"),
        ],
        [line(1, "Kick", note="dyn"), line(2, "Hat", note="cond"), line(3, "Bass", note="DI")],
        csv=False,
    ),
    Case(
        "inputs and outputs on sheets of their own",
        [
            Tab([["Nr", "Name", "Mikrofon"], [1, "Pauke", "dyn"]], "Eingänge"),
            Tab([["Nr", "Name"], [1, "Front"], [2, "Fill"]], "Ausgänge"),
        ],
        [line(1, "Pauke", note="dyn"), out(1, "Front"), out(2, "Fill")],
        csv=False,
    ),
    one(
        "far to the right and below",
        [
            [],
            [],
            ["", "", "", "Ch", "Name", "Mic"],
            ["", "", "", 1, "Kick", "dyn"],
            [],
            [],
            ["", "", "", 2, "Hat", "cond"],
        ],
        [line(1, "Kick", note="dyn"), line(2, "Hat", note="cond")],
    ),
    one(
        "headings said again on each page",
        [["Ch", "Name"], [1, "Kick"], [2, "Snare"], [], ["Ch", "Name"], [3, "Hat"], [4, "Tom"]],
        [line(1, "Kick"), line(2, "Snare"), line(3, "Hat"), line(4, "Tom")],
    ),
    one(
        "headings shouted, dotted and numbered",
        [
            ["CH. NO.", "INPUT NAME", "MIC/DI:", "PHANTOM (48V)", "STAND TYPE", "STAGE BOX #"],
            [1, "Kick", "dyn", "", "short", "K1"],
        ],
        [line(1, "Kick", stand="short", note="dyn", port="K in 1")],
    ),
    one(
        "an act's notes below the list",
        [["Ch", "Name"], [1, "Kick"], [2, "Hat"], [], ["Please no smoke."], ["Thanks"]],
        [line(1, "Kick"), line(2, "Hat")],
    ),
    one(
        "numbers that cannot be",
        [
            ["Ch", "Name"],
            [0, "Zero"],
            [-3, "Minus"],
            ["8-1", "Backwards"],
            ["1-2000", "All"],
            [99999999, "Far"],
            [1, "Kick"],
        ],
        [line(1, "Kick")],
        ['"0" is no', '"-3" is no', '"8-1" is no', '"1-2000" is no', '"99999999" is no'],
    ),
    one(
        "longer than a tablet is wide",
        [["Ch", "Name", "Note"], [1, "K" * 300, "n" * 500], [2, "Hat", ""]],
        [line(1, "K" * 197 + "...", note="n" * 197 + "..."), line(2, "Hat")],
        ["name has 300 characters", "note has 500 characters"],
    ),
    one(
        "two headings of numbers and none of names",
        [["Ch", "Input", "Mic/DI"], [1, "Kick", "dyn"], [2, "Voice", "handheld"]],
        [line(1, "Kick", note="dyn"), line(2, "Voice", note="handheld")],
    ),
    one(
        "two headings of numbers and outputs beside",
        [["Nr", "Eingang", "Mikro", "Nr", "Ausgang"], [1, "Geige", "Clip", 1, "Front"], [2, "Harfe", "Clip", "", ""]],
        [line(1, "Geige", note="Clip"), out(1, "Front"), line(2, "Harfe", note="Clip")],
    ),
    one(
        "numbers under no heading",
        [["", "Name", "Mic"], [1, "Kick", "dyn"], [2, "Hat", "cond"], ["VOICES"], [3, "Lead", "dyn"]],
        [line(1, "Kick", note="dyn"), line(2, "Hat", note="cond"), line(3, "Lead", zone="VOICES", note="dyn")],
    ),
    one(
        "a column for microphones and one for DIs",
        [
            ["Ch", "Name", "Mic", "DI", "Notes", "Remarks"],
            [1, "Bass", "", "x", "loud", "old"],
            [2, "Bass amp", "dyn", "", "", ""],
        ],
        [line(1, "Bass", note="DI; loud, old"), line(2, "Bass amp", note="dyn")],
    ),
    one(
        "phantom in the name",
        [["Ch", "Name"], [1, "Overhead (48V)"], [2, "Kick"]],
        [line(1, "Overhead (48V)", phantom=True), line(2, "Kick")],
    ),
    one(
        "ports of a box without a name",
        [["Patch", "Ch", "Name"], [3, 1, "Kick"], [4, 2, "Snare"]],
        [line(1, "Kick", port="BOX in 3"), line(2, "Snare", port="BOX in 4")],
    ),
    one(
        "the same list in two halves side by side",
        [["Ch", "Name", "", "Ch", "Name"], [1, "Kick", "", 3, "Bass"], [2, "Hat", "", 4, "Keys"]],
        [line(1, "Kick"), line(3, "Bass"), line(2, "Hat"), line(4, "Keys")],
    ),
    one(
        "groups merged down the side",
        [
            ["Group", "Ch", "Name"],
            ["Drums", 1, "Kick"],
            ["", 2, "Snare"],
            ["", 3, "Hat"],
            ["Band", 4, "Bass"],
            ["", 5, "Keys"],
            ["VOICES"],
            ["", 6, "Lead"],
        ],
        [
            *(line(at, name, zone="Drums") for at, name in ((1, "Kick"), (2, "Snare"), (3, "Hat"))),
            line(4, "Bass", zone="Band"),
            line(5, "Keys", zone="Band"),
            line(6, "Lead", zone="VOICES"),
        ],
        merged=("A2:A4", "A5:A6"),
        csv=True,
    ),
    one(
        "two hundred columns",
        [
            ["Ch", "Name", "48V", *(f"Extra {at}" for at in range(200))],
            [1, "Kick", "", *([""] * 199), "far out"],
            [2, "Hat", "x"],
        ],
        [line(1, "Kick"), line(2, "Hat", phantom=True)],
        [f'"Extra {at}" not understood' for at in range(200)],
    ),
    one(
        "titles over lists side by side",
        [
            ["INPUT LIST", "", "", "", "OUTPUT LIST"],
            ["Ch", "Name", "Mic", "", "Ch", "Name", "Note"],
            [1, "Kick", "dyn", "", 1, "Wedge", "front"],
            [2, "Hat", "cond", "", 2, "Fill", ""],
        ],
        [line(1, "Kick", note="dyn"), out(1, "Wedge", note="front"), line(2, "Hat", note="cond"), out(2, "Fill")],
    ),
    one(
        "names without numbers, alone in their rows",
        [
            ["Ch", "Name"],
            ["", "Drums"],
            [1, "Kick"],
            ["", "Guest horn"],
            ["", "Guest harp"],
            ["", "Band"],
            [2, "Bass"],
            [],
            ["", "Encore kazoo"],
        ],
        [line(1, "Kick", zone="Drums"), line(2, "Bass", zone="Band")],
        ["row 4: no number", "row 5: no number", "row 9: no number"],
    ),
    one(
        "numbers by formulas that were never worked out",
        [["Ch", "Name", "Mic"], [1, "Kick", "dyn"], ["=A2+1", "Hat", ""], ["=A3+1", "Tom", "clip"], [4, "Bass", "DI"]],
        [line(1, "Kick", note="dyn"), line(4, "Bass", note="DI")],
        ["A3: a formula without a result", "no number", "A4: a formula without a result", "no number"],
        csv=False,
    ),
    one(
        "phantom by a formula that was never worked out",
        [["Ch", "Name", "48V"], [1, "Kick", ""], [2, "Hat", '=IF(A3>1,"x","")']],
        [line(1, "Kick"), line(2, "Hat")],
        ["C3: a formula without a result"],
        csv=False,
    ),
    one(
        "a list of everything at once",
        [
            ["Reed Night at the Old Mill"],
            ["Version 3, please destroy the others"],
            [],
            ["Ch", "Instrument", "Mic / DI", "48V", "Stand", "Stage box", "Notes", "VCA"],
            ["WINDS"],
            [1, "Oboe", "condenser", "x", "tall", "LEFT 1", "", 1],
            ["2/3", "Bagpipe L/R", "clip", "+48", "", "LEFT 2", "own clips", 1],
            ["RHYTHM"],
            ["4-6", "Frame drums", "dynamic", "", "short", "RIGHT 1-3", "", 2],
            [6, "Bones", "dynamic", "", "", "RIGHT 4", "maybe", 2],
            [7, "Tape", "Laptop", "", "", "", "volume low", 3],
            [8, "", "", "", "", "", "", ""],
            ["tbc", "Guest", "", "ask", "", "", "", ""],
            ["Total", 7],
            [],
            ["OUTPUTS"],
            ["Out", "Name", "Stage box"],
            ["1/2", "Ears", "RIGHT 1"],
            [3, "Fill", ""],
        ],
        [
            line(1, "Oboe", phantom=True, zone="WINDS", stand="tall", note="condenser", port="LEFT in 1"),
            line(2, "Bagpipe L", phantom=True, zone="WINDS", note="clip; own clips", port="LEFT in 2"),
            line(3, "Bagpipe R", phantom=True, zone="WINDS", note="clip; own clips", port="LEFT in 3"),
            *(
                line(3 + at, f"Frame drums {at}", zone="RHYTHM", stand="short", note="dynamic", port=f"RIGHT in {at}")
                for at in (1, 2, 3)
            ),
            line(7, "Tape", "line", zone="RHYTHM", note="Laptop; volume low"),
            out(1, "Ears L", port="RIGHT out 1"),
            out(2, "Ears R", port="RIGHT out 2"),
            out(3, "Fill"),
        ],
        ["in 6 is taken by row 9", '"tbc" is no number'],
        sign=";",
    ),
    one(
        "number and name in one cell, nothing else",
        [["1 Kick"], ["2 Snare"], ["3 Hat"], ["4/5 Keys"], ["6 12-string guitar"]],
        [
            line(1, "Kick"),
            line(2, "Snare"),
            line(3, "Hat"),
            line(4, "Keys L"),
            line(5, "Keys R"),
            line(6, "12-string guitar"),
        ],
        ["no row names the columns"],
    ),
    one(
        "number and name in one cell, with headings and sections",
        [
            ["Mill Lane Social Club"],
            ["Input", "Mic", "48V", "Stand"],
            ["Drums"],
            ["1. Kick", "dynamic", "", "short"],
            ["2. Snare", "condenser", "x", ""],
            ["3.", "", "", ""],
            ["Winds"],
            ["4. Oboe", "condenser", "x", "tall"],
            ["Guest", "dynamic", "", ""],
        ],
        [
            line(1, "Kick", zone="Drums", stand="short", note="dynamic"),
            line(2, "Snare", phantom=True, zone="Drums", note="condenser"),
            line(4, "Oboe", phantom=True, zone="Winds", stand="tall", note="condenser"),
        ],
        ["no number"],
        sign=";",
    ),
    one(
        "01 - Kick",
        [["Name", "Notes"], ["01 - Kick", "in front"], ["02 - Bass", ""], ["03 - Harp", ""]],
        [line(1, "Kick", note="in front"), line(2, "Bass"), line(3, "Harp")],
    ),
    one(
        "Ch 1: Kick, and the outputs below",
        [
            ["Channel", "Box", "Way"],
            ["Ch 1: Kick", "LEFT", 4],
            ["Ch 2: Snare", "LEFT", 2],
            ["Ch 3: Fiddle", "RIGHT", 1],
            [],
            ["Outputs"],
            ["1: Wedge", "LEFT", 1],
            ["2: Fill", "", ""],
        ],
        [
            line(1, "Kick", port="LEFT in 4"),
            line(2, "Snare", port="LEFT in 2"),
            line(3, "Fiddle", port="RIGHT in 1"),
            out(1, "Wedge", port="LEFT out 1"),
            out(2, "Fill"),
        ],
    ),
    one(
        "names that begin with a figure beside numbers stay whole",
        [["Ch", "Name"], [1, "1 Kick"], [2, "2 Toms"], [3, "3 Horns"], [4, "4 Voices"]],
        [line(1, "1 Kick"), line(2, "2 Toms"), line(3, "3 Horns"), line(4, "4 Voices")],
    ),
    one(
        "counts of things are no numbers of lines",
        [["Name", "Mic"], ["2 Toms", "dynamic"], ["8 Voices", "dynamic"], ["3 Horns", "clip"], ["Piano", ""]],
        [
            line(1, "2 Toms", note="dynamic"),
            line(2, "8 Voices", note="dynamic"),
            line(3, "3 Horns", note="clip"),
            line(4, "Piano"),
        ],
    ),
]
