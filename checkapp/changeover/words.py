"""Changes in the words of a crew."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Final, NamedTuple

from checkapp.rig import measures, units
from checkapp.rig.measures import length_of
from checkapp.rig.model import Box, Cable, Chain, Input, Insert, Output, Source, Supply
from checkapp.tongue import later, shown_word, tr
from checkapp.tongue.numbers import number, with_sign

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
    ("chain", "link"): later("kind of link"),
    ("chain", "from"): later("starts at"),
    ("supply", "breaker_amps"): later("breaker"),
    ("supply", "other_load_w"): later("other load"),
    ("supply", "cable_m"): later("feeder"),
    ("supply", "cable_ft"): later("feeder"),
    ("supply", "core_mm2"): later("feeder core"),
    ("supply", "core_awg"): later("feeder core"),
    ("cable", "length_m"): later("length"),
    ("cable", "length_ft"): later("length"),
    ("box", "fed_from"): later("fed from"),
    ("box", "outputs_from"): later("outputs from"),
    ("box", "cable"): later("hop cable"),
    ("box", "at"): later("on the stage plan"),
    ("chain", "at"): later("on the stage plan"),
    ("link_kind", "max_amps"): later("link amps"),
    ("link_kind", "volts"): later("link power"),
    ("box_kind", "draw_w"): later("draws"),
    ("input", "phantom_ma"): later("phantom current"),
    ("insert", "return"): later("return"),
}
_FACTS: Final = (
    *(later("kind"), later("owner"), later("settings"), later("phase"), later("volts"), later("level"), later("way")),
    *(later("place"), later("zone"), later("stand"), later("note"), later("name"), later("cable"), later("source")),
    *(later("supply"), later("desk"), later("spare"), later("repeats"), later("send"), later("port")),
)
"""Fields that are called in words as they are in plan files."""
_TABLE_WORDS: Final[Mapping[str, str]] = {
    "link_kind": later("kind of link"),
    "cable_kind": later("kind of cable"),
    "box_kind": later("kind of box"),
    "rig": later("the rig"),
    "diagnose": later("chances"),
    "plan": later("the plan"),
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
    "new": later("new line"),
    "order": later("the same items in another order"),
    "insert": later("its insert has changed"),
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
        return f"{self.what}, {self.fact}: {tr('{old} becomes {new}', old=self.old, new=self.new)}"


def row(old: Rig, new: Rig, change: Change) -> Row:
    """A change in words."""
    what = _what(old, new, change)
    if not change.field:
        gone = change.new_name is None
        words = entry_words(change.old if gone else change.new)
        return Row(what, tr("gone"), words, "") if gone else Row(what, tr("new"), "", words)
    values = (value_words(change.field, value) for value in (change.old, change.new))
    return Row(what, _fact(change), *values)


def reason_words(reason: Reason) -> str:
    """Why a line is checked again: ``SB1 in 5, not SB1 in 3``; ``now through SB2``; ``phantom power on, was off``."""
    if reason.what in _REASON_WORDS:
        return shown_word(_REASON_WORDS[reason.what])
    old, new = ", ".join(reason.old), ", ".join(reason.new)
    if reason.what == "another":
        return tr("{item} is another or set otherwise", item=new)
    if reason.what in ("level", "way", "name", "phantom"):
        word = shown_word({"phantom": "phantom power"}.get(reason.what, reason.what))
        return tr("{what} {new}, was {old}", what=word, new=new, old=old)
    if old and new:
        return tr("{new}, not {old}", new=new, old=old)
    return tr("now through {items}", items=new) if new else tr("no more through {items}", items=old)


def entry_words(entry: object) -> str:
    """An entry that is new or gone, in short: where it is plugged, on what cable."""
    if isinstance(entry, Input | Output):
        source = entry.source if isinstance(entry, Input) else None
        return _joined(entry.port, entry.cable, source)
    if isinstance(entry, Box):
        return _joined(
            entry.kind, tr("fed from {socket}", socket=entry.fed_from), entry.cable, entry.supply, entry.place
        )
    if isinstance(entry, Cable):
        return _joined(entry.kind, length_of(entry), tr("spare") if entry.spare else None)
    if isinstance(entry, Supply):
        return _joined(f"{number(entry.volts)} V", f"{number(entry.breaker_amps)} A", entry.phase)
    if isinstance(entry, Chain):
        return _joined(entry.link, entry.desk, tr("from {was}", was=entry.start) if entry.start else None)
    if isinstance(entry, Insert):
        return tr("{line}: out {send}, back {back}", line=f"in {entry.input}", send=entry.send, back=entry.back)
    return (entry.kind or tr("source")) if isinstance(entry, Source) else tr("its figures")


def value_words(field: str, value: object) -> str:
    """A value with its unit, in words: ``15 m``, ``on``, ``none``, ``Output switch: own``."""
    if value is None or value == {} or value == []:
        return tr("none")
    if isinstance(value, bool):
        on, off = (tr("on"), tr("off")) if field == "phantom" else (tr("yes"), tr("no"))
        return on if value else off
    if isinstance(value, int | float):
        said = _in_unit(field, float(value))
        if said:
            return said
        unit = _UNITS.get(field.rpartition("_")[2], "")
        return with_sign(f"{value:.10g} {unit}".rstrip())
    if isinstance(value, Mapping):
        return ", ".join(f"{key}: {value_words(str(key), inner)}" for key, inner in value.items())
    if isinstance(value, tuple | list):
        return ", ".join(value_words("", inner) for inner in value)
    return str(value)


def _in_unit(field: str, value: float) -> str:
    """A length or a cross-section in the unit that was chosen; empty for others, and where none was."""
    wanted_length, wanted_area = measures.length_unit(), measures.area_unit()
    if field.endswith(("_m", "_ft")) and wanted_length:
        return measures.length(value if field.endswith("_m") else units.metres_from_feet(value))
    if field.endswith(("_mm2", "_awg")) and wanted_area:
        return measures.area(value if field.endswith("_mm2") else units.area_mm2_from_awg(value))
    return ""


def _what(old: Rig, new: Rig, change: Change) -> str:
    if change.table in ("input", "output"):
        rig = old if change.new_name is None else new
        return f"{change.name} {rig.line(change.name).name}"
    if change.table in _TABLE_WORDS:
        word = shown_word(_TABLE_WORDS[change.table])
        return f"{word} {change.name}" if change.table.endswith("_kind") else word
    word = {"chain": "chain ", "insert": "insert "}.get(change.table, "")
    return f"{word}{change.name}"


def _fact(change: Change) -> str:
    known = _FIELD_WORDS.get((change.table, change.field))
    if known is not None:
        return shown_word(known)
    words = change.field.split("_")
    return shown_word(" ".join(words[:-1] if len(words) > 1 and words[-1] in _UNITS else words))


def _joined(*words: str | None) -> str:
    return ", ".join(word for word in words if word)
