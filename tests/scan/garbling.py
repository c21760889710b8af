"""What can happen to a scanner's keys on their way, and a rig that is as nasty as the rules for codes allow.

Not a test: used by the tests here and by the bench.
"""

from dataclasses import dataclass, field, replace

from checkapp.rig.codes import ALPHABET, Tag, squeezed
from checkapp.scan.burst import BurstReader
from checkapp.scan.keyboards import KEYBOARDS, US_KEYS

_CODES = """
    XL1 XL11 XL111 XL1111 1XL1 11XL1 XL2 XL12 XL21 XL1-1A X-L1-2 L1 1L A B AA AB BA AAA ZY1 YZ1 ZZ1 YY1 AQ1 QA1 WZ1 ZW1
    M1 XL110 XL101 XL011 SXL1 0 O 1 11 111 I1 A-1 A-11 A1A A1B XL1A XL1B
"""
NASTY = tuple(
    Tag(("S", "SX", "X", "SXL", "1", "11", "SXL1")[number % 7], code, end)
    for number, code in enumerate(_CODES.split())
    for end in (("A", "B") if number % 2 else ("",))
)
"""Codes that hold one another, run on into their ends and their owners, or differ by what keyboards mistake."""


def written_by(keyboard, text, caps=False, locked=False):
    """What a computer that is set to ``keyboard`` (None: a US one) writes when a US scanner sends ``text``.

    ``caps``: Caps Lock is on and turns letters; ``locked``: shift is locked for all keys.
    """
    return "".join(_key(keyboard, character, caps, locked) for character in text)


def _key(keyboard, character, caps, locked):
    place = US_KEYS.find(character)
    if keyboard is not None and place >= 0:
        with_shift = character.isalpha() or character == ":"
        character = (keyboard.shifted if with_shift != locked else keyboard.alone)[place]
    turned = character.swapcase()
    return turned if caps and len(turned) == 1 else character


def dropped(text, place):
    return text[:place] + text[place + 1 :]


def repeated(text, place):
    return text[: place + 1] + text[place:]


def substituted(text, place, chance):
    return text[:place] + chance.choice(ALPHABET) + text[place + 1 :]


def swapped(text, place):
    return text[:place] + text[place + 1 : place + 2] + text[place : place + 1] + text[place + 2 :]


def garbled(text, chance, least=0):
    """The text with up to three keys dropped or repeated; in one of twenty also one taken for another or swapped.

    ``least``: how many are at least.
    """
    for _ in range(chance.randint(least, 3)):
        if text:
            text = chance.choice((dropped, repeated))(text, chance.randrange(len(text)))
    if text and chance.random() < 0.05:
        place = chance.randrange(len(text))
        text = substituted(text, place, chance) if chance.random() < 0.5 else swapped(text, place)
    return text


@dataclass
class Tally:
    """What came of many bursts."""

    taken: int = 0
    asked_again: int = 0
    foreign: int = 0
    spell_another: int = 0
    wrong: list = field(default_factory=list)


def try_bursts(tags, mark, count, chance):
    """Send ``count`` garbled bursts of the rig's tags, lasting and for the show, through keyboards of all sorts.

    A burst that spells another tag of the rig in whole, which a swap can do, is counted by itself: nobody can tell.
    """
    reader, tally = BurstReader(tags, mark), Tally()
    sent = [replace(tag, mark=one) for tag in tags for one in ("", mark)]
    spelt = {squeezed(tag.text) for tag in sent}
    for _ in range(count):
        tag, keyboard = chance.choice(sent), chance.choice((None, None, None, *KEYBOARDS))
        text = garbled(tag.text, chance)
        caps, locked = chance.random() < 0.2, keyboard is not None and keyboard.locks and chance.random() < 0.2
        found = reader.read(written_by(keyboard, text, caps and not locked, locked))
        same = found.sure and replace(found.tag, mark="") == replace(tag, mark="")
        if found.sure and not same and squeezed(text) in spelt:
            tally.spell_another += 1
        elif found.sure and not same:
            tally.wrong.append((tag.text, text, keyboard and keyboard.name, found.tag.text))
        else:
            tally.taken += same
            tally.foreign += found.foreign is not None
            tally.asked_again += not found.sure and found.foreign is None
    return tally
