"""The demo, run as it is; its pictures are proved in tests/touch."""

import json
import sqlite3

import pypdfium2
import pytest

from checkapp.show import demo
from checkapp.show.languages import UnknownLanguage
from checkapp.show.played import plant


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo") / "out"
    lines = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(demo, "_pictures", lambda *_: None)
        demo.run_demo(folder, lines.append)
        patch.setattr(demo, "_set_up", lambda *_: None)  # the second run is about its folder alone
        patch.setattr(demo, "_check", lambda *_: None)  # and its paper
        demo.run_demo(folder, lines.append, "de")
    return folder, lines


def test_it_reviews_prints_tags_checks_and_sums_up(told):
    folder, lines = told
    text = "\n".join(lines)
    for word in (
        "Review of",
        "tags on",
        "planted faults",
        "suspected: ",
        "was it; tagged and pulled",
        "Summary",
        "none missing, none changed",
    ):
        assert word in text
    assert json.loads((folder / "review.json").read_text())["chains"]
    assert (folder / "tags.pdf").stat().st_size > 10_000


def test_the_set_up_tells_the_wrong_ones_and_ends_complete(told):
    _, lines = told
    wrong = [line for line in lines if line.startswith("  Wrong. ")]
    assert len(wrong) == demo.WRONG
    assert all(" goes into " in line for line in wrong)
    assert "  8 of 8 boxes placed, 128 of 128 ends connected" in lines


def test_planted_faults_were_heard_repaired_and_marked_again(told, demo):
    folder, _ = told
    base = sqlite3.connect(folder / "journal.db")
    for fault in plant(demo, 7):
        through = [line.line for line in demo.lines if fault.item in demo.path(line.line)]
        faulty = base.execute(
            "SELECT DISTINCT subject FROM entry WHERE kind = 'mark' AND detail LIKE '%faulty%'"
        ).fetchall()
        assert set(through) <= {row[0] for row in faulty}
        cleared = base.execute(
            "SELECT count(*) FROM entry WHERE kind = 'repair' AND subject = ? AND detail LIKE '%\"cleared\":true%'",
            [fault.item.name],
        )
        assert cleared.fetchone() == (1,)


def test_an_existing_folder_is_left_alone(told):
    folder, lines = told
    assert folder.with_name("out-2").is_dir()
    assert str(folder.with_name("out-2")) in "\n".join(lines)


def test_what_is_put_on_paper_is_in_the_language_that_was_asked_for(told):
    folder, _ = told
    for name, english, german in (
        ("tags.pdf", "owner QN", "gehört QN"),
        ("show-tags.pdf", "plan 1VMD", "Plan 1VMD"),
        ("paper.pdf", "1 caution, 4 notes", "1 Warnung, 4 Hinweise"),
    ):
        for where, words in ((folder, english), (folder.with_name("out-2"), german)):
            assert words in pypdfium2.PdfDocument(where / name)[0].get_textpage().get_text_range()


def test_all_screens_are_taken_of_a_tour_with_a_history(tmp_path, monkeypatch):
    asked = []

    def take(words, home, say, wait_s):
        journal = sqlite3.connect(words[2])
        asked.append((words[0], words[3], journal.execute("SELECT count(*) FROM entry WHERE kind = 'mark'").fetchone()))

    monkeypatch.setattr(demo, "_pictures", take)
    folder = tmp_path / "out"
    demo.run_screens(folder, "de", lambda _: None, shows=1)
    demo.run_screens(folder, "en", lambda _: None, shows=0)
    (first, second) = asked
    assert first[:2] == (str(folder), "de")
    assert first[2][0] >= 60
    assert second == (str(folder) + "-2", "en", (0,))


def test_a_language_that_is_not_spoken_is_refused(tmp_path):
    with pytest.raises(UnknownLanguage, match=r"xx: not a language of ours; one of: .*de"):
        demo.run_screens(tmp_path / "out", "xx", lambda _: None)
    for run in (demo.run_demo, demo.run_tour):
        with pytest.raises(UnknownLanguage):
            run(tmp_path / "out", lambda _: None, "xx")
    assert not (tmp_path / "out").exists()
