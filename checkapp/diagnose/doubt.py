"""What earlier checks of a show still prove, and how far what was plugged again since is in doubt.

A connection that was plugged again is one item more on the lines through it, as new, of the kind of the item that was
plugged: with the prior p of the item and the chance r of a bad connection one of the two is faulty with the chance
1 - (1 - p)(1 - r). What was heard before the plug speaks of the item and not of the new connection; what was heard
after it speaks of both. Where nothing was plugged again, what an earlier check has heard counts as it did then.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from checkapp.diagnose.evidence import Heard
from checkapp.rig.model import Item

if TYPE_CHECKING:
    from checkapp.diagnose.chances import Chances
    from checkapp.diagnose.evidence import Path

REPLUGGED = 0.02
"""Chance that a connection is bad after it was plugged again: half latched, the wrong socket. Default, no source."""
RELAPSE = 0.02
"""Chance, for each time that an item was found faulty and cleared, that it is faulty again. Default, no source."""


@dataclass(frozen=True, slots=True)
class Round:
    """One check of a show: what was heard in it, and what was done since the check before.

    ``replugged`` are the names of the items that were plugged again since then, ``mended`` those that were cleared of a
    fault in their place: the faulty marks of earlier checks through them say nothing any more. Both are passed over in
    the first check, when everything is new.
    """

    heard: tuple[Heard, ...]
    replugged: frozenset[str] = frozenset()
    mended: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Doubted:
    """Paths, evidence and chances with the connections that were plugged again as items of their own."""

    paths: dict[str, Path]
    heard: tuple[Heard, ...]
    chances: Chances


def doubted(
    paths: Mapping[str, Path], rounds: Sequence[Round], chances: Chances, relapses: Mapping[str, int] | None = None
) -> Doubted:
    """What is to be reckoned with after some checks of one show, the latest last; ``paths`` are those of now.

    ``relapses`` tell how many times each item, by name, was found faulty and cleared, at any show.
    """
    heard: list[Heard] = []
    plugs: dict[str, str] = {}
    priors = dict(chances.items)
    for number, one in enumerate(rounds):
        if number:
            heard = [mark for mark in heard if mark.verdict == "ok" or not _runs_through(mark, one.mended)]
            plugs.update((name, f"{name}, plugged before check {number + 1}") for name in one.replugged)
            priors.update((plugs[name], REPLUGGED) for name in one.replugged)
        heard += [replace(mark, path=_plugged(mark.path, plugs)) for mark in one.heard]
    items = dict.fromkeys(item for path in (*paths.values(), *(mark.path for mark in heard)) for item in path)
    for item in items:
        if times := (relapses or {}).get(item.name, 0):
            priors[item.name] = raised(chances.prior_of(item), RELAPSE, times)
    now = {line: _plugged(path, plugs) for line, path in paths.items()}
    return Doubted(now, tuple(heard), replace(chances, items=priors))


def raised(prior: float, chance: float, times: int = 1) -> float:
    """The chance that an item is faulty, or one of so many further things of that chance is."""
    return 1 - (1 - prior) * (1 - chance) ** times


def _plugged(path: Path, plugs: Mapping[str, str]) -> Path:
    """The path with the connections that were plugged again; no item of a rig is called so, with a comma."""
    return (*path, *(Item(plugs[item.name], item.kind) for item in path if item.name in plugs))


def _runs_through(mark: Heard, names: Collection[str]) -> bool:
    return any(item.name in names for item in mark.path)
