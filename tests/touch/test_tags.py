"""Tags by real taps: each button of the screens once, then a sheet from picking to paper."""

import json
import sys

import pytest
import tag_samples

from checkapp.cli import main


@pytest.fixture(autouse=True)
def _undrawn(hand):
    """Laid out, not drawn: what is asked for is the same, and it takes half as long."""
    hand.drawing = False


def rows_of(screen):
    from checkapp.touch.widgets.rows import RowList

    (listed,) = [w for w in screen.walk() if isinstance(w, RowList)]
    return listed


def row(screen, title):
    from kivy.uix.behaviors.button import ButtonBehavior

    (found,) = [w for w in screen.walk() if isinstance(w, ButtonBehavior) and getattr(w, "title", "") == title]
    return found


def test_each_button_of_the_tags(build, hand, calls):
    screen = build("tags", tag_samples.TAGS)
    for word in ("rig", "page after", "print", "save"):
        hand.tap(hand.button(screen, word))
    for title in ("Pick", "Stock", "Start", "Tags that last", "Save to"):
        hand.tap(row(screen, title))
    assert hand.button(screen, "page before").disabled
    screen.view = tag_samples.replace(tag_samples.TAGS, page=3)
    hand.tap(hand.button(screen, "page before"))
    assert calls.made == [
        ("rig",),
        ("tag_turn", 1),
        ("print_tags",),
        ("save_tags",),
        ("tag_pick",),
        ("tag_stocks",),
        ("tag_start",),
        ("tag_words",),
        ("tag_folders",),
        ("tag_turn", -1),
    ]


def test_on_a_phone_the_page_comes_below_what_can_be_changed(build, hand, calls):
    hand.size(360, 640)
    screen = build("tags", tag_samples.TAGS)
    listed = rows_of(screen)
    listed.bring(len(listed.data) - 2)
    hand.frames()
    hand.tap(row(screen, "page 1 of 8"))
    assert calls.made == [("tag_turn", 1)]
    (page,) = [w for w in screen.walk() if w.__class__.__name__ == "ListedPage"]
    assert page.texture.size == (636, 900)
    assert page.width == listed.width - 16


def test_without_a_print_command_there_is_no_button_for_it(build, hand):
    screen = build("tags", tag_samples.NO_PRINTER)
    assert [b.word for b in hand.buttons(screen) if b.opacity and getattr(b, "word", "") == "save"] == ["save"]
    assert not [b for b in hand.buttons(screen) if getattr(b, "text", "") == "print"]
    nothing = build("tags", tag_samples.NOTHING)
    assert nothing.ids.save.disabled
    assert nothing.ids.print.disabled
    assert nothing.ids.page.opacity == 0


def test_each_button_of_picking(build, hand, calls):
    screen = build("tagpick", tag_samples.PICK)
    for word in ("tags", "all", "none", "cables"):
        hand.tap(hand.button(screen, word))
    for title in ("Cables, Drums", "LD03"):
        hand.tap(row(screen, title))
    assert calls.made == [
        ("tags",),
        ("tag_pick_all", True),
        ("tag_pick_all", False),
        ("tag_pick_kind", "cable"),
        ("tag_pick_group", "cable Drums"),
        ("tag_pick_one", "LD03"),
    ]


def test_each_button_of_choosing_and_of_the_sheet(build, hand, calls):
    screen = build("tagchoice", tag_samples.STOCKS)
    hand.tap(hand.button(screen, "tags"))
    hand.tap(row(screen, "wraps round cables, 44 x 54 mm"))
    hand.tap(row(build("tagchoice", tag_samples.FOLDERS), "STICK"))
    sheet = build("tagstart", tag_samples.START)
    hand.tap(hand.button(sheet, "tags"))
    hand.tap(hand.button(sheet, "HP04 A"))
    assert calls.made == [("tags",), ("tag_stock", "wrap-44x54"), ("tag_folder", "/b"), ("tags",), ("tag_start_at", 9)]
    cells = sheet.ids.cells.children[::-1]
    assert [cell.cell for cell in cells] == [*["gone"] * 5, "start", *["tag"] * 11, *["white"] * 7]


@pytest.fixture
def printer(tmp_path, monkeypatch):
    """Stands for the system's print command: keeps what it gets."""
    script = tmp_path / "commands" / "lp"
    script.parent.mkdir()
    got = tmp_path / "printed.pdf"
    body = f"import sys, shutil\nshutil.copy(sys.argv[-1], {str(got)!r})\nprint('request 7')\n"
    script.write_text(f"#!{sys.executable}\n{body}", encoding="utf-8")
    script.chmod(0o755)
    monkeypatch.setenv("PATH", str(script.parent))
    return got


def test_a_sheet_from_picking_to_paper(tablet, hand, home, tmp_path, monkeypatch, printer):
    monkeypatch.setenv("CHECKAPP_HOME", str(home))
    out = tmp_path / "STICK"
    out.mkdir()
    (home / "tags.json").write_text(json.dumps({"folder": str(out)}), encoding="utf-8")
    plan = home / "plans" / "small.toml"
    hand.drawing = True  # the app begins with its first frame
    app = tablet(plan)
    hand.drawing = False
    app.hand.ticks.now_s += 1.0
    app.app.moves.tags()
    app.settle()
    assert app.screen.view.summary == "25 tags on 2 pages"
    app.tap_row("Pick")
    app.tap("none")
    app.tap("boxes")
    app.tap_row("HP01")
    app.tap_row("HP01")
    app.tap_row("HP01")
    assert app.screen.view.summary == "2 of 14 picked, 3 tags"
    app.tap("tags")
    app.tap_row("Stock")
    app.tap_row("sheet, A4, 2 x 5")
    app.tap_row("Start")
    app.hand.tap(app.screen.ids.cells.children[::-1][9])
    app.settle()
    assert app.screen.view.cells == (*[""] * 9, "STOVE")
    app.tap("tags")
    assert (app.screen.view.summary, app.screen.view.start) == ("3 tags on 2 pages", "row 5, label 2")
    app.tap("page after")
    assert app.screen.view.page == 2
    app.tap("save")
    (saved,) = out.iterdir()
    assert app.screen.view.message == f"Saved: {saved.name} in {out}"
    app.tap("print")
    words = ["--items", "STOVE,HP01", "--stock", "sheet-a4-large", "--start", "10"]
    with pytest.raises(SystemExit, match="0"):
        main(["tags", str(plan), "--out", str(tmp_path / "by_command.pdf"), *words])
    assert saved.read_bytes() == printer.read_bytes() == (tmp_path / "by_command.pdf").read_bytes()
    assert app.screen.view.message.startswith("Sent to the printer: 3 tags on 2 pages")
    (printer.parent / "commands" / "lp").write_text(f"#!{sys.executable}\nraise SystemExit('no paper')\n", "utf-8")
    app.tap("print")
    assert app.app.pages.banner.lines == ["lp: not printed: no paper; look at the printer, or save the file"]
