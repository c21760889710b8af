"""What an item is called over all rigs: by its owner and its code, so that a cable keeps its history in another rig."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from checkapp.journal import setup_kinds
from checkapp.rig.codes import read_port
from checkapp.rig.words import ITEM_KINDS

if TYPE_CHECKING:
    from checkapp.journal.exposures import Done
    from checkapp.journal.kinds import RigUsed
    from checkapp.rig.words import ItemKind

_SPOKEN: dict[str, ItemKind] = {"source": "source", "load": "source", "desk": "desk", "chain": "chain"}


class Names:
    """Names and kinds of all items that a log knows.

    An item of which nobody said whose it is, on an old record, is taken for the only one of that code that is known;
    where there is none or more than one it goes by its code alone.
    """

    def __init__(self, done: Iterable[Done]) -> None:
        self.kinds: dict[str, ItemKind] = {}
        self._owner: dict[str | None, str] = {}
        self._hired: dict[tuple[str | None, str], str] = {}
        self._known: dict[str, set[str]] = {}
        for of_rig in done:
            self._take(of_rig)

    def _take(self, of_rig: Done) -> None:
        for deed in of_rig.deeds:
            used, swap, repair = deed.used, setup_kinds.read_swap(deed.entry), deed.repair
            if used is not None:
                self._owner[of_rig.rig] = used.owner
                self._hired |= {(of_rig.rig, code): owner for code, owner in used.owners.items()}
            elif swap is not None and swap.owner:
                self._hired[of_rig.rig, swap.new] = swap.owner
            elif repair is not None and repair.replacement and repair.owner:
                self._hired[of_rig.rig, repair.replacement] = repair.owner

    def learn(self, rig: str | None, used: RigUsed) -> None:
        """Know the items of a plan, and their kinds."""
        for path in used.lines.values():
            for item, kind in path:
                self.know(rig, item, kind)

    def know(self, rig: str | None, item: str, kind: str) -> str:
        """The name of an item that a line of a rig runs through."""
        name = self.name(rig, item)
        if name not in self.kinds:
            self.kinds[name] = kind if kind in ITEM_KINDS else _guessed(item)
            self._known.setdefault(item, set()).add(name)
        return name

    def name(self, rig: str | None, item: str) -> str:
        """The name of an item as a rig calls it."""
        if "." in item:
            return item
        owner = self._hired.get((rig, _code(item))) or self._owner.get(rig)
        if owner:
            return f"{owner}.{item}"
        known = self._known.get(item, set())
        return next(iter(known)) if len(known) == 1 else item

    def kind(self, name: str) -> ItemKind:
        """The kind of an item by name; a code that no rig has ever had is taken for a cable's."""
        return self.kinds.get(name) or _guessed(name.rpartition(".")[2])


def _code(item: str) -> str:
    port = read_port(item)
    return item if port is None else port.code


def _guessed(item: str) -> ItemKind:
    return _SPOKEN.get(item.split(" ", 1)[0]) or ("port" if read_port(item) else "cable")
