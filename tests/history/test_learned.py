"""What history teaches the suspects: priors of items and kinds, tables of symptoms, what the plan states."""

import pytest

from checkapp.diagnose.chances import HEAR, PRIOR, chances_of
from checkapp.history.learned import HEAR_FAULTS, LEAST, MOST, history_words, learned, without
from checkapp.history.lives import FaultMade, Life, Tally
from checkapp.rig.model import Diagnose, Item
from checkapp.rig.words import SYMPTOMS

NAMES = {f"LD{n:02}": f"SM.LD{n:02}" for n in range(20)}


def life(number, faults=0, exposures=40, kind="cable"):
    return Life(f"SM.LD{number:02}", kind, exposures, tuple(range(1, faults + 1)))


def fault(*symptoms, kind="cable", show="Night 1"):
    return FaultMade("SM.LD00", kind, "2031-05-02", "R", show, "", "JD", "swap", None, ("in 1",), symptoms, 5.0, False)


def test_nothing_is_learned_from_an_empty_log():
    assert learned(Tally(()), NAMES, Diagnose()) == chances_of(Diagnose())


def test_a_kind_stays_near_its_prior_by_few_faults_and_leaves_it_by_many():
    told = learned(Tally(tuple(life(n, n == 0) for n in range(20))), {}, Diagnose())
    assert 0.5 * PRIOR["cable"] < told.prior["cable"] < PRIOR["cable"]
    assert told.prior["box"] == PRIOR["box"]
    assert told.items == {}
    many = learned(Tally(tuple(life(n, 2) for n in range(20))), {}, Diagnose())
    assert many.prior["cable"] == pytest.approx(2 / 40, rel=0.2)


def test_an_item_that_failed_often_is_likelier_and_one_that_did_not_is_less_likely_than_its_kind():
    told = learned(Tally((life(0, 8), *(life(n, n % 4 == 0) for n in range(1, 20)))), NAMES, Diagnose())
    kind = told.prior["cable"]
    assert told.items["LD00"] > 3 * kind
    assert told.items["LD01"] < kind
    assert told.items["LD01"] < told.items["LD04"] < told.items["LD00"]
    assert all(LEAST <= chance <= MOST for chance in told.items.values())


def test_an_item_of_which_nothing_is_known_has_the_chance_of_its_kind():
    lives = (life(0, 3), *(life(n) for n in range(1, 19)), life(19, exposures=0))
    told = learned(Tally(lives), NAMES, Diagnose())
    assert told.items["LD19"] == pytest.approx(told.prior["cable"], rel=1e-9)
    assert "XL99" not in told.items


def test_a_prior_that_the_plan_states_stays_and_items_still_differ():
    stated = Diagnose(prior={"cable": 0.05, "box": 1.0})
    lives = (life(0, 6), *(life(n) for n in range(1, 20)), Life("SM.SB1", "box", 40))
    told = learned(Tally(lives), {**NAMES, "SB1": "SM.SB1"}, stated)
    assert told.prior["cable"] == 0.05
    assert told.items["LD00"] > 0.05 > told.items["LD01"]
    assert told.prior_of(Item("SB1", "box")) == 1.0


@pytest.mark.closed_form
def test_what_was_heard_of_culprits_is_added_to_the_table():
    told = learned(Tally((), (fault("hum"), fault("hum", "crackle"), fault())), {}, Diagnose())
    assert told.hear["cable"]["hum"] == pytest.approx((HEAR_FAULTS * 0.15 + 1.5) / (HEAR_FAULTS + 2))
    assert told.hear["cable"]["crackle"] == pytest.approx((HEAR_FAULTS * 0.25 + 0.5) / (HEAR_FAULTS + 2))
    assert sum(told.hear["cable"].values()) == pytest.approx(1.0)
    assert tuple(told.hear["cable"]) == SYMPTOMS
    assert told.hear["hop"] == HEAR["hop"]


def test_a_table_that_the_plan_states_stays():
    stated = Diagnose(hear={"cable": {"hum": 1.0}})
    assert learned(Tally((), (fault("crackle"),)), {}, stated).hear["cable"] == {"hum": 1.0}


def test_a_show_does_not_count_for_itself():
    whole = Tally((life(0, 3), life(1)), (fault("hum"), fault("hum", show="Night 2")))
    shown = Tally((life(0, 1, exposures=2),), (fault("hum", show="Night 2"),))
    left = without(whole, shown, "Night 2")
    assert left.lives == (life(0, 2, exposures=38), life(1))
    assert [one.show for one in left.faults] == ["Night 1"]


@pytest.mark.parametrize(
    ("known", "words"),
    [
        (None, ""),
        (life(0, exposures=0), ""),
        (life(0, exposures=1), "never failed in 1 check"),
        (life(0, 3, exposures=38), "failed in 3 of 38 checks"),
        (Life("SM.LD00", "cable", 4, (2, 2)), "failed in 1 of 4 checks"),
    ],
)
def test_in_words(known, words):
    assert history_words(known) == words
