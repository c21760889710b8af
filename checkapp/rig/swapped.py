"""A copy of a rig in which one item took another's place, as a crew does with a spare or with hired gear."""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Any, Literal, TypeVar

from checkapp.rig.change import CannotChange, must_be_new, must_have_resistance, must_have_ways, with_tables
from checkapp.rig.codes import CODE_PATTERN, OWNER_PATTERN, read_port, without_hyphens
from checkapp.rig.measures import length_of
from checkapp.rig.model import Cable, Input, Source, Supply, Table
from checkapp.rig.rig import Rig
from checkapp.tongue import shown_word, tr
from checkapp.tongue.numbers import number

Sort = Literal["cable", "box", "supply", "source"]
"""What can take the place of its like."""

_Entry = TypeVar("_Entry", bound=Table)


def swapped(rig: Rig, old: str, new: str, owner: str | None = None) -> Rig:
    """A copy in which ``new`` took the place of ``old`` everywhere; the rig itself stays as it is.

    ``old`` is an item in use, as `Rig.resolve` names it: a cable, a box, a supply or a source (one without a code is
    ``source in 3``). ``new`` is the code of an item of the same sort that nothing uses, with its own kind and length,
    or a code that the rig does not have: that is taken to be like the old one, and belongs to ``owner`` (None: to the
    rig's). An old cable, supply or source stays among the items, used by nothing and no spare; an old box is out of
    the rig, its ports too. The copy still names the plan file and the digest that it comes from.

    `CannotChange`: what cannot be swapped, is of another sort, is in use, or would break a rule of plan files.
    """
    sort = _sort_of_old(rig, old)
    if without_hyphens(old) == without_hyphens(new):
        raise CannotChange(tr("{item} cannot take its own place", item=old))
    if not used_by(rig, old):
        raise CannotChange(tr("{item} is not in use: nothing takes its place", item=old))
    known = _sort(rig, new)
    if known is None:
        _must_be_a_code(rig, new, owner)
        owner = None if owner == rig.owner else owner
        return _TAKEN_IN[sort](rig, old, new, owner)
    if known != sort:
        words = {"new": new, "old": old, "known": shown_word(known), "sort": shown_word(sort)}
        raise CannotChange(tr("{new} is a {known}, {old} a {sort}: only a {sort} takes its place", **words))
    if owner is not None and owner != rig.owner_of(new):
        told = {"item": new, "owner": rig.owner_of(new), "new": f"{owner}.{new}"}
        raise CannotChange(tr("the rig has a {item} of {owner} already: {new} cannot be told from it", **told))
    if known == "box":
        raise CannotChange(
            tr("{item} is in use: only a box that the rig does not have takes another's place", item=new)
        )
    if users := used_by(rig, new):
        raise CannotChange(tr("{item} is in use: {users}", item=new, users=", ".join(users)))
    return _PUT_IN[sort](rig, old, new)


def differences(rig: Rig, old: str, new: str) -> tuple[str, ...]:
    """In what the item ``new`` is another than ``old``, in words; empty when in nothing that the plan tells.

    A code that the rig does not have is taken to be like the old one.
    """
    return tuple(_differences(rig, old, new))


def used_by(rig: Rig, item: str) -> tuple[str, ...]:
    """The lines and boxes that a cable, supply or source serves; a box serves itself. Empty for what nothing uses."""
    if item in rig.boxes:
        return (item,)
    boxes = (box.code for box in rig.boxes.values() if item in (box.cable, box.supply))
    lines = (line.line for line in rig.lines if item in (line.cable, _source(line)))
    return (*boxes, *lines)


def renamed(name: str, old: str, new: str) -> str:
    """What an item is called once ``new`` took the place of ``old``, be it that one, a port of it, or any other."""
    if name == old:
        return new
    port = read_port(name)
    return str(replace(port, code=new)) if port is not None and port.code == old else name


def _source(line: Any) -> str | None:
    """The source of an input, by code or as ``source in 3``; an output has none."""
    return (line.source or f"source {line.line}") if isinstance(line, Input) else None


def _sort(rig: Rig, name: str) -> str | None:
    """What an item is; None for a name that the rig does not have."""
    tables: dict[str, Mapping[str, Table]] = {
        "cable": rig.cables,
        "box": rig.boxes,
        "supply": rig.supplies,
        "source": rig.sources,
        "chain": rig.chains,
    }
    return next((sort for sort, table in tables.items() if name in table), rig.items.get(name))


def _sort_of_old(rig: Rig, old: str) -> Sort:
    sort = _sort(rig, old)
    if sort is None:
        raise CannotChange(tr("the rig has no {item}", item=old))
    if sort == "port":
        raise CannotChange(tr("{item} cannot be swapped: move its line to a free port, or swap the box", item=old))
    if sort not in _PUT_IN or old.startswith("load "):
        raise CannotChange(tr("{item} cannot be swapped: name a cable, a box, a supply or a source", item=old))
    return sort  # type: ignore[return-value]


def _must_be_a_code(rig: Rig, code: str, owner: str | None) -> None:
    if not re.fullmatch(CODE_PATTERN, code):
        raise CannotChange(tr("{code} is no code: 1 to 10 of A-Z 0-9 and hyphens within", code=code))
    if owner is not None and not re.fullmatch(OWNER_PATTERN, owner):
        raise CannotChange(tr("{owner} is no owner: 1 to 4 of A-Z 0-9", owner=owner))
    must_be_new(rig, code)


def _with(entries: list[_Entry], field: str, old: str | None, new: str) -> list[_Entry]:
    """The entries, with ``new`` where the field holds ``old``."""
    return [one.model_copy(update={field: new}) if getattr(one, field) == old else one for one in entries]


def _put_cable(rig: Rig, old: str, new: str) -> Rig:
    cable, kind = rig.cables[new], rig.cable_kind(rig.cables[new])
    for line in rig.lines:
        if line.cable == old and line.way > kind.ways:
            told = {"cable": new, "line": line.line, "way": line.way, "ways": kind.ways}
            raise CannotChange(tr("{cable} has too few ways: {line} is on way {way}, it has {ways}", **told))
    for box in rig.boxes.values():
        if box.cable == old and not rig.box_kind(box).passive:
            must_have_resistance(rig, cable, rig.chain_of(box.code))
    plan = rig.plan
    cables = [one.model_copy(update={"spare": False}) if one.code in (old, new) else one for one in plan.cable]
    users = {table: _with(getattr(plan, table), "cable", old, new) for table in ("box", "input", "output")}
    copy = with_tables(rig, cable=cables, **users)
    must_have_ways(copy)
    return copy


def _put_supply(rig: Rig, old: str, new: str) -> Rig:
    return with_tables(rig, box=_with(rig.plan.box, "supply", old, new))


def _put_source(rig: Rig, old: str, new: str) -> Rig:
    inputs = [one.model_copy(update={"source": new}) if _source(one) == old else one for one in rig.plan.input]
    return with_tables(rig, input=inputs)


def _take_cable(rig: Rig, old: str, new: str, owner: str | None) -> Rig:
    like: Cable = rig.cables[old].model_copy(update={"code": new, "owner": owner})
    return _put_cable(with_tables(rig, cable=[*rig.plan.cable, like]), old, new)


def _take_supply(rig: Rig, old: str, new: str, owner: str | None) -> Rig:
    like: Supply = rig.supplies[old].model_copy(update={"code": new, "owner": owner})
    return _put_supply(with_tables(rig, supply=[*rig.plan.supply, like]), old, new)


def _take_source(rig: Rig, old: str, new: str, owner: str | None) -> Rig:
    kind = rig.sources[old].kind if old in rig.sources else None
    like = Source(code=new, kind=kind, owner=owner)
    return _put_source(with_tables(rig, source=[*rig.plan.source, like]), old, new)


def _take_box(rig: Rig, old: str, new: str, owner: str | None) -> Rig:
    """The box under its new name, and all that names it."""

    def named(entries: list[_Entry], *fields: str) -> list[_Entry]:
        return [one.model_copy(update=dict(_new_names(one, fields, old, new))) for one in entries]

    plan = rig.plan
    boxes = named(plan.box, "code", "fed_from", "outputs_from", "repeats")
    return with_tables(
        rig,
        box=[one.model_copy(update={"owner": owner}) if one.code == new else one for one in boxes],
        chain=named(plan.chain, "start"),
        input=named(plan.input, "port"),
        output=named(plan.output, "port"),
        insert=named(plan.insert, "send", "back"),
    )


def _new_names(entry: Table, fields: tuple[str, ...], old: str, new: str) -> Iterator[tuple[str, str]]:
    for field in fields:
        name = getattr(entry, field)
        if name is not None:
            yield field, renamed(name, old, new)


_PUT_IN: Mapping[str, Callable[[Rig, str, str], Rig]] = {
    "cable": _put_cable,
    "supply": _put_supply,
    "source": _put_source,
    "box": lambda rig, old, new: _take_box(rig, old, new, None),
}
_TAKEN_IN: Mapping[str, Callable[[Rig, str, str, str | None], Rig]] = {
    "cable": _take_cable,
    "supply": _take_supply,
    "source": _take_source,
    "box": _take_box,
}


def _differences(rig: Rig, old: str, new: str) -> Iterator[str]:
    if old in rig.cables and new in rig.cables:
        was, now = rig.cables[old], rig.cables[new]
        if was.length_m != now.length_m:
            yield tr("{new} is {now}, {old} {before}", new=new, now=length_of(now), old=old, before=length_of(was))
        if was.kind != now.kind:
            yield tr("kind {now}, not {before}", now=now.kind, before=was.kind)
    elif old in rig.sources and new in rig.sources:
        before, after = rig.sources[old].kind, rig.sources[new].kind
        if before and after and before != after:
            yield tr("{new} is {now}, {old} {before}", new=new, now=after, old=old, before=before)
    elif old in rig.supplies and new in rig.supplies:
        yield from _other_supply(rig.supplies[old], rig.supplies[new])


def _other_supply(was: Supply, now: Supply) -> Iterator[str]:
    for field, unit in (("breaker_amps", "A"), ("volts", "V")):
        if getattr(was, field) != getattr(now, field):
            new, old = (f"{number(getattr(one, field))} {unit}" for one in (now, was))
            yield tr("{new} has {now}, {old} {before}", new=now.code, now=new, old=was.code, before=old)
    if was.phase and now.phase and was.phase != now.phase:
        yield tr("{new} is on {now}, {old} on {before}", new=now.code, now=now.phase, old=was.code, before=was.phase)
