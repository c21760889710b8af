"""The command `history`: from marks and repairs of the real recorder to the document and the table."""

from __future__ import annotations

import gc
import json
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from checkapp import cli
from checkapp.show import clock, history_now
from checkapp.show.history_desk import HistoryDesk, UnknownItem
from checkapp.show.history_now import Asked, history_of
from checkapp.show.history_pictures import Look
from checkapp.show.history_views import Chosen
from checkapp.show.recording import UnknownShow

KEYS = ["item", "kind", "exposures", "faults", "rate", "low", "high", "trend", "trend_p", "advice", "reason"]
PLAN = """
format = 1
[rig]
name = "Barn"
owner = "SM"
[link_kind.deck]
max_length_m = 60.0
[cable_kind.digital]
[box_kind.line4]
inputs = 4
outputs = 0
accepts = ["line"]
[[chain]]
code = "A"
link = "deck"
[[cable]]
code = "LK01"
kind = "digital"
length_m = 15.0
[[cable]]
code = "XL01"
kind = "digital"
length_m = 5.0
owner = "HX"
[[box]]
code = "SB1"
kind = "line4"
fed_from = "A"
cable = "LK01"
place = "Stage left"
[[input]]
number = 1
name = "Kick in"
level = "line"
cable = "XL01"
port = "SB1 in 1"
[[input]]
number = 2
name = "Kick out"
level = "line"
port = "SB1 in 2"
"""


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    file = tmp_path / "barn.toml"
    file.write_text(PLAN)
    return file


@pytest.fixture
def said(tmp_path: Path, capsys: Any, monkeypatch: Any) -> Any:
    monkeypatch.setenv("CHECKAPP_HOME", str(tmp_path / "home"))

    def run(*words: str, status: int = 0, journal: str = "journal.db") -> str:
        with pytest.raises(SystemExit) as left:
            cli.main([*words, "--journal", str(tmp_path / journal)])
        assert left.value.code == status
        return str(capsys.readouterr().out if status == 0 else capsys.readouterr().err)

    return run


def played(said: Any, plan: Path, journal: str = "journal.db", show: str = "Night 1") -> None:
    for words in (["in 1", "faulty", "--symptom", "hum"], ["in 2", "ok"]):
        said("mark", str(plan), *words, "--show", show, journal=journal)
    said("repair", str(plan), "XL01", "reseat", "--show", show, "--by", "JD", journal=journal)
    said("mark", str(plan), "in 1", "ok", "--show", show, journal=journal)


def cable(said: Any) -> dict[str, Any]:
    found = json.loads(said("history", "--json"))
    return next(item for item in found["items"] if item["item"] == "HX.XL01")


def test_without_a_journal_there_is_nothing_and_that_is_said(said: Any) -> None:
    assert "nothing to tell yet" in " ".join(said("history").split())
    assert json.loads(said("history", "--json")) == {"items": [], "kinds": [], "spares": []}


def test_an_empty_journal_says_the_same(said: Any, plan: Path) -> None:
    said("journal", "export", str(plan.with_suffix(".jsonl")), status=2)
    said("mark", str(plan), "in 1", "ok")
    with pytest.raises(UnknownShow):
        history_of(plan.parent / "journal.db", Asked(show="Night 9"))


def test_the_document_has_the_keys_and_counts_of_what_was_marked(said: Any, plan: Path) -> None:
    played(said, plan)
    played(said, plan, show="Night 2")
    found = json.loads(said("history", "--json"))
    assert sorted(found) == ["items", "kinds", "spares"]
    assert all(list(item) == KEYS for item in found["items"])
    first = cable(said)
    assert (first["kind"], first["exposures"], first["faults"]) == ("cable", 2, 2)
    assert first["low"] < first["rate"] < first["high"]
    counts = {item["item"]: item["exposures"] for item in found["items"]}
    assert counts == dict.fromkeys(
        [
            *("HX.XL01", "SM.source in 1", "SM.source in 2", "SM.SB1 in 1", "SM.SB1 in 2", "SM.SB1", "SM.LK01"),
            *("SM.chain A", "SM.desk in 1", "SM.desk in 2"),
        ],
        2,
    )
    kind = next(row for row in found["kinds"] if row["kind"] == "cable")
    assert (kind["items"], kind["exposures"], kind["faults"]) == (1, 2, 2)
    assert [(row["shows"], row["level"]) for row in found["spares"]] == [(20, 0.95)] * len(found["spares"])


def test_filters_by_kind_and_show_and_what_spares_are_for(said: Any, plan: Path) -> None:
    played(said, plan)
    played(said, plan, show="Night 2")
    found = json.loads(
        said("history", "--json", "--kind", "cable", "--show", "Night 2", "--leg", "5", "--level", "0.8")
    )
    assert [(item["item"], item["exposures"]) for item in found["items"]] == [("HX.XL01", 1)]
    assert [(row["kind"], row["shows"], row["level"]) for row in found["spares"]] == [("cable", 5, 0.8)]
    assert "Night 7" in said("history", "--show", "Night 7", status=2)
    assert "level 1:" in said("history", "--level", "1", status=2)


def test_days_up_to_today_filter_exposures_and_faults(said: Any, plan: Path, monkeypatch: Any) -> None:
    played(said, plan)
    assert cable(said)["faults"] == 1
    later = clock.today_utc() + timedelta(days=31)
    monkeypatch.setattr(clock, "today_utc", lambda: later)
    of_days = {days: json.loads(said("history", "--json", "--days", str(days)))["items"] for days in (30, 32)}
    assert of_days[30] == []
    assert next(one for one in of_days[32] if one["item"] == "HX.XL01")["faults"] == 1


def test_the_desk_filters_all_but_an_items_life(said: Any, plan: Path) -> None:
    played(said, plan)
    played(said, plan, show="Night 2")
    said("bench", "XL01", "--plan", str(plan), "--ohms", "3.9", "--fail", "--by", "JD")
    desk = HistoryDesk(plan.parent / "journal.db")
    assert desk.opened().rows[0].faults == "2 of 2"
    of_show = desk.view(Chosen("cable", "Night 2"))
    assert [(row.item, row.faults) for row in of_show.rows] == [("HX.XL01", "1 of 1")]
    assert desk.view(Chosen(period="30 days")).rows[0].faults == "2 of 2"
    assert [(one.show, one.detail.partition(", ")[2]) for one in desk.shows()] == [
        ("Night 2", "1 check, 1 confirmed fault"),
        ("Night 1", "1 check, 1 confirmed fault"),
    ]
    life = desk.life("HX.XL01")
    assert life.events[0][1] == "on the bench: failed, 3.9 ohm, JD"
    assert len(life.events) == 3
    with pytest.raises(UnknownItem):
        desk.life("HX.XL77")


def test_figures_are_pixels_in_the_colours_and_the_width_that_are_asked_for(said: Any, plan: Path) -> None:
    played(said, plan)
    desk = HistoryDesk(plan.parent / "journal.db")
    look = Look("0F1214", "ECE8DF", "A9B2B5", "FF8B80", width_mm=80.0, per_mm=4.0)
    for view, count in ((desk.figures(Chosen(), look), 5), (desk.figures(Chosen("cable"), look), 4)):
        assert len(view.pictures) == count
        for picture in view.pictures:
            assert picture.width == 320
            assert len(picture.pixels) == 4 * picture.width * picture.height
            assert picture.pixels[:4] == bytes.fromhex("0F1214FF")
    life = desk.life_figure("HX.XL01", look)
    assert (life.item, len(life.pictures)) == ("HX.XL01", 2)
    assert bytes.fromhex("FF8B80FF") in life.pictures[0].pixels


def test_figures_that_were_let_go_of_are_drawn_again_of_the_same(said: Any, plan: Path) -> None:
    played(said, plan)
    desk = HistoryDesk(plan.parent / "journal.db")
    look = Look("0F1214", "ECE8DF", "A9B2B5", "FF8B80", width_mm=80.0, per_mm=4.0)
    of_cables, of_item = Chosen("cable", "Night 1"), desk.life_figure("HX.XL01", look)
    for view in (desk.figures(of_cables, look), of_item):
        assert desk.drawn_again(replace(view, pictures=()), look) == view
    light = desk.drawn_again(replace(of_item, pictures=()), replace(look, ground="F5F2EA"))
    assert light.pictures[0].pixels[:3] == bytes.fromhex("F5F2EA")


def test_drawn_figures_leave_no_rubbish(said: Any, plan: Path) -> None:
    """It would be 15 MB each time, and stay until there is much more of it."""
    played(said, plan)
    desk = HistoryDesk(plan.parent / "journal.db")
    look = Look("0F1214", "ECE8DF", "A9B2B5", "FF8B80", width_mm=80.0, per_mm=4.0)
    for draw in (lambda: desk.figures(Chosen(), look), lambda: desk.life_figure("HX.XL01", look)):
        draw()
        gc.collect()
        assert draw().pictures
        assert gc.collect() < 100


def test_merged_tablets_count_as_one(said: Any, plan: Path, tmp_path: Path) -> None:
    played(said, plan)
    played(said, plan, journal="other.db", show="Night 2")
    said("journal", "merge", str(tmp_path / "other.db"))
    first = cable(said)
    assert (first["exposures"], first["faults"]) == (2, 2)
    said("journal", "merge", str(tmp_path / "other.db"))
    assert cable(said) == first


def test_years_kept_on_paper_count(said: Any, plan: Path, tmp_path: Path) -> None:
    played(said, plan)
    rows = "date,show,line,item,verdict,symptom,action,note\n2019-05-02,Old tour,in 1,XL01,faulty,hum,mend,\n"
    (tmp_path / "old.csv").write_text(rows)
    said("journal", "import", str(tmp_path / "old.csv"), "--rig", "Barn")
    first = cable(said)
    assert (first["exposures"], first["faults"]) == (2, 2)


def test_the_place_of_a_fault_is_that_of_the_box(said: Any, plan: Path) -> None:
    played(said, plan)
    (fault,) = history_of(plan.parent / "journal.db").tally.faults
    assert (fault.place, fault.by, fault.symptoms) == ("Stage left", "JD", ("hum",))


def test_the_table_fits_80_columns_with_the_worst_first(said: Any, plan: Path, monkeypatch: Any) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    for night in range(5):
        played(said, plan, show=f"Night {night}")
    lines = said("history").splitlines()
    assert max(map(len, lines)) <= 80
    titles = next(number for number, line in enumerate(lines) if line.startswith("item"))
    assert lines[titles + 1].startswith("HX.XL01")
    assert any(line.startswith("spares for 20 shows, enough at 95 %:") for line in lines)
    assert history_now.document(history_of(plan.parent / "journal.db")) == json.loads(said("history", "--json"))


def test_reports_are_written_where_they_are_asked_for(said: Any, plan: Path, tmp_path: Path) -> None:
    played(said, plan)
    out = [str(tmp_path / name) for name in ("a.pdf", "a.xlsx", "tables")]
    words = said("history", "--pdf", out[0], "--xlsx", out[1], "--csv", out[2])
    assert all(f"{path}" in words for path in out)
    assert Path(out[0]).read_bytes().startswith(b"%PDF")
    assert Path(out[1]).read_bytes().startswith(b"PK")
    assert any("HX.XL01" in file.read_text("utf-8-sig") for file in Path(out[2]).iterdir())
