"""What single cells of a list say: numbers and ranges of lines, phantom power, levels, ports."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise

from checkapp.rig.codes import CODE_PATTERN, DESK, Direction
from checkapp.rig.words import Level
from checkapp.sheets.heading_words import word_set
from checkapp.sheets.headings import fold
from checkapp.tongue import tr

LARGEST_NUMBER = 999_999
MOST_IN_RANGE = 256
MOST_PORTS = 512
ONLY_BOX = "BOX"
"""The code of the box of a list that numbers ports and names no box."""
LONGEST_TEXT = 200
"""Characters of a name or note that a tag or a tablet could still show some of."""

_BEFORE = r"(?:(?:ch(?:an(?:nel)?s?)?|kan(?:al|aal)?|voies?|canal[ei]?|can|line|lines?|lijn|nr|no|#|n[°o])[ .:#]*)?"
_IN = r"(?:(?:in(?:put)?|eingang|entree|entrada|ingresso|ingang)[ .:#]*)?"
_OUT = r"(?:out(?:put)?|aux|mix|bus|ausgang|sortie|salida|uscita|uitgang|send|monitor|wedge|iem|matrix|mtx)[ .:#]*"
_NUMBER = re.compile(rf"(?P<word>{_OUT}|{_BEFORE}{_IN})(?P<first>\d{{1,7}})(?:[.,]0+|[.:)])?", re.IGNORECASE)
_SIGN = "-|–|—|/|\\+|&|,|;|to|bis|a|à|al|tot|und|et|y|e|en|and"
_RANGE = re.compile(
    rf"(?P<word>{_OUT}|{_BEFORE}{_IN})(?P<first>\d{{1,7}}) *(?P<sign>{_SIGN})"
    rf" *(?:{_OUT}|{_BEFORE}{_IN})(?P<last>\d{{1,7}})",
    re.IGNORECASE,
)
_DATES = (
    re.compile(r"(?P<y>\d{4})-(?P<a>\d{1,2})-(?P<b>\d{1,2})(?:[ T]00:00(?::00)?)?"),
    re.compile(r"(?P<a>\d{1,2})[./](?P<b>\d{1,2})[./](?P<y>\d{4}|\d{2})"),
)
_SPANS = {"-", "–", "—", "to", "bis", "a", "à", "al", "tot"}


@dataclass(frozen=True, slots=True)
class Numbers:
    """The lines that a number cell names: the first and the last, whether as a pair, and what is to be said of it."""

    first: int
    last: int
    pair: bool = False
    direction: Direction | None = None
    said: str = ""

    @property
    def count(self) -> int:
        """How many lines."""
        return self.last - self.first + 1


def read_numbers(text: str) -> Numbers | None:
    """``7``, ``Ch 7``, ``1-8``, ``1/2``, ``Aux 3``; None when it is no number of a line, or a range that cannot be."""
    text = " ".join(text.split())
    found = _NUMBER.fullmatch(text)
    if found:
        number = int(found["first"])
        return Numbers(number, number, direction=_direction(found["word"])) if 0 < number <= LARGEST_NUMBER else None
    found = _RANGE.fullmatch(text)
    if found:
        pair = found["sign"].lower() not in _SPANS
        return _span(int(found["first"]), int(found["last"]), _direction(found["word"]), pair=pair)
    date = next((found for pattern in _DATES if (found := pattern.fullmatch(text))), None)
    if date is None:
        return None
    first, last = sorted((int(date["a"]), int(date["b"])))
    span = _span(first, last, None, pair=last == first + 1)
    said = tr(
        "{text} read as {first} to {last}: a spreadsheet program makes a date of such numbers",
        text=text,
        first=first,
        last=last,
    )
    return span and Numbers(first, last, span.pair, None, said)


def _direction(word: str | None) -> Direction | None:
    folded = fold(word or "")
    if folded and re.fullmatch(_OUT, f"{folded} ", re.IGNORECASE):
        return "out"
    return "in" if folded and re.fullmatch(_IN, f"{folded} ", re.IGNORECASE) else None


def _span(first: int, last: int, direction: Direction | None, *, pair: bool) -> Numbers | None:
    if last < 10 and first >= 10 and first % 10 < last:  # 31/2, 31-4: the figures that stay are not written again
        last += first - first % 10
    if not 0 < first < last <= LARGEST_NUMBER or last - first >= MOST_IN_RANGE:
        return None
    return Numbers(first, last, pair and last == first + 1, direction) if not pair or last == first + 1 else None


_YES = word_set(
    """48v, 48, v, p48, v48, p48v, x, xx, yes, y, ja, j, jo, oui, o, si, s, true, 1, on, an, ein, phantom, wahr,
    vrai, vero, waar, verdadero, ok, 48 v, 48 volt, 48 volts, phantom power, ✓, ✔, •, ●, ☑, ✅, ■, √"""
)
_NO = word_set(
    """no, n, nein, non, nee, off, aus, 0, 0v, false, falsch, faux, falso, onwaar, none, keine, kein, aucun, aucune,
    ninguno, niente, geen, not needed, na, -, –, —, /, ☐, □, n/a, 0 v, no 48v"""
)
_TICKS = word_set("x, xx, ✓, ✔, •, ●, ☑, ✅, ■, √")
_PHANTOM_WORD = re.compile(r"(?<!\d)\+?48 ?v\b|\bp48\b|\bphantom\b", re.IGNORECASE)
_AGAINST = re.compile(
    r"\b(?:no|not|non|never|without|off|ohne|kein(?:e|en)?|nicht|sans|pas|sin|senza|zonder|geen|niet|aus)\b",
    re.IGNORECASE,
)


def read_phantom(text: str) -> bool | None:
    """Whether a cell of the phantom column asks for it; None when it cannot be told."""
    plain = " ".join(text.casefold().split())
    if not plain or plain in _NO:
        return False
    if plain in _YES or fold(plain) in _YES:
        return True
    return False if fold(plain) in _NO else None


def is_tick(text: str) -> bool:
    """Whether a cell is ticked rather than written in."""
    return text.casefold() in _TICKS


def phantom_beside(text: str) -> bool | None:
    """Whether a source or note asks for phantom power; None when it does not speak of it, or against it."""
    if not _PHANTOM_WORD.search(text):
        return None
    return None if _AGAINST.search(text) else True


_LEVELS: dict[Level, frozenset[str]] = {
    "mic": word_set(
        """mic, mics, mike, m, mik, mikro, mikrofon, micro, microphone, microfono, microfoon, micropegel, mikrofonpegel,
        di, d i, mic level, niveau micro, nivel de micro, livello microfono, microfoonniveau"""
    ),
    "line": word_set(
        """line, l, lin, linie, ligne, linea, lijn, linepegel, line level, niveau ligne, nivel de linea, livello linea,
        lijnniveau"""
    ),
    "instrument": word_set(
        """instrument, inst, instr, hiz, i, instrumento, strumento, instrumentpegel, hi z, instrument level, high z,
        niveau instrument, instrumentniveau, high impedance"""
    ),
}
_SOURCES: tuple[tuple[Level, frozenset[str]], ...] = (
    ("mic", word_set("di, d i, dis, dibox, di box, active di, passive di, stereo di")),
    ("instrument", word_set("hi z, hiz, high z, instrument, pickup")),
    (
        "line",
        word_set(
            """line, linie, ligne, linea, lijn, playback, laptop, tablet, computer, ordinateur, ordenador, player,
            interface, keys, keyboard, keyboards, synth, sampler, sequencer, tracks, line out, zuspieler, lecteur,
            lettore, speler, phone, telefon, submix, return"""
        ),
    ),
    (
        "mic",
        word_set(
            """mic, mics, mike, mikes, mikrofon, mikrofone, mikro, micro, micros, microphone, microphones, microfono,
            microfonos, microfoni, microfoon, microfoons, condenser, dynamic, kondensator, dynamisch, condensateur,
            dynamique, condensador, dinamico, condensatore, ribbon, bandchen, ruban, boundary, clip, overhead, lavalier,
            headset, handheld, cond, dyn"""
        ),
    ),
)
"""What source words speak for, the surest first: a DI gives microphone level. Common practice, no source."""


def read_level(text: str) -> Level | None:
    """The level that a cell of the level column says; None when it cannot be told."""
    folded = fold(text)
    return next((level for level, words in _LEVELS.items() if folded in words), None)


def guess_level(source: str) -> tuple[Level, str] | None:
    """The level that a source word speaks for, and the word; None when none does."""
    words = re.sub(r"\d+", " ", fold(source)).split()
    said = {*words, *(" ".join(pair) for pair in pairwise(words))}
    for level, known in _SOURCES:
        found = sorted(said & known, key=len)
        if found:
            return level, found[-1]
    return None


@dataclass(frozen=True, slots=True)
class Plugged:
    """Where a list says that a line is plugged: the code of a box or of the desk, and the port on it."""

    code: str
    port: int


_PORT_WORDS = r"(?:in(?:put)?|out(?:put)?|ch(?:annel)?|port|eingang|ausgang|kanal|way|#|/|-|\.|:|,| )"
_PLUGGED = re.compile(rf"(?P<code>.*?[^ ]) *(?:{_PORT_WORDS} *)+(?P<port>\d{{1,4}})")
_LETTER_PORT = re.compile(r"(?P<code>[a-z]{1,3})(?P<port>\d{1,3})")


def read_plugged(box: str, port: str) -> Plugged | None:
    """The port that a box cell and a port cell name together, either of them blank; None when they do not name one."""
    if box and port:
        code = box_code(box)
        number = re.fullmatch(rf"(?:{_PORT_WORDS} *)*(\d{{1,4}})(?:[.,]0+)?", port.casefold().strip())
        if code is None or number is None:
            both = None if port.strip().isdecimal() else read_plugged("", port)
            return both if both and code in (None, both.code) else None
        return _port(code, number[1])
    text = " ".join((box or port).casefold().split())
    if not box and text.isdecimal():
        return _port(ONLY_BOX, text)
    found = _PLUGGED.fullmatch(text) or _LETTER_PORT.fullmatch(text)
    code = box_code(found["code"]) if found else None
    return _port(code, found["port"]) if found and code else None


def _port(code: str, number: str) -> Plugged | None:
    return Plugged(code, int(number)) if 0 < int(number) <= MOST_PORTS else None


def box_code(text: str) -> str | None:
    """A code for what a list calls a box; None when the name is too long for one, or has no letter or figure."""
    folded = fold(text)
    if folded in ("desk", "foh", "console", "foh desk", "pult", "mischpult", "regie", "mesa", "banco", "mixer"):
        return DESK
    shorter = re.sub(r"^(?:stage ?)?box | (?:stage ?)?box$", "", folded)
    for code in (folded.replace(" ", "-"), folded.replace(" ", ""), shorter.replace(" ", "-")):
        if re.fullmatch(CODE_PATTERN, code.upper()):
            return code.upper()
    return None
