"""Keyboards of other countries, each key against the symbol files that Linux desktops use."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.scan.burst import tails
from checkapp.scan.keyboards import KEYBOARDS, NO_KEY, US_KEYS, Press, written
from checkapp.scan.keyboards import US as US_KEYBOARD

US = {"alone": "1234567890-qwertyuiopasdfghjkl;zxcvbnm,./", "shifted": "!@#$%^&*()_QWERTYUIOPASDFGHJKL:ZXCVBNM<>?"}
KEYS = [
    f"{row}{key:02d}" for row, count in (("AE", 11), ("AD", 10), ("AC", 10), ("AB", 10)) for key in range(1, count + 1)
]
SIGNS = {
    "ampersand": "&", "apostrophe": "'", "asterisk": "*", "colon": ":", "comma": ",", "currency": "¤", "degree": "°",
    "equal": "=", "exclam": "!", "minus": "-", "parenleft": "(", "parenright": ")", "percent": "%", "period": ".",
    "periodcentered": "·", "plus": "+", "plusminus": "±", "question": "?", "quotedbl": '"', "section": "§",
    "semicolon": ";", "slash": "/", "sterling": "£", "underscore": "_", "aacute": "á", "ae": "æ", "AE": "Æ",
    "agrave": "à", "ccaron": "č", "ccedilla": "ç", "Ccedilla": "Ç", "eacute": "é", "Eacute": "É", "ecaron": "ě",
    "egrave": "è", "iacute": "í", "ntilde": "ñ", "Ntilde": "Ñ", "odiaeresis": "ö", "Odiaeresis": "Ö", "ograve": "ò",
    "oslash": "ø", "Oslash": "Ø", "rcaron": "ř", "scaron": "š", "ssharp": "ß", "udiaeresis": "ü", "Udiaeresis": "Ü",
    "uring": "ů", "yacute": "ý", "zcaron": "ž",
}  # fmt: skip
"""The names of keysyms (X11, keysymdef.h) and what they write; letters and figures are their own names."""

# The keys that differ from those of symbols/us(basic), alone and with shift, as the symbol files of xkeyboard-config
# 2.35.1 give them: fr, be, de, ch, ch(fr), it, es, pt, gb, nl, se, no, dk, cz, hu. A few repeat from one to the next.
_FIGURES = "AE02 2 quotedbl, AE06 6 ampersand, AE07 7 slash, AE08 8 parenleft, AE09 9 parenright, AE10 0 equal, "
_COMMAS = "AB08 comma semicolon, AB09 period colon, AB10 minus underscore, "
_AZERTY = (
    "AE01 ampersand 1, AE02 eacute 2, AE03 quotedbl 3, AE04 apostrophe 4, AE05 parenleft 5, AE07 egrave 7, "
    "AE09 ccedilla 9, AE10 agrave 0, AE11 parenright degree, AD01 a A, AD02 z Z, AC01 q Q, AC10 m M, AB01 w W, "
    "AB07 comma question, AB08 semicolon period, AB09 colon slash, "
)
_QWERTZ = f"{_FIGURES}{_COMMAS}AD06 z Z, AB01 y Y, "
_SWISS = f"{_QWERTZ}AE01 1 plus, AE03 3 asterisk, AE04 4 ccedilla, AE11 apostrophe question, "
_NORDIC = f"{_FIGURES}{_COMMAS}AE04 4 currency, AE11 plus question, "
DIFFERENT = {
    "French": f"{_AZERTY}AE06 minus 6, AE08 underscore 8, AB10 exclam section",
    "Belgian": f"{_AZERTY}AE06 section 6, AE08 exclam 8, AB10 equal plus",
    "German": f"{_QWERTZ}AE03 3 section, AE11 ssharp question, AC10 odiaeresis Odiaeresis",
    "Swiss German": f"{_SWISS}AC10 odiaeresis eacute",
    "Swiss French": f"{_SWISS}AC10 eacute odiaeresis",
    "Italian": f"{_FIGURES}{_COMMAS}AE03 3 sterling, AE11 apostrophe question, AC10 ograve ccedilla",
    "Spanish": f"{_FIGURES}{_COMMAS}AE03 3 periodcentered, AE11 apostrophe question, AC10 ntilde Ntilde",
    "Portuguese": f"{_FIGURES}{_COMMAS}AE11 apostrophe question, AC10 ccedilla Ccedilla",
    "British": "AE02 2 quotedbl, AE03 3 sterling",
    "Dutch": "AE02 2 quotedbl, AE06 6 ampersand, AE07 7 underscore, AE08 8 parenleft, AE09 9 parenright, "
    "AE10 0 apostrophe, AE11 slash question, AC10 plus plusminus, AB08 comma semicolon, AB09 period colon, "
    "AB10 minus equal",
    "Swedish": f"{_NORDIC}AC10 odiaeresis Odiaeresis",
    "Norwegian": f"{_NORDIC}AC10 oslash Oslash",
    "Danish": f"{_NORDIC}AC10 ae AE",
    "Czech": "AE01 plus 1, AE02 ecaron 2, AE03 scaron 3, AE04 ccaron 4, AE05 rcaron 5, AE06 zcaron 6, AE07 yacute 7, "
    "AE08 aacute 8, AE09 iacute 9, AE10 eacute 0, AE11 equal percent, AD06 z Z, AC10 uring quotedbl, AB01 y Y, "
    "AB08 comma question, AB09 period colon, AB10 minus underscore",
    "Hungarian": "AE01 1 apostrophe, AE02 2 quotedbl, AE03 3 plus, AE04 4 exclam, AE06 6 slash, AE07 7 equal, "
    "AE08 8 parenleft, AE09 9 parenright, AE10 odiaeresis Odiaeresis, AE11 udiaeresis Udiaeresis, AD06 z Z, "
    "AC10 eacute Eacute, AB01 y Y, AB08 comma question, AB09 period colon, AB10 minus underscore",
}  # fmt: skip

any_keyboard = pytest.mark.parametrize("keyboard", KEYBOARDS, ids=lambda keyboard: keyboard.name)
sent = st.text(US_KEYS.replace(",", ""), max_size=60)


@pytest.mark.published
@any_keyboard
def test_every_key_writes_what_the_symbol_files_say(keyboard):
    rows = {way: list(row) for way, row in US.items()}
    for key, *wrote in (words.split() for words in DIFFERENT[keyboard.name].rstrip(", ").split(", ")):
        for way, keysym in zip(rows, wrote, strict=True):
            rows[way][KEYS.index(key)] = SIGNS.get(keysym, keysym)
    assert {way: "".join(row) for way, row in rows.items()} == {"alone": keyboard.alone, "shifted": keyboard.shifted}


def test_every_keyboard_is_compared():
    assert [keyboard.name for keyboard in KEYBOARDS] == list(DIFFERENT)


@any_keyboard
def test_no_character_stands_for_two_keys(keyboard):
    for small in (str.lower, str.upper):
        keys = {}
        for row in (keyboard.alone, keyboard.shifted):
            for wrote, key in zip(row, US_KEYS, strict=True):
                assert keys.setdefault(small(wrote), key) == key


@any_keyboard
@given(sent, st.booleans())
def test_what_was_sent_comes_back_with_and_without_caps_lock(garbling, keyboard, text, caps):
    assert garbling.written_by(keyboard, text, caps).translate(keyboard.back()) == text


@any_keyboard
@given(sent)
def test_what_was_sent_comes_back_with_shift_locked_for_all_keys(garbling, keyboard, text):
    assert garbling.written_by(keyboard, text, locked=True).translate(keyboard.back(locked=True)) == text
    assert len(keyboard.backs()) == (2 if keyboard.name in ("French", "Belgian", "German") else 1)


def test_figures_that_only_shift_would_write_are_not_read_without_it():
    keyboards = {keyboard.name: keyboard for keyboard in KEYBOARDS}
    assert "AN:L&".translate(keyboards["French"].back()) == "QN.L1"
    assert "AN.L1".translate(keyboards["French"].back()) == f"QN{NO_KEY}L{NO_KEY}"
    assert "QN:L!".translate(keyboards["German"].back()) == f"QN{NO_KEY}L{NO_KEY}"
    assert "QN:L!".translate(keyboards["German"].back(locked=True)) == "QN.L1"


@any_keyboard
def test_what_no_key_writes_is_known_for_that(keyboard):
    assert "\u2603\x00\u05d0\ud800\u0130".translate(keyboard.back()) == 5 * NO_KEY


@pytest.mark.closed_form
def test_a_tag_and_a_link_as_they_come_through_some_keyboards(garbling):
    keyboards = {keyboard.name: keyboard for keyboard in KEYBOARDS}
    assert garbling.written_by(keyboards["French"], "QN.LD12.A.W") == "AN:LD&é:Q:Z"
    assert garbling.written_by(keyboards["German"], "QN.LY-1.Z") == "QN.LZß1.Y"
    assert garbling.written_by(keyboards["Italian"], "HTTPS://A.B/C-1") == "HTTPSç--A.B-C'1"
    assert garbling.written_by(keyboards["Spanish"], "HTTPS://A.B/C-1") == "HTTPSÑ--A.B-C'1"


# --- keys alone


def presses(keyboard, text, known=True):
    """The keys that a scanner set to the same keyboard presses for the text."""
    found = []
    for character in text:
        place = max(keyboard.alone.find(character), keyboard.shifted.find(character))
        usage = USAGES[place] if known else 0
        found.append(Press(usage, keyboard.alone[place], character not in keyboard.alone))
    return found


USAGES = [
    *[30, 31, 32, 33, 34, 35, 36, 37, 38, 39, 45],  # 1 to 0, minus
    *[20, 26, 8, 21, 23, 28, 24, 12, 18, 19],  # Q to P
    *[4, 22, 7, 9, 10, 11, 13, 14, 15, 51],  # A to L, semicolon
    *[29, 27, 6, 25, 5, 17, 16, 54, 55, 56],  # Z to M, comma, dot, slash
]
"""USB HID Usage Tables 1.12, keyboard page 0x07; from memory."""


@pytest.mark.parametrize("keyboard", [US_KEYBOARD, *KEYBOARDS], ids=lambda keyboard: keyboard.name)
def test_keys_alone_tell_what_they_write_by_the_keyboard_they_fit(keyboard):
    for text in ("QN.LD12.A.W", "QN.STOVE.X", "QN.ZAYM98.5"):
        assert written(presses(keyboard, text)) == text


def test_keys_of_a_us_scanner_come_out_as_on_the_computers_keyboard(garbling):
    """Keyboards that differ only where a colon is sent are not told apart, which no tag has."""
    for keyboard in KEYBOARDS:
        text = garbling.written_by(keyboard, "HTTPS://A.B/QN.LY-12.A.W")
        assert "QN.LY-12.A.W" in tails(written(presses(keyboard, text)))


def test_without_their_numbers_keys_are_those_of_a_us_keyboard():
    assert written(presses(US_KEYBOARD, "QN.LD12.A.W:", known=False)) == "QN.LD12.A.W:"
    assert written([Press(0, "é", True), Press(0, "é", False), Press(999, "x", True)]) == "ÉéX"
    assert written([]) == ""
