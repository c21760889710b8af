"""What can be wrong with what a journal holds, and the sentences that say it."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from checkapp.rig.errors import printable

FaultName = Literal[
    "gap",
    "edited",
    "fork",
    "broken link",
    "unreadable value",
    "duplicate id",
    "extra entry",
    "lost record",
    "changed layout",
    "damaged file",
]


@dataclass(frozen=True, slots=True)
class JournalFault:
    """One thing that is wrong: its name, where it is and a sentence that says it.

    ``device`` and ``id`` are empty and ``seq`` is None where they do not apply or cannot be read.
    """

    name: FaultName
    device: str
    seq: int | None
    id: str
    said: str

    def __str__(self) -> str:
        return self.said


def gap(device: str, first: int, last: int) -> JournalFault:
    """The entries of a device from number ``first`` to ``last`` are not there."""
    missing = f"entry {first}" if first == last else f"entries {first} to {last}"
    verb = "is" if first == last else "are"
    return JournalFault("gap", device, first, "", f"{missing} of tablet {device} {verb} missing")


def fork(device: str, seq: int, ids: Iterable[str]) -> JournalFault:
    """Different entries of a device have the same number."""
    known = list(ids)
    named = ", ".join(one or "no id" for one in known)
    said = f"number {seq} of tablet {device} was used for different entries: {named}"
    return JournalFault("fork", device, seq, known[0] if known else "", printable(said))


def of_entry(name: FaultName, device: str, seq: int | None, entry_id: str, said: str) -> JournalFault:
    """Something about one entry; the sentence begins with its number and device."""
    number = "without a number" if seq is None else str(seq)
    named = f"entry {number} of tablet {device or 'without a name'} ({entry_id or 'no id'})"
    return JournalFault(name, device, seq, entry_id, f"{named} {said}")


def of_file(name: FaultName, said: str) -> JournalFault:
    """Something about the file as a whole."""
    return JournalFault(name, "", None, "", said)


def shown(value: object) -> str:
    """A stored value as a person may read it, on one line; empty when there is none."""
    if value is None:
        return ""
    text = value.decode(errors="replace") if isinstance(value, bytes) else str(value)
    return printable(text, most=80)
