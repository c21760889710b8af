"""View data of the tags screens."""

import io
from dataclasses import replace

from PIL import Image, ImageDraw

from checkapp.show.tag_views import (
    ChoiceRow,
    ChoiceView,
    PickGroup,
    PickKind,
    PickRow,
    PickView,
    StartView,
    TagsView,
)


def _sheet(wide, high):
    """A page with three by eight plain labels on it."""
    image = Image.new("L", (wide, high), 255)
    for row in range(8):
        for column in range(3):
            left, top = wide * (0.04 + 0.31 * column), high * (0.05 + 0.113 * row)
            ImageDraw.Draw(image).rectangle((left, top, left + 0.29 * wide, top + 0.1 * high), outline=0)
    content = io.BytesIO()
    image.save(content, "PNG")
    return content.getvalue()


TAGS = TagsView(
    summary="169 tags on 8 pages",
    items="all 97",
    stock="sheet, A4, 3 x 8",
    stock_detail="labels of 64 x 32 mm, 24 on a page",
    start="row 2, label 3",
    says="tags that last",
    says_detail="what stays true of each thing: code, kind, owner",
    folder="Documents",
    page=1,
    pages=8,
    page_words="page 1 of 8",
    picture=_sheet(636, 900),
    width_px=636,
    height_px=900,
    can_print=True,
    print_word="print",
)
NO_PRINTER = replace(
    TAGS,
    start="",
    print_word="",
    print_note="This machine has no print command: save the file, print it on another.",
    message="Saved: Quarry Nights tags 2.pdf in /home/crew/Documents\nno room for all words on 4 tags",
)
NOTHING = replace(
    TAGS,
    summary="0 tags on 0 pages",
    items="0 of 97",
    pages=0,
    page=0,
    picture=b"",
    can_print=False,
    caution="Nothing is picked. Pick what you want tags for.",
)
PICK = PickView(
    "9 of 10 picked, 17 tags",
    (PickKind("box", "boxes", True), PickKind("cable", "cables", False), PickKind("source", "sources", True)),
    (
        PickGroup("box ", "Boxes", 1, (PickRow("LEFT", "box, mic12, Downstage left", True),)),
        PickGroup(
            "cable Drums",
            "Cables, Drums",
            6,
            tuple(PickRow(f"LD0{n}", "lead, 6 m, both ends", n != 3) for n in range(1, 8)),
        ),
    ),
)
STOCKS = ChoiceView(
    "stock",
    "Stock",
    "What is in the printer:",
    (
        ChoiceRow("sheet-a4", "sheet, A4, 3 x 8", "labels of 64 x 32 mm, 24 on a page", True),
        ChoiceRow("wrap-44x54", "wraps round cables, 44 x 54 mm", "44 mm along the cable, off a roll", False),
    ),
)
FOLDERS = ChoiceView(
    "folder",
    "Save to",
    "The folder or stick that the file goes to:",
    (ChoiceRow("/a", "Documents", "/a", True), ChoiceRow("/b", "STICK", "/b", False)),
)
START = StartView("row 2, label 3", 3, 8, 6, (*[""] * 5, *(f"HP{n:02} A" for n in range(1, 13)), *[""] * 7))


def long_views(long):
    """Screens with more words than anybody has."""
    tags = replace(TAGS, summary=long, items=long, stock=long, start=long, says_detail=long, folder=long)
    options = tuple(ChoiceRow(str(n), long, long, n == 1) for n in range(6))
    rows = tuple(PickRow(f"MULTICORE{n}", long, n % 2 == 0) for n in range(40))
    kinds = tuple(PickKind(str(n), f"{n} multicore looms", False) for n in range(5))
    small = StartView(long, 4, 13, 30, (*[""] * 29, *["MULTICORE1 A"] * 23))
    return {
        "tags, long": (
            "tags",
            replace(
                tags, caution=long, message=f"{long}\n{long}", page=1028, pages=1028, page_words="page 1028 of 1028"
            ),
        ),
        "tagpick, long": ("tagpick", PickView(long, kinds, (PickGroup("a", long, 20, rows),))),
        "tagchoice, long": ("tagchoice", ChoiceView("stock", long, long, options)),
        "tagstart, long": ("tagstart", small),
    }


def views():
    """Screens as they mostly are."""
    return {
        "tags": ("tags", TAGS),
        "tags, no printer": ("tags", NO_PRINTER),
        "tags, nothing": ("tags", NOTHING),
        "tagpick": ("tagpick", PICK),
        "tagchoice": ("tagchoice", STOCKS),
        "tagchoice, folders": ("tagchoice", FOLDERS),
        "tagstart": ("tagstart", START),
    }
