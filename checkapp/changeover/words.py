"""Changes in the words of a crew."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Final, NamedTuple

from checkapp.rig.model import Box, Cable, Chain, Input, Insert, Output, Source, Supply
from checkapp.tongue import later

if TYPE_CHECKING:
    from checkapp.changeover.again import Reason
    from checkapp.changeover.difference import Change, Step
    from checkapp.rig.rig import Rig

STEP_WORDS: Final[Mapping[Step, str]] = {
    "unplug": later("Unplug first"),
    "power": later("Power"),
    "hops": later("Boxes and hops"),
    "lines": later("Plug lines, by box and port"),
    "desk": later("Set at the desk"),
    "stock": later("Cables and sources: fetch, change, lay aside"),
    "paper": later("In the plan alone"),
}
_FIELD_WORDS: Final[Mapping[tuple[str, str], str]] = {
    ("chain", "link"): "kind of link",
    ("chain", "from"): "starts at",
    ("supply", "breaker_amps"): "breaker",
    ("supply", "other_load_w"): "other load",
    ("supply", "cable_m"): "feeder",
    ("supply", "cable_ft"): "feeder",
    ("supply", "core_mm2"): "feeder core",
    ("supply", "core_awg"): "feeder core",
    ("cable", "length_m"): "length",
    ("cable", "length_ft"): "length",
    ("box", "fed_from"): "fed from",
    ("box", "outputs_from"): "outputs from",
    ("box", "cable"): "hop cable",
    ("box", "at"): "on the stage plan",
    ("chain", "at"): "on the stage plan",
    ("link_kind", "max_amps"): "link amps",
    ("link_kind", "volts"): "link power",
    ("box_kind", "draw_w"): "draws",
    ("input", "phantom_ma"): "phantom current",
    ("insert", "return"): "return",
}
_TABLE_WORDS: Final[Mapping[str, str]] = {
    "link_kind": "kind of link",
    "cable_kind": "kind of cable",
    "box_kind": "kind of box",
    "rig": "the rig",
    "diagnose": "chances",
    "plan": "the plan",
}
_UNITS: Final[Mapping[str, str]] = {
    "m": "m",
    "ft": "ft",
    "ohm": "ohm",
    "w": "W",
    "amps": "A",
    "volts": "V",
    "us": "us",
    "mm2": "mm2",
    "awg": "AWG",
    "mm": "mm",
    "c": "C",
    "hz": "Hz",
    "ma": "mA",
}
_REASON_WORDS: Final[Mapping[str, str]] = {
    "new": "new line",
    "order": "the same items in another order",
    "insert": "its insert has changed",
}


class Row(NamedTuple):
    """A change in words: of what, which of its facts ("new" and "gone" for the whole), what it was, what it becomes."""

    what: str
    fact: str
    old: str
    new: str

    @property
    def sentence(self) -> str:
        """``in 3 Saw, port: SB1 in 3 becomes SB1 in 5``; ``SB4, new: line8, fed from SB3, on LK07``."""
        if not (self.old and self.new):
            return f"{self.what}, {self.fact}: {self.old or self.new}"
        return f"{self.what}, {self.fact}: {self.old} becomes {self.new}"


def row(old: Rig, new: Rig, change: Change) -> Row:
    """A change in words."""
    what = _what(old, new, change)
    if not change.field:
        gone = change.new_name is None
        words = entry_words(change.old if gone else change.new)
        return Row(what, "gone", words, "") if gone else Row(what, "new", "", words)
    values = (value_words(change.field, value) for value in (change.old, change.new))
    return Row(what, _fact(change), *values)


def reason_words(reason: Reason) -> str:
    """Why a line is checked again: ``SB1 in 5, not SB1 in 3``; ``now through SB2``; ``phantom power on, was off``."""
    if reason.what in _REASON_WORDS:
        return _REASON_WORDS[reason.what]
    old, new = ", ".join(reason.old), ", ".join(reason.new)
    if reason.what == "another":
        return f"{new} is another or set otherwise"
    if reason.what in ("level", "way", "name", "phantom"):
        word = {"phantom": "phantom power"}.get(reason.what, reason.what)
        return f"{word} {new}, was {old}"
    if old and new:
        return f"{new}, not {old}"
    return f"now through {new}" if new else f"no more through {old}"


def entry_words(entry: object) -> str:
    """An entry that is new or gone, in short: where it is plugged, on what cable."""
    if isinstance(entry, Input | Output):
        source = entry.source if isinstance(entry, Input) else None
        return _joined(entry.port, entry.cable, source)
    if isinstance(entry, Box):
        return _joined(entry.kind, f"fed from {entry.fed_from}", entry.cable, entry.supply, entry.place)
    if isinstance(entry, Cable):
        return _joined(entry.kind, entry.length, "spare" if entry.spare else None)
    if isinstance(entry, Supply):
        return _joined(f"{entry.volts:g} V", f"{entry.breaker_amps:g} A", entry.phase)
    if isinstance(entry, Chain):
        return _joined(entry.link, entry.desk, f"from {entry.start}" if entry.start else None)
    if isinstance(entry, Insert):
        return f"in {entry.input}: out {entry.send}, back {entry.back}"
    return (entry.kind or "source") if isinstance(entry, Source) else "its figures"


def value_words(field: str, value: object) -> str:
    """A value with its unit, in words: ``15 m``, ``on``, ``none``, ``Output switch: own``."""
    if value is None or value == {} or value == []:
        return "none"
    if isinstance(value, bool):
        on, off = ("on", "off") if field == "phantom" else ("yes", "no")
        return on if value else off
    if isinstance(value, int | float):
        unit = _UNITS.get(field.rpartition("_")[2], "")
        return f"{value:.10g} {unit}".rstrip()
    if isinstance(value, Mapping):
        return ", ".join(f"{key}: {value_words(str(key), inner)}" for key, inner in value.items())
    if isinstance(value, tuple | list):
        return ", ".join(value_words("", inner) for inner in value)
    return str(value)


def _what(old: Rig, new: Rig, change: Change) -> str:
    if change.table in ("input", "output"):
        rig = old if change.new_name is None else new
        return f"{change.name} {rig.line(change.name).name}"
    if change.table in _TABLE_WORDS:
        word = _TABLE_WORDS[change.table]
        return f"{word} {change.name}" if change.table.endswith("_kind") else word
    word = {"chain": "chain ", "insert": "insert "}.get(change.table, "")
    return f"{word}{change.name}"


def _fact(change: Change) -> str:
    known = _FIELD_WORDS.get((change.table, change.field))
    if known is not None:
        return known
    words = change.field.split("_")
    return " ".join(words[:-1] if len(words) > 1 and words[-1] in _UNITS else words)


def _joined(*words: str | None) -> str:
    return ", ".join(word for word in words if word)
