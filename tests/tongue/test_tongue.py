"""What is said in the language of the moment."""

import subprocess
import sys

import pytest

from checkapp.tongue import LANGUAGES, language, shown_names, speaking, tr, trn, trp, use
from checkapp.tongue.catalogue import ROOM
from checkapp.tongue.making import made


@pytest.fixture(autouse=True)
def _english_again():
    yield
    use("en")


def test_english_is_the_message_itself_filled_in():
    assert tr("Plug {end} into {port}", end="LK02", port="SB2 in 4") == "Plug LK02 into SB2 in 4"
    assert tr("braces {stay} where nothing is filled in") == "braces {stay} where nothing is filled in"


@pytest.mark.parametrize(("count", "said"), [(0, "0 lines on SB2"), (1, "1 line on SB2"), (2, "2 lines on SB2")])
def test_one_and_many(count, said):
    assert trn("{count} line on {box}", "{count} lines on {box}", count, box="SB2") == said


def test_a_message_without_a_translation_is_said_in_english():
    use("de")
    assert tr("no catalogue holds {this}", this="this") == "no catalogue holds this"
    assert trn("{count} unheard-of thing", "{count} unheard-of things", 2) == "2 unheard-of things"
    assert trp("nowhere", "unheard of") == "unheard of"


@pytest.mark.parametrize("code", LANGUAGES)
def test_each_language_can_be_spoken(code):
    use(code)
    assert language() == code


def test_a_language_that_is_not_there_is_english():
    use("de")
    use("tlh")
    assert language() == "en"


def test_a_language_for_a_while():
    use("de")
    with pytest.raises(KeyError), speaking("en"):
        assert language() == "en"
        raise KeyError
    assert language() == "de"


@pytest.mark.parametrize("code", [code for code in LANGUAGES if code != "en"])
def test_the_catalogue_that_is_read_is_made_from_its_source(code):
    assert (ROOM / f"{code}.mo").read_bytes() == made(code), "run: python -m checkapp.tongue"


def test_english_reads_no_catalogue():
    program = "import sys, checkapp.tongue as t; t.tr('a {b}', b=1); print({'gettext', 'babel'} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"


def test_things_without_a_tag_are_called_in_the_language():
    assert shown_names("source in 4, SB2 in 4") == "source in 4, SB2 in 4"
    use("de")
    assert shown_names("source in 4, load out 2, SB2 in 4") == "Quelle in 4, Ziel out 2, SB2 in 4"
    assert tr("{item} is ok", item="chain FRONT") == "Kette FRONT is ok"
    assert shown_names("desk chain FRONT; SB1 outlet for chain MON") == "Pult Kette FRONT; SB1 Abgang für Kette MON"
    assert shown_names("the chain in the box, a desk lamp") == "the chain in the box, a desk lamp"
