"""The tags command: which tags, onto what, with which words told; one plain message for each thing that is wrong."""

import re
import sys

import pypdfium2
import pytest
import zxingcpp
from PIL import Image

from checkapp.cli import main
from checkapp.rig.planfile import load_plan
from checkapp.show import places

SMALL = places.shipped("plans") / "small.toml"
DEMO = places.shipped("plans") / "demo.toml"


@pytest.fixture
def run(tmp_path, monkeypatch, capsys):
    """Run ``checkapp tags PLAN ...`` in an empty folder with no stocks of one's own: status, output, errors."""
    monkeypatch.setenv("CHECKAPP_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)

    def runner(*words, plan=SMALL):
        try:
            main(["tags", str(plan), *map(str, words)])
            status = 0
        except SystemExit as left:
            status = left.code or 0
        out, err = capsys.readouterr()
        return status, out.splitlines(), err.splitlines()

    return runner


def texts(pdf):
    """What can be read as text on all pages of a PDF."""
    return " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in pypdfium2.PdfDocument(pdf))


def codes(pdf):
    pages = pypdfium2.PdfDocument(pdf)
    images = [page.render(scale=300 / 72, grayscale=True).to_numpy().squeeze() for page in pages]
    return [found.text for image in images for found in zxingcpp.read_barcodes(image)]


def test_without_more_words_asset_tags_on_an_a4_sheet(run):
    assert run("--out", "tags.pdf") == (0, ["tags.pdf: 25 tags on 2 pages"], [])
    rig = load_plan(SMALL)
    assert sorted(codes("tags.pdf")) == sorted(tag.text for tag in rig.tags)
    said = texts("tags.pdf")
    assert "cord, 15 m" in said
    assert "owner QN" in said
    for words in ("Storyteller", "STOVE in 1", "Behind the stove", "Chair"):
        assert words not in said


def test_show_tags_say_where_things_go_and_of_which_plan_they_are(run):
    status, out, _ = run("--out", "tags.pdf", "--for-show")
    assert (status, out[0]) == (0, "tags.pdf: 25 tags on 2 pages")
    rig = load_plan(SMALL)
    assert set(codes("tags.pdf")) == {f"{tag.body}.{rig.mark}" + "." + _check(tag, rig) for tag in rig.tags}
    said = texts("tags.pdf")
    for words in (
        "Storyteller",
        "into STOVE in 1",
        "from desk chain ROOM",
        "Behind the stove",
        "Weighing Room",
        rig.mark,
    ):
        assert words in said


def test_tags_in_german_carry_the_same_codes_and_what_is_said_on_the_terminal_stays_english(
    run, texts_of, english_left
):
    assert run("--out", "en.pdf", "--for-show") == (0, ["en.pdf: 25 tags on 2 pages"], [])
    assert run("--out", "de.pdf", "--for-show", "--language", "de") == (0, ["de.pdf: 25 tags on 2 pages"], [])
    assert codes("de.pdf") == codes("en.pdf")
    pages = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument("de.pdf")]
    assert list(english_left("\n".join(pages).splitlines(), texts_of(SMALL))) == []
    for words in (
        "in STOVE in 1",
        "von Pult Kette ROOM",
        "Einspeisung, 230 V, 10 A, gehört QN",
        "Weighing Room, Version 2, Blatt 2 von 2",
        "100 mm; wenn nicht: noch einmal zu 100 % drucken",
    ):
        assert words in texts("de.pdf")


def test_a_language_that_is_not_there_is_refused(run, tmp_path):
    said = ["xx: not a language of ours; one of: en, de"]
    assert run("--out", "tags.pdf", "--language", "xx") == (2, [], said)
    assert not (tmp_path / "tags.pdf").exists()


def _check(tag, rig):
    return type(tag)(tag.owner, tag.code, tag.end, rig.mark).check


def test_a_link_goes_into_the_qr_alone(run):
    status, _, _ = run("--out", "tags.pdf", "--url", "https://tags.example/t", "--items", "stove")
    assert status == 0
    assert codes("tags.pdf") == ["HTTPS://TAGS.EXAMPLE/T/QN.STOVE.X"]
    assert "QN.STOVE.X" in texts("tags.pdf")
    assert "EXAMPLE" not in texts("tags.pdf")


def test_pictures_with_and_without_a_pdf(run, tmp_path):
    assert run("--png", "pics", "--stock", "roll-50x25") == (0, ["pics: 25 pictures of 203 dots an inch"], [])
    status, out, _ = run("--png", "pics", "--out", "tags.pdf", "--stock", "roll-50x25", "--items", "HP01")
    assert (status, out) == (0, ["tags.pdf: 2 tags on 2 pages", "pics: 2 pictures of 203 dots an inch"])
    names = sorted(path.name for path in (tmp_path / "pics").iterdir())
    assert len(names) == 25
    assert {"QN_HP01_A.png", "QN_HP01_B.png", "QN_STOVE.png"} <= set(names)
    image = Image.open("pics/QN_STOVE.png")
    assert image.mode == "1"
    assert [found.text for found in zxingcpp.read_barcodes(image.convert("L"))] == ["QN.STOVE.X"]


def test_a_part_used_sheet_and_a_nudge(run):
    assert run("--out", "tags.pdf", "--start", "24") == (0, ["tags.pdf: 25 tags on 2 pages"], [])
    status, out, _ = run(
        "--out", "tags.pdf", "--start", "5", "--right", "-0.3", "--down", "0.1", "--items", "HP01,HP02"
    )
    assert (status, out) == (0, ["tags.pdf: 4 tags on 1 page"])


def test_a_nudge_finer_than_a_tenth_is_refused(run):
    status, out, err = run("--out", "tags.pdf", "--right", "0.33")
    assert (status, out, err) == (2, [], ["a nudge of 0.33 mm right is finer than 0.1 mm; say 0.3"])


def test_a_wrap_takes_the_cables_and_says_what_it_left_out(run):
    status, out, _ = run("--out", "tags.pdf", "--stock", "wrap-44x54", plan=DEMO)
    assert status == 0
    assert out == [
        "tags.pdf: 144 tags on 144 pages",
        "left out, for a wrap goes round a cable: 8 boxes, 2 chains, 3 supplies, 12 sources",
        "without a QR, which would not be read round so thin a cable: 136 wraps; a flag has one",
    ]


def test_what_was_asked_for_by_name_and_is_no_cable_is_refused_by_name(run, tmp_path):
    status, out, err = run("--out", "tags.pdf", "--stock", "wrap-44x54", "--items", "HP01,STOVE,ROOM,stove")
    assert (status, out) == (2, [])
    right = "wrap-44x54 goes round a cable: leave it out of --items or take another --stock"
    assert err == [f"STOVE is no cable; {right}", f"ROOM is no cable; {right}"]
    assert not (tmp_path / "tags.pdf").exists()


def test_a_rig_without_cables_on_a_wrap(run, tmp_path):
    plan = tmp_path / "plan.toml"
    plan.write_text('[rig]\nname = "R"\nowner = "R"\n[[source]]\ncode = "DI1"\n')
    status, _, err = run("--out", "tags.pdf", "--stock", "wrap-44x54", plan=plan)
    assert (status, err) == (2, ["no label to print: the rig has no cable, and wrap-44x54 goes round a cable"])


def test_words_for_which_there_was_no_room_are_told(run):
    status, out, _ = run("--out", "tags.pdf", "--stock", "roll-40x18", "--for-show")
    assert status == 0
    assert re.fullmatch(r"no room for all words on \d+ tags; a larger label has it", out[1])


def test_letters_that_no_typeface_has_are_told(run, tmp_path):
    text = SMALL.read_text(encoding="utf-8").replace("Accordion", "Ziehharmonika 🪗").replace("kinds.toml", "k.toml")
    (tmp_path / "k.toml").write_bytes((SMALL.parent / "kinds.toml").read_bytes())
    (tmp_path / "plan.toml").write_text(text, encoding="utf-8")
    status, out, _ = run("--out", "tags.pdf", "--for-show", plan=tmp_path / "plan.toml")
    assert status == 0
    assert "printed as a box, for want of a letter form: Ziehharmonika 🪗, into Ziehharmonika 🪗" in out
    assert run("--out", "tags.pdf", plan=tmp_path / "plan.toml")[1] == ["tags.pdf: 25 tags on 2 pages"]


def test_a_stock_of_ones_own_is_a_file_in_ones_folder(run, tmp_path):
    folder = tmp_path / "home" / "labels"
    folder.mkdir(parents=True)
    stock = '[stock]\nkind = "flag"\nwidth_mm = 100.0\nheight_mm = 20.0\njacket_mm = 5.0\nprinter_dpi = 300\n'
    (folder / "ours.toml").write_text(stock)
    assert run("--out", "tags.pdf", "--stock", "ours")[1][0] == "tags.pdf: 25 tags on 25 pages"
    (folder / "ours.toml").write_text(stock + 'colour = "red"\njacket = 3\n')
    status, _, err = run("--out", "tags.pdf", "--stock", "ours")
    assert (status, len(err)) == (2, 2)
    assert err[0].endswith("ours.toml:7: [stock] colour: no such field; known are " + err[0].split("known are ")[1])
    assert 'ours.toml:8: [stock] jacket: no such field; did you mean "jacket_mm"?' in err[1]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "nowhere to print to; add --out FILE.pdf, or --png DIR for pictures"),
        (["--png", "pics", "--start", "3"], "--start, --right and --down place labels on a page"),
        (["--png", "pics", "--right", "0.1"], "add --out FILE.pdf"),
        (["--out", "tags.png"], "--out tags.png: not a PDF; end it in .pdf"),
        (["--out", "x.pdf", "--start", "25"], "no label 25 to start at; a page has labels 1 to 24"),
        (["--out", "x.pdf", "--start", "0"], "no label 0 to start at"),
        (["--out", "x.pdf", "--right", "40"], "a nudge of 40 mm right would print beside the page"),
        (["--out", "x.pdf", "--down", "nan"], "a nudge of nan mm down would print beside the page"),
        (["--out", "x.pdf", "--url", "tags.example"], "no web address; begin it with https://"),
        (["--out", "x.pdf", "--url", "https://tags.example?t="], "characters that do not fit: ?, ="),
        (["--out", "x.pdf", "--url", ""], "no web address"),
        (["--out", "x.pdf", "--items", ""], 'no item ""'),
        (["--out", "x.pdf", "--items", "HP01,NOWHERE"], 'no item "NOWHERE"'),
        (["--out", "x.pdf", "--stock", "granite"], "there are flag-118x25, flag-a4,"),
        (["--out", "x.pdf", "--stock", "../labels/roll-50x25"], "no label stock"),
        (["--out", "none/x.pdf"], "cannot be written"),
        (["--png", SMALL], "is not a folder; name a folder that is yours"),
        (["--out", "x.pdf", "--stock", "roll-40x18", "--url", "https://tags.example/" + "x" * 99], "at least "),
    ],
    ids=lambda value: " ".join(map(str, value))[:50] if isinstance(value, list) else None,
)
def test_what_is_wrong_is_one_plain_line_and_nothing_is_written(run, tmp_path, words, said):
    status, out, err = run(*words)
    assert (status, out, len(err)) == (2, [], 1)
    assert said in err[0]
    assert [path for path in tmp_path.iterdir() if path.name != "home"] == []


@pytest.mark.parametrize("words", [["--start", "two"], ["--right", "far"], ["--colour", "red"]], ids=" ".join)
def test_options_that_cannot_be_read(run, words):
    status, out, err = run("--out", "x.pdf", *words)
    assert (status, out) == (2, [])
    assert "Traceback" not in "".join(err)


class Terminal:
    """Standard error that says it is a terminal, and keeps what was written."""

    def __init__(self):
        self.text = ""

    def write(self, text):
        self.text += text
        return len(text)

    def flush(self):
        pass

    def isatty(self):
        return True

    def fileno(self):
        raise OSError


def test_a_bar_shows_how_far_it_is_on_a_terminal_alone(run, monkeypatch):
    status, _, err = run("--out", "tags.pdf")
    assert (status, err) == (0, [])
    terminal = Terminal()
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setattr(sys, "stderr", terminal)
    status, out, _ = run("--out", "tags.pdf", "--png", "pics", "--stock", "roll-50x25")
    assert status == 0
    assert "Tags" in terminal.text
    assert "100%" in terminal.text
    assert out[0] == "tags.pdf: 25 tags on 25 pages"
