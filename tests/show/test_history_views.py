"""The history on screen: worst first, words, what an item's life shows."""

from datetime import datetime

import pytest

from checkapp.history.analysis import analysed
from checkapp.history.lives import CheckDone, FaultMade, Life, Tally, Unconfirmed
from checkapp.show.history_views import ALL, MOST_ROWS, Chosen, history_view, life_view


def fault(item, at, **more):
    known = {
        "kind": "cable",
        "rig": "Barn",
        "show": "Night 1",
        "place": "",
        "by": "JD",
        "action": "swap",
        "put_in": "XL99",
        "lines": ("in 1",),
        "symptoms": ("hum", "hum"),
        "open_minutes": 4.0,
        "again": False,
    }
    return FaultMade(item, at=at, **known | more)


@pytest.fixture
def tour():
    lives = [Life(f"SM.XL{n:02}", "cable", 30, (5,) if n == 3 else ()) for n in range(1, 31)]
    lives.append(Life("SM.XL90", "cable", 30, (2, 9, 14, 21, 25, 28, 30), "2031-05-01T18:00:00.000Z"))
    lives.append(Life("SM.SB1", "box", 30, (), pulled_at="2031-06-01T22:00:00.000Z"))
    lives.append(Life("SM.SB2", "box", 0))
    checks = tuple(
        CheckDone("Barn", f"Night {n}", "", "", f"2031-05-{n:02}T18:00:00.000Z", 40, 1, 12.0, ("JD",))
        for n in range(1, 31)
    )
    faults = tuple(fault("SM.XL90", f"2031-05-{n:02}T18:05:00.000Z", again=n > 2) for n in (2, 9, 14, 21, 25, 28, 30))
    left = (Unconfirmed("in 7", "2031-05-30T18:09:00.000Z", "Barn", "Night 30", "hum", "JD"),)
    return analysed(Tally(tuple(lives), faults, left, checks))


def test_the_worst_item_stands_first_with_its_reason(tour):
    view = history_view(tour)
    assert view.summary == "30 checks of 30 shows, 7 confirmed faults, 1 never confirmed"
    first = view.rows[0]
    assert (first.item, first.advice, first.status, first.faults) == ("SM.XL90", "retire", "faulty", "7 of 30")
    assert "times as often as its kind" in first.reason
    assert first.bad > 0.95
    assert view.kinds == (ALL, "cable", "box")
    assert view.left_out == 0


def test_items_of_one_kind_without_those_that_were_in_no_check(tour):
    view = history_view(tour, Chosen("box"))
    assert [row.item for row in view.rows] == ["SM.SB1"]
    assert view.rows[0].trend == "pulled, not back"
    assert all(words.startswith(("box", "spares, box")) for words in view.totals)


def test_spares_are_told_with_their_level(tour):
    assert any(words.startswith("spares, cable: ") and "95 %" in words for words in history_view(tour).totals)


def test_only_so_many_are_listed(tour):
    many = analysed(Tally(tuple(Life(f"SM.C{n}", "cable", 3) for n in range(MOST_ROWS + 5))))
    assert history_view(many).left_out == 5


def test_a_whole_life_latest_first(tour):
    life = life_view(tour, "SM.XL90")
    assert life.title == "SM.XL90, cable"
    assert life.lines[0].startswith("retire: 7 faults in 30 checks")
    assert life.lines[1].startswith("about 20 faults in 100 checks; nine times in ten it is ")
    assert len(life.events) == 7
    assert life.events[0][1] == "again, hum, in 1, swap for XL99, Night 1, JD"
    times = [datetime.strptime(at, "%d %b %Y, %H:%M") for at, _ in life.events]
    assert times == sorted(times, reverse=True)
    with pytest.raises(KeyError):
        life_view(tour, "SM.NO")


def test_without_checks_it_says_so():
    assert history_view(analysed(Tally(()))).summary.startswith("Nothing was checked yet")
