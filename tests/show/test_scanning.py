"""Tags read from a file and what they are in a rig, as people and programs see it."""

import io
import json
import random
import subprocess
import sys
from contextlib import redirect_stdout
from pathlib import Path

import pytest
from PIL import Image

from checkapp.cli import main
from checkapp.rig.codes import Tag
from checkapp.rig.planfile import load_plan
from checkapp.scan.picture import NoPicture
from checkapp.scan.video import NoOpenCv
from checkapp.show.scanning import document, lines_of, scan_file, status

sys.path.append(str(Path(__file__).parents[1] / "bench"))
from drawn_codes import board, drawn, film

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "plans" / "demo.toml"
RIG = load_plan(DEMO)
BOX, END = Tag("QN", "STRINGS"), Tag("QN", "HP01", "A")
STRANGE = {
    "foreign": Tag("ZZ", "XL07", "B").text,
    "older": Tag("QN", "STRINGS", mark="0000").text,
    "check": f"{BOX.body}.{'A' if BOX.check != 'A' else 'B'}",
    "web": "HTTPS://EXAMPLE.ORG/TAGS/",
    "unknown": "NOTHING9",
}


@pytest.fixture
def picture(tmp_path):
    """A picture file with codes of these payloads."""

    def make(*payloads, name="tags.png"):
        path = tmp_path / name
        board([drawn(one, 4) for one in payloads], (900, 900)).save(path)
        return path

    return make


def command(*words):
    """Run a command in this process: exit status and standard output."""
    out = io.StringIO()
    with redirect_stdout(out), pytest.raises(SystemExit) as ended:
        main([str(word) for word in words])
    return ended.value.code or 0, out.getvalue()


def test_tags_are_read_and_told_by_themselves(picture):
    found = scan_file(picture(BOX.text, END.text))
    assert [(code.text, code.tag, code.kind, code.words) for code in found.tags] == [
        (BOX.text, BOX.text, "tag", "STRINGS of QN"),
        (END.text, END.text, "tag", "HP01 A of QN"),
    ]
    assert (found.medium, found.rig, found.others, status(found)) == ("picture", "", (), 0)


def test_with_a_plan_each_tag_is_told_as_what_it_is_in_the_rig(picture):
    found = scan_file(picture(BOX.text, END.text, f"HTTPS://EXAMPLE.ORG/T/{BOX.text}"), DEMO)
    box, end, link = found.tags
    assert (box.kind, box.name, box.item) == ("item", "STRINGS", "STRINGS")
    assert (end.kind, end.name, end.item) == ("item", "HP01 A", "HP01")
    assert box.words.startswith("STRINGS, box, ")
    assert end.words.startswith("HP01 A, hop cable, rope, 45 m")
    assert (link.tag, link.item) == (BOX.text, "STRINGS")
    assert found.rig == RIG.name


@pytest.mark.parametrize("kind", STRANGE)
def test_strange_codes_are_told_for_what_they_are(picture, kind):
    (code,) = scan_file(picture(STRANGE[kind]), DEMO).codes
    assert code.kind == kind
    assert code.words
    assert code.is_tag == (kind in ("foreign", "older"))


@pytest.mark.parametrize("kind", ["check", "web", "unknown"])
def test_a_code_that_is_no_tag_counts_as_none_without_a_plan_too(picture, kind):
    found = scan_file(picture(STRANGE[kind]))
    assert found.tags == ()
    assert len(found.others) == 1
    assert status(found) == 1


def test_the_command_in_words(picture):
    path = picture(END.text, STRANGE["web"])
    ended, said = command("scan", path, "--plan", DEMO)
    assert ended == 0
    first, second, last = said.splitlines()
    assert first.startswith(f"{END.text}  HP01 A, ")
    assert "not opened" in second
    assert last == f"{path}, picture: 1 tag"


def test_the_command_as_one_json_document(picture):
    path = picture(BOX.text, STRANGE["web"])
    ended, said = command("scan", path, "--plan", DEMO, "--json")
    assert ended == 0
    found = json.loads(said)
    assert set(found) == {"file", "medium", "rig", "tags", "others"}
    ((tag,), (other,)) = found["tags"], found["others"]
    assert (tag["text"], tag["item"], tag["at_s"]) == (BOX.text, "STRINGS", None)
    assert [len(corner) for corner in tag["corners"]] == [2, 2, 2, 2]
    assert other["kind"] == "web"
    assert other["item"] is None
    assert json.loads(command("scan", path, "--json")[1])["rig"] is None


def test_no_tag_is_status_1_and_what_to_do(tmp_path):
    path = tmp_path / "blank.png"
    Image.new("L", (300, 200), 255).save(path)
    ended, said = command("scan", path)
    assert ended == 1
    assert "no tag was read. Go closer" in said
    ended, said = command("scan", path, "--json")
    assert (ended, json.loads(said)["tags"]) == (1, [])


def test_a_video_is_read_with_the_time_of_each_tag(tmp_path):
    scenes = [board([drawn(tag.text)], (400, 300)) for tag in (BOX, END)]
    path = film(tmp_path / "walk.avi", [scene for scene in scenes for _ in range(30)])
    found = scan_file(path, DEMO)
    assert found.medium == "video"
    assert [(code.item, code.at_s) for code in found.tags] == [
        ("STRINGS", pytest.approx(0, abs=0.1)),
        ("HP01", pytest.approx(1, abs=0.1)),
    ]
    assert [line.split()[:2] for line in lines_of(found)][:2] == [["0.0", "s"], ["1.0", "s"]]


@pytest.mark.parametrize("plan", [None, DEMO])
def test_strange_payloads_are_printed_harmlessly(tmp_path, plan):
    """3 kB of binary, control characters, text that turns round, markup, paths: no byte of it reaches the terminal."""
    payloads = [
        random.Random(3).randbytes(2900),
        b"\x1b]0;title\x07\x1b[2J\r\n\x00QN.HP01.A.E",
        "\u202eQN.HP01\u2066 שלום".encode(),
        b"[bold]QN[/bold] <b>&amp;</b>",
        b"../../../../etc/passwd",
        b"%s%n{0.__class__}$(id)`id`",
    ]
    for number, payload in enumerate(payloads):
        path = tmp_path / f"{number}.png"
        drawn(payload, 4).save(path)
        found = scan_file(path, plan)
        assert found.tags == ()
        assert len(found.others) == 1
        for line in lines_of(found):
            assert line.isprintable()
            assert len(line) < 300
        assert json.dumps(document(found)).isprintable()


def test_what_cannot_be_read_is_status_2_and_one_plain_line(tmp_path, picture):
    cut = picture(BOX.text)
    cut.write_bytes(cut.read_bytes()[:200])
    wrong = {
        "a plan": (DEMO, "no picture that can be read"),
        "a missing file": (tmp_path / "missing.png", "no such file"),
        "half a picture": (cut, "damaged"),
    }
    for path, words in wrong.values():
        done = subprocess.run(
            [sys.executable, "-m", "checkapp", "scan", str(path)], cwd=ROOT, capture_output=True, text=True, check=False
        )
        assert done.returncode == 2
        assert done.stdout == ""
        (line,) = done.stderr.splitlines()
        assert words in line


def test_a_plan_with_faults_is_said_before_anything_is_read(picture, tmp_path):
    plan = tmp_path / "faulty.toml"
    plan.write_text("format = 1\n")
    with pytest.raises(SystemExit) as ended:
        main(["scan", str(picture(BOX.text)), "--plan", str(plan)])
    assert ended.value.code == 2


def test_a_video_without_opencv_says_what_to_install(tmp_path, monkeypatch):
    path = film(tmp_path / "walk.avi", [board([drawn(BOX.text)], (400, 300))] * 3)
    monkeypatch.setitem(sys.modules, "cv2", None)
    with pytest.raises(NoOpenCv, match="pip install"):
        scan_file(path)


def test_a_picture_needs_no_opencv(picture, monkeypatch):
    monkeypatch.setitem(sys.modules, "cv2", None)
    assert len(scan_file(picture(BOX.text)).tags) == 1


def test_what_is_neither_is_no_picture(tmp_path):
    path = tmp_path / "notes.txt"
    path.write_text("QN.STRINGS.4")
    with pytest.raises(NoPicture):
        scan_file(path)
