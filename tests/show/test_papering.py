"""Picture and paper as commands: files whole or not there, statuses as of the review, wrong names refused."""

import io
import json
import subprocess
import sys

import pypdfium2
import pytest
from PIL import Image

from checkapp.cli import main
from checkapp.rig.writing import FileNotWritten
from checkapp.show import papering
from checkapp.show.reviewing import review_plan


@pytest.fixture
def run(capsys, tmp_path, monkeypatch):
    monkeypatch.setenv("CHECKAPP_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)

    def runner(*words):
        with pytest.raises(SystemExit) as ended:
            main([str(word) for word in words])
        said = capsys.readouterr()
        return ended.value.code or 0, said.out, said.err

    return runner


@pytest.mark.parametrize(("plan", "status"), [("demo", 0), ("wrong", 1)])
def test_both_are_written_and_the_status_is_that_of_the_review(run, plans, tmp_path, plan, status):
    ended, out, err = run("review", plans / f"{plan}.toml", "--picture", "rig.PNG", "--pdf", "rig.pdf")
    assert (ended, err) == (status, "")
    assert "rig.PNG: the rig as a picture, 2000 pixels wide\n" in out
    assert "rig.pdf: findings, stage plan, patch and line check sheets on 1" in out
    assert Image.open(tmp_path / "rig.PNG").size == (2000, 1414)
    assert len(pypdfium2.PdfDocument(tmp_path / "rig.pdf")) > 10
    assert sorted(path.name for path in tmp_path.iterdir()) == ["rig.PNG", "rig.pdf"]


def test_a_picture_as_pdf_is_one_page_and_json_stays_alone(run, plans, tmp_path):
    ended, out, err = run("review", plans / "small.toml", "--json", "--picture", "rig.pdf")
    assert (ended, err) == (0, "")
    assert json.loads(out)["rig"] == "Quarry Nights, Weighing Room"
    assert len(pypdfium2.PdfDocument(tmp_path / "rig.pdf")) == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--picture", "rig.gif"], "--picture rig.gif: no such kind of picture; end it in .png or .pdf"),
        (["--picture", "rig"], "--picture rig: no such kind of picture"),
        (["--pdf", "rig.png"], "--pdf rig.png: not a PDF; end it in .pdf"),
        (["--picture", "rig.pdf", "--pdf", "./rig.pdf"], "are both rig.pdf; give each a name of its own"),
        (["--pdf", "none/rig.pdf"], "none/rig.pdf: cannot be written"),
        (["--picture", "folder.png"], "folder.png: cannot be written"),
    ],
)
def test_wrong_names_are_refused_with_status_2_and_nothing_is_written(run, plans, tmp_path, words, said):
    (tmp_path / "folder.png").mkdir()
    status, out, err = run("review", plans / "small.toml", *words)
    assert (status, out) == (2, "")
    assert said in err
    assert err.count("\n") == 1
    assert [path.name for path in tmp_path.iterdir()] == ["folder.png"]


def test_in_german_while_the_terminal_and_the_json_stay_english(run, plans, tmp_path):
    words = ("review", plans / "wrong.toml", "--pdf", "rig.pdf", "--picture", "stage.pdf")
    _, english, _ = run(*words)
    before = [(tmp_path / name).read_bytes() for name in ("rig.pdf", "stage.pdf")]
    as_json = run("review", plans / "wrong.toml", "--json")
    assert run(*words, "--json", "--language", "de") == as_json
    assert run(*words, "--language", "de") == (1, english, "")
    for name in ("rig.pdf", "stage.pdf"):
        first = pypdfium2.PdfDocument(tmp_path / name)[0].get_textpage().get_text_range()
        assert "12 Stopps, 4 Warnungen, 8 Hinweise" in first
        assert "HP01, von Pult zu GATE, ist 35 m lang" in " ".join(first.split())
    run(*words)
    assert [(tmp_path / name).read_bytes() for name in ("rig.pdf", "stage.pdf")] == before
    status, out, err = run("review", plans / "wrong.toml", "--pdf", "other.pdf", "--language", "xx")
    assert (status, out, err) == (2, "", "xx: not a language of ours; one of: en, de\n")
    assert not (tmp_path / "other.pdf").exists()


def test_an_old_file_stays_whole_when_the_new_one_cannot_be_written(plans, tmp_path):
    found = review_plan(plans / "small.toml")
    old = tmp_path / "folder" / "rig.pdf"
    old.mkdir(parents=True)
    with pytest.raises(FileNotWritten):
        papering.write_paper(found, old, "2031-05-02")
    assert list(old.iterdir()) == []


def test_words_without_letter_forms_are_named(tmp_path):
    plan = tmp_path / "plan.toml"
    rows = [f'[[input]]\nnumber={n}\nname="マイク {n}"\nlevel="mic"\nport="DESK in {n}"\n' for n in range(1, 8)]
    plan.write_text('format = 1\n[rig]\nname = "無"\nowner = "EM"\n' + "".join(rows), encoding="utf-8")
    said = papering.write_paper(review_plan(plan), tmp_path / "rig.pdf", "2031-05-02")
    assert "for want of a letter form: 無, マイク 1, マイク 2, マイク 3 and 4 more" in said


def test_a_review_without_them_loads_nothing_to_draw_with():
    program = "import sys; import checkapp.show.papering; print(sorted({'reportlab', 'PIL'} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_paper_carries_todays_date(run, plans, tmp_path, monkeypatch):
    monkeypatch.setattr("checkapp.show.clock.today", lambda: "2031-05-02")
    run("review", plans / "small.toml", "--pdf", "rig.pdf")
    pages = pypdfium2.PdfDocument(io.BytesIO((tmp_path / "rig.pdf").read_bytes()))
    assert all("printed 2031-05-02" in page.get_textpage().get_text_range() for page in pages)
