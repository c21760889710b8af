"""Tags in the app: what is picked, the stock, the start, the page that is looked at, the file, the print command."""

import io
import sys

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from checkapp.cli import main
from checkapp.rig.planfile import load_plan
from checkapp.show import places
from checkapp.show.printing import NotPrinted
from checkapp.show.tag_desk import NothingPicked, TagDesk
from checkapp.show.tag_items import tag_groups, tag_items
from checkapp.tags.label import labels_of
from checkapp.tags.sheet import StartRefused
from checkapp.tongue import speaking, tr

SMALL = places.shipped("plans") / "small.toml"
DEMO = places.shipped("plans") / "demo.toml"


@pytest.fixture
def out(tmp_path):
    folder = tmp_path / "out"
    folder.mkdir()
    return folder


@pytest.fixture
def desk(tmp_path, out):
    return lambda plan=SMALL: TagDesk(load_plan(plan), tmp_path / "home", lambda: (("Out", out),))


@pytest.fixture(params=["en", "de"])
def spoken(request):
    """Code of the language that the tablet speaks."""
    with speaking(request.param):
        yield request.param


@pytest.fixture
def command(tmp_path, monkeypatch):
    """A folder that alone is on the path, and in it what stands for the system's print command."""
    folder = tmp_path / "commands"
    folder.mkdir()
    monkeypatch.setenv("PATH", str(folder))

    def put(body, name="lp"):
        script = folder / name
        script.write_text(f"#!{sys.executable}\nimport sys, shutil, pathlib\n{body}\n", encoding="utf-8")
        script.chmod(0o755)
        return script

    return put


def seen_from_afar(image):
    """Where ink is, whatever the edges of letters are drawn with."""
    size = tuple(side // 8 for side in image.size)
    return np.asarray(image.convert("L").resize(size, Image.Resampling.BOX), dtype=float)


def rendered(pdf, page, view):
    found = pypdfium2.PdfDocument(pdf)[page]
    image = found.render(scale=view.width_px / found.get_width()).to_pil()
    assert all(abs(one - other) <= 1 for one, other in zip(image.size, (view.width_px, view.height_px), strict=True))
    return seen_from_afar(image.resize((view.width_px, view.height_px)))


def test_everything_that_has_a_tag_can_be_picked_once():
    rig = load_plan(DEMO)
    items = tag_items(rig)
    assert [item.code for item in items] == list(dict.fromkeys(label.tag.code for label in labels_of(rig)))
    assert sum(item.tags for item in items) == len(labels_of(rig)) == 169
    grouped = [item.code for group in tag_groups(rig) for item in group.items]
    assert sorted(grouped) == sorted(item.code for item in items)
    titles = {(group.kind, group.place) for group in tag_groups(rig)}
    assert {("box", ""), ("cable", "Choir"), ("cable", ""), ("source", "Drums")} <= titles


def test_picking_goes_by_one_by_group_by_kind_and_by_all(desk):
    desk = desk(DEMO)
    assert desk.picking().summary == "97 of 97 picked, 169 tags"
    view = desk.pick("LD30")
    assert view.summary == "96 of 97 picked, 167 tags"
    (choir,) = [group for group in view.groups if group.title == "Cables, Choir"]
    assert (choir.picked, len(choir.rows)) == (6, 7)
    assert desk.pick_group(choir.key).summary == "97 of 97 picked, 169 tags"
    assert desk.pick_group(choir.key).summary == "90 of 97 picked, 155 tags"
    assert desk.pick_kind("box").summary == "82 of 97 picked, 147 tags"
    assert [kind.picked for kind in desk.picking().kinds] == [False, False, True, True, True]
    assert desk.pick_all(False).summary == "0 of 97 picked, 0 tags"
    assert desk.view().can_print is False
    assert desk.view().caution == "Nothing is picked. Pick what you want tags for."
    with pytest.raises(NothingPicked):
        desk.save()
    assert desk.pick_all(True).summary == "97 of 97 picked, 169 tags"


def test_a_wrap_leaves_out_what_is_no_cable_and_says_so(desk):
    desk = desk(DEMO)
    view = desk.take_stock("wrap-44x54")
    assert view.summary == "144 tags on 144 pages"
    assert view.caution == "A wrap goes round a cable. Left out: boxes, chains, supplies, sources"
    assert view.start == ""
    for kind in ("cable", "chain"):
        desk.pick_kind(kind)
    assert desk.view().caution == "Nothing to print: a wrap goes round a cable. Pick cables, or take another stock."


def test_a_half_used_sheet_starts_where_it_is_said(desk):
    desk = desk()
    assert desk.view().start == "a whole sheet"
    view = desk.start_at(23)
    assert (view.across, view.down, view.start, view.summary) == (3, 8, 23, "row 8, label 2")
    assert view.cells == (*[""] * 22, "STOVE", "HP01 A")
    assert desk.view().summary == "25 tags on 2 pages"
    assert desk.start_at(24).cells[22:] == ("", "STOVE")
    assert desk.start_at(1).cells[:3] == ("STOVE", "HP01 A", "HP01 B")
    with pytest.raises(StartRefused):
        desk.start_at(25)


def test_what_was_chosen_last_is_there_the_next_time(desk, tmp_path):
    first = desk()
    first.take_stock("sheet-a4-large")
    first.start_at(4)
    first.turn_words()
    view = desk(DEMO).view()
    assert (view.stock, view.start, view.says) == ("sheet, A4, 2 x 5", "row 2, label 2", "tags for this show")
    for broken in ("{", "[]", '{"start": "x", "stock": 3}', '{"start": 900, "stock": "gone"}'):
        (tmp_path / "home" / "tags.json").write_text(broken, encoding="utf-8")
        view = desk().view()
        assert (view.stock, view.start) == ("sheet, A4, 3 x 8", "a whole sheet")


def test_the_file_is_that_of_the_command_and_replaces_none(desk, out, tmp_path, monkeypatch, capsys, spoken):
    monkeypatch.setenv("CHECKAPP_HOME", str(tmp_path / "home"))
    desk = desk()
    desk.take_stock("sheet-a4-large")
    desk.start_at(4)
    desk.pick("HP01")
    view = desk.save()
    (saved,) = out.iterdir()
    assert view.message.splitlines()[0] == tr("Saved: {file} in {folder}", file=saved.name, folder=out)
    items = [item.code for item in tag_items(desk.rig) if item.code != "HP01"]
    words = ["--items", ",".join(items), "--stock", "sheet-a4-large", "--start", "4", "--language", spoken]
    with pytest.raises(SystemExit, match="0"), speaking("en"):
        main(["tags", str(SMALL), "--out", str(tmp_path / "by_command.pdf"), *words])
    before = saved.read_bytes()
    assert before == (tmp_path / "by_command.pdf").read_bytes()
    desk.pick_all(False)
    desk.pick("STOVE")
    desk.save()
    assert saved.read_bytes() == before
    assert sorted(path.name for path in out.iterdir()) == [f"{saved.stem} 2.pdf", saved.name]


@pytest.mark.independent
@pytest.mark.parametrize("stock", ["sheet-a4", "flag-a4", "roll-80x45", "wrap-44x54"])
def test_the_page_that_is_looked_at_is_the_page_of_the_file(desk, out, stock):
    """What another renderer makes of the PDF."""
    desk = desk()
    desk.take_stock(stock)
    if stock == "sheet-a4":
        desk.start_at(6)
    desk.save()
    (saved,) = out.iterdir()
    views = [desk.view(), desk.turn(1)]
    assert [view.page for view in views] == [1, 2]
    assert len(pypdfium2.PdfDocument(saved)) == views[0].pages
    shown = [seen_from_afar(Image.open(io.BytesIO(view.picture))) for view in views]
    printed = [rendered(saved, number, views[0]) for number in (0, 1)]
    for one in (0, 1):
        own, other = (np.abs(shown[one] - page).mean() for page in (printed[one], printed[1 - one]))
        assert own < 8
        assert own < 0.65 * other


def test_labels_that_do_not_fit_are_told_in_place_of_a_page(desk, tmp_path):
    labels = tmp_path / "home" / "labels"
    labels.mkdir(parents=True)
    (labels / "tiny.toml").write_text(
        '[stock]\nkind = "roll"\nwidth_mm = 9\nheight_mm = 5\nprinter_dpi = 300\n', encoding="utf-8"
    )
    (labels / "broken.toml").write_text("[stock]\n", encoding="utf-8")
    desk = desk()
    assert "broken" not in [row.key for row in desk.stocks().rows]
    view = desk.take_stock("tiny")
    assert (view.stock, view.picture, view.can_print) == ("roll, 9 x 5 mm", b"", False)
    assert "has no room for code and QR" in view.caution


def test_the_print_command_gets_the_file(desk, out, command, tmp_path):
    command(f"shutil.copy(sys.argv[-1], {str(tmp_path / 'got.pdf')!r})\nprint('request 7')\nprint(sys.argv[1:-1])")
    desk = desk()
    assert desk.view().print_word == "print"
    desk.save()
    (saved,) = out.iterdir()
    view = desk.print_out()
    assert (tmp_path / "got.pdf").read_bytes() == saved.read_bytes()
    assert view.message == "Sent to the printer: 25 tags on 2 pages\nrequest 7 ['-o', 'print-scaling=none']"


def test_what_the_print_command_says_is_one_message(desk, command):
    command("sys.stderr.write('lp: no such\\nprinter')\nsys.exit(1)")
    with pytest.raises(NotPrinted) as said:
        desk().print_out()
    assert said.value.lines == ("lp: not printed: lp: no such printer; look at the printer, or save the file",)


def test_without_a_print_command_it_is_to_be_saved(desk, command):
    view = desk().view()
    assert view.print_word == ""
    assert view.print_note == "This machine has no print command: save the file, print it on another."
    with pytest.raises(NotPrinted):
        desk().print_out()
    command("", name="lpr")
    assert desk().view().print_word == "print"


def test_it_is_saved_where_it_was_saved_last(desk, out, tmp_path):
    other = tmp_path / "STICK"
    other.mkdir()
    one = desk()
    assert [(row.title, row.chosen) for row in one.save_places().rows] == [("Out", True)]
    assert one.save_in(str(other)).folder == str(other)
    one.save()
    assert len(list(other.iterdir())) == 1
    assert desk().view().folder == str(other)
    for path in other.iterdir():
        path.unlink()
    other.rmdir()
    assert desk().view().folder == "Out"


def test_after_a_change_of_language_the_words_are_those_of_it(desk):
    desk = desk()
    assert desk.picking().groups[0].rows[0].detail.startswith("box, ")
    with speaking("de"):
        assert desk.on(desk.rig).picking().groups[0].rows[0].detail.startswith("Box, ")
