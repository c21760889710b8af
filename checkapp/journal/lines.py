"""An entry as one line of an export, and back, with every text as it is stored.

A line is a JSON object with the columns as keys, in their order. ``detail`` stands in it as the very text that is
stored, so that its digest still fits when it is taken out again: keys twice, numbers of any length and blanks survive.
A stored text that cannot stand there (not a JSON object, or on more than one line) is given once more as a JSON string
under the key ``detail_text``, which then counts.
"""

import re
from json import JSONDecodeError, JSONDecoder, decoder, encoder
from typing import Any, NoReturn

from checkapp.journal.entry import COLUMNS, OPTIONAL, Entry
from checkapp.rig.errors import shown

DETAIL_TEXT = "detail_text"
"""The key for a detail that cannot stand in a line as it is."""

_scan_string = decoder.scanstring  # type: ignore[attr-defined]
_quoted = encoder.encode_basestring
_MOST_SEQ = 2**63 - 1
_SEQ = re.compile(r"[1-9][0-9]{0,18}", re.ASCII)
_LINE_BREAKS = re.compile(r"[\r\n]")
_SEQ_AT = COLUMNS.index("seq")
_DETAIL_AT = COLUMNS.index("detail") + 1
_OBJECT = "a JSON object on one line"
_NUMBER = "a whole number from 1"

_PLAIN = r'"([^"\\\x00-\x1f]*)"'  # a text without escapes
_PATTERNS = dict.fromkeys(OPTIONAL, rf"(?:null|{_PLAIN})") | {"seq": r"([0-9]+)", "detail": r"(\{.*\})"}
_USUAL = re.compile(r"\{" + ",".join(f'"{name}":{_PATTERNS.get(name, _PLAIN)}' for name in COLUMNS) + r"\}", re.ASCII)
"""A line as `line_of` writes most of them: read in a quarter of the time that any other takes."""


class NoEntry(ValueError):
    """A line that holds no entry: ``wrong`` says why, ``right`` what it should be."""

    def __init__(self, field: str, wrong: str, right: str) -> None:
        self.field, self.wrong, self.right = field, wrong, right
        super().__init__(wrong)


def _refuse(constant: str) -> NoReturn:
    raise ValueError(f"{constant} is no JSON")


_DECODER = JSONDecoder(parse_int=len, parse_float=len, parse_constant=_refuse)  # a number is looked at, not reckoned


def is_object(text: str) -> bool:
    """Whether ``text`` is one JSON object."""
    try:
        return isinstance(_DECODER.decode(text), dict)
    except (ValueError, RecursionError):
        return False


def line_of(entry: Entry) -> str:
    """The line of an entry, without a line break."""
    parts = [f'"{name}":{_value(name, value)}' for name, value in zip(COLUMNS, entry.values, strict=True)]
    detail = entry.detail
    if detail is not None and _in_line(detail) != detail:
        parts.append(f'"{DETAIL_TEXT}":{_quoted(detail)}')
    return f"{{{','.join(parts)}}}"


def read_line(line: str) -> Entry:
    """The entry of a line; keys that are no columns are passed over. `NoEntry`: there is none in it."""
    usual = _USUAL.fullmatch(line)
    if usual is not None and is_object(usual[_DETAIL_AT]):
        texts: list[Any] = list(usual.groups())
        texts[_SEQ_AT] = _number(texts[_SEQ_AT])
        return Entry(*texts)
    found = _members(line)
    missing = [name for name in COLUMNS if name not in found]
    if missing:
        raise NoEntry(missing[0], "is missing", f"the keys of a line are {', '.join(COLUMNS)}")
    values = [_detail(found) if name == "detail" else found[name][0] for name in COLUMNS]
    for name, value in zip(COLUMNS, values, strict=True):
        if name != "seq":
            _check(name, value)
    values[_SEQ_AT] = _number(found["seq"][1])
    return Entry(*values)


def _value(name: str, value: str | int | None) -> str:
    if value is None:
        return "null"
    if isinstance(value, int):
        return str(value)
    return _in_line(value) if name == "detail" else _quoted(value)


def _in_line(detail: str) -> str:
    """The text of a detail as it may stand in a line, where blanks around it would not count."""
    return _LINE_BREAKS.sub(" ", detail.strip(" \t\r\n")) if is_object(detail) else "{}"


def _detail(found: dict[str, tuple[Any, str]]) -> Any:
    """The stored text of the detail."""
    if DETAIL_TEXT in found:
        return found[DETAIL_TEXT][0]
    value, text = found["detail"]
    if value is not None and not isinstance(value, dict):
        raise NoEntry("detail", f"is {shown(text)}", "an object: {...}")
    return None if value is None else text


def _check(name: str, value: Any) -> None:
    if value is None:
        if name not in OPTIONAL:
            raise NoEntry(name, "is null", 'a text: "..."')
    elif not isinstance(value, str):
        raise NoEntry(name, "is no text", 'a text: "..."')
    elif not _has_utf8(value):
        raise NoEntry(name, "has half a character", "whole characters: one that takes two escapes needs both")


def _number(text: str) -> int:
    if _SEQ.fullmatch(text) is None or int(text) > _MOST_SEQ:
        raise NoEntry("seq", f"is {shown(text)}", _NUMBER)
    return int(text)


def _has_utf8(text: str) -> bool:
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True


def _members(line: str) -> dict[str, tuple[Any, str]]:
    """The members of the object that a line holds: each key with its value and the text of that value."""
    try:
        found, end = _walked(line)
    except StopIteration:
        raise NoEntry("", "is cut short or no JSON", _OBJECT) from None
    except JSONDecodeError as error:
        raise NoEntry("", f"is no JSON at column {error.pos + 1}: {error.msg}", _OBJECT) from None
    except RecursionError:
        raise NoEntry("", "has lists or objects within each other too deep", _OBJECT) from None
    if _skip(line, end) != len(line):
        raise NoEntry("", f"has more after the object, at column {end + 1}", "one object a line")
    return found


def _walked(line: str) -> tuple[dict[str, tuple[Any, str]], int]:
    found: dict[str, tuple[Any, str]] = {}
    at = _after(line, 0, "{")
    if line.startswith("}", at):
        return found, at + 1
    while True:
        key, end = _scan_string(line, _after(line, at, '"', blanks=False))
        start = _after(line, end, ":")
        value, end = _DECODER.scan_once(line, start)  # type: ignore[attr-defined]
        if key in found:
            raise NoEntry(shown(key), "stands twice", "each key once")
        found[key] = (value, line[start:end])
        at = _skip(line, end)
        if line.startswith("}", at):
            return found, at + 1
        at = _after(line, at, ",")


def _after(line: str, at: int, sign: str, *, blanks: bool = True) -> int:
    """Where it goes on after ``sign``, which must come next, and blanks."""
    at = _skip(line, at)
    if not line.startswith(sign, at):
        raise JSONDecodeError(f"{sign} must stand there", line, at)
    return _skip(line, at + 1) if blanks else at + 1


def _skip(line: str, at: int) -> int:
    """Where it goes on after blanks."""
    while at < len(line) and line[at] in " \t\r":
        at += 1
    return at
