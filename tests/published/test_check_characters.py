"""Check characters against printed examples of ISO/IEC 7064 MOD 37,36 and against another library."""

import random

import pytest
from stdnum.iso7064 import mod_37_36

from checkapp.rig.codes import ALPHABET, Tag, check_character, squeezed
from checkapp.rig.planfile import load_plan
from checkapp.tags.label import labels_of

# Each body and check character is printed in the document named beside it; recomputed before copied.
PRINTED = [
    ("A12425GABC1234002", "M", "the GRid example, IFPI Global Release Identifier standard"),
    ("00000000D07A0090", "Q", "an ISAN without version, ISO 15706"),
    ("00000000D07A009000000000", "X", "the same ISAN with version, ISO 15706-2"),
    ("123AB", "X", "a worked example of MOD 37,36"),
    ("DADPIDA3897722461", "J", "a party identifier, DDEX DPID"),
    ("0000000189470000", "8", "an ISAN without version, ISO 15706"),
]


@pytest.mark.published
@pytest.mark.parametrize(("body", "check", "source"), PRINTED)
def test_printed_examples(body, check, source):
    assert check_character(body) == check, source


@pytest.mark.independent
def test_ten_thousand_random_codes_agree_with_python_stdnum():
    chance = random.Random(7064)
    for _ in range(10_000):
        owner = "".join(chance.choices(ALPHABET, k=chance.randint(1, 4)))
        code = "".join(chance.choices(ALPHABET, k=chance.randint(1, 10)))
        hyphened = "-".join([code[:3], code[3:]]) if 4 <= len(code) <= 9 else code
        tag = Tag(owner, hyphened, chance.choice(["", "A", "B"]), chance.choice(["", "7Q0Z"]))
        body = tag.owner + code + tag.end + tag.mark
        assert tag.check == mod_37_36.calc_check_digit(body)
        assert mod_37_36.is_valid(body + tag.check)
        assert mod_37_36.is_valid(squeezed(tag.text))


@pytest.mark.independent
def test_the_check_character_on_every_tag_of_the_demo_agrees_with_python_stdnum(pytestconfig):
    """As printed and held in the QR: asset tags and show tags of all items, both ends of every cable."""
    rig = load_plan(pytestconfig.rootpath / "plans" / "demo.toml")
    labels = [*labels_of(rig), *labels_of(rig, for_show=True)]
    assert len(labels) == 2 * len(rig.tags)
    assert all(mod_37_36.is_valid(label.payload.replace(".", "").replace("-", "")) for label in labels)


@pytest.mark.published
def test_every_single_substitution_is_caught():
    """ISO/IEC 7064, clause on hybrid systems: all single substitution errors are detected."""
    chance = random.Random(36)
    for _ in range(60):
        body = "".join(chance.choices(ALPHABET, k=chance.randint(2, 15)))
        check = check_character(body)
        for place, was in enumerate(body):
            for other in ALPHABET:
                changed = body[:place] + other + body[place + 1 :]
                assert (check_character(changed) == check) == (other == was)


@pytest.mark.published
def test_neighbour_swaps_missed_are_about_as_rare_as_the_standard_allows():
    """About 0.15 % of swaps of unlike neighbours pass MOD 37,36."""
    chance = random.Random(37)
    swaps = missed = 0
    for _ in range(20_000):
        body = "".join(chance.choices(ALPHABET, k=8))
        place = chance.randrange(7)
        if body[place] == body[place + 1]:
            continue
        swapped = body[:place] + body[place + 1] + body[place] + body[place + 2 :]
        swaps += 1
        missed += check_character(swapped) == check_character(body)
    assert 0.0005 < missed / swaps < 0.003
