"""What was heard: the evidence that the suspects are drawn from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from checkapp.rig.words import Symptom

if TYPE_CHECKING:
    from checkapp.rig.model import Item

Path = tuple["Item", ...]
Verdict = Literal["ok", "faulty"]


@dataclass(frozen=True, slots=True)
class Heard:
    """What a line did while it ran through the items of ``path``; ``symptom`` is None where none was said.

    ``again``: it was faulty before too, through the same items; a third time would tell nothing.
    """

    line: str
    path: Path
    verdict: Verdict
    symptom: Symptom | None = None
    again: bool = False


def latest(heard: Iterable[Heard]) -> tuple[Heard, ...]:
    """The last one of each line for each set of items that it ran through, in the order in which they were heard."""
    kept: dict[tuple[str, frozenset[Item]], Heard] = {}
    for one in heard:
        key = (one.line, frozenset(one.path))
        before = kept.pop(key, None)
        if before and before.verdict == one.verdict == "faulty":
            one = replace(one, again=True)
        kept[key] = one
    return tuple(kept.values())


def faulty_now(paths: Mapping[str, Path], heard: Iterable[Heard]) -> tuple[str, ...]:
    """The lines whose mark for the items that they run through now is faulty, in the order of ``paths``."""
    now = {line: frozenset(path) for line, path in paths.items()}
    found = {one.line for one in heard if one.verdict == "faulty" and now.get(one.line) == frozenset(one.path)}
    return tuple(line for line in paths if line in found)
