"""Each word of a closed list can be said in every language."""

from typing import get_args

import pytest

from checkapp.history.analysis import Advice
from checkapp.history.trend import Word
from checkapp.journal.kinds import Action
from checkapp.review.findings import LEVELS
from checkapp.review.link import PowerState
from checkapp.rig.words import ITEM_KINDS, SYMPTOMS, Level
from checkapp.show.views import Status
from checkapp.tongue import LANGUAGES, shown_word, use, words

DATA = {
    "STATUSES": get_args(Status),
    "SYMPTOMS": SYMPTOMS,
    "ITEM_KINDS": ITEM_KINDS,
    "SIGNAL_LEVELS": get_args(Level),
    "FINDING_LEVELS": LEVELS,
    "ACTIONS": get_args(Action),
    "ADVICE": get_args(Advice),
    "TRENDS": get_args(Word),
    "POWER": get_args(PowerState),
}


@pytest.fixture(autouse=True)
def _english_again():
    yield
    use("en")


@pytest.mark.parametrize("name", DATA)
def test_the_words_are_those_of_the_data(name):
    assert set(getattr(words, name)) == set(DATA[name])


@pytest.mark.parametrize("code", LANGUAGES)
def test_words_of_one_list_are_told_apart(code):
    use(code)
    for name, data in DATA.items():
        assert len({shown_word(word) for word in data}) == len(data), name


def test_words_are_said_in_german():
    use("de")
    assert [shown_word(word) for word in ("silent", "wrong line", "box", "line")] == [
        "stumm",
        "falsche Linie",
        "Box",
        "Line",
    ]
