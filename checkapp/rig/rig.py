"""A checked plan and what follows from it: what a line runs through, what carries a tag, what a typed word names."""

from collections.abc import Sequence
from functools import cached_property

from checkapp.rig.codes import Tag, base36, nearest, read_line, read_port, read_tag
from checkapp.rig.errors import UnknownCode, printable
from checkapp.rig.model import Box, Item, Line, PlanFile
from checkapp.rig.paths import path_of
from checkapp.rig.wiring import Wiring
from checkapp.rig.words import ItemKind
from checkapp.tongue import tr

__all__ = ["Item", "Rig"]


class Rig(Wiring):
    """A planned rig whose plan file has no fault. Nothing in it changes.

    ``plan`` holds the tables as read, kinds of used files included; ``digest`` is the SHA-256 in hex over
    the plan's file and those that it uses; ``file`` is the plan file's name as it was given.
    """

    def __init__(self, plan: PlanFile, digest: str, file: str) -> None:
        super().__init__(plan)
        self.digest = digest
        self.file = file
        self.name = plan.rig.name
        self.owner = plan.rig.owner
        self.version = plan.rig.version
        inputs: list[Line] = sorted(plan.input, key=lambda line: line.number)
        outputs: list[Line] = sorted(plan.output, key=lambda line: line.number)
        self.lines: tuple[Line, ...] = (*inputs, *outputs)

    @property
    def mark(self) -> str:
        """The first four characters, in base 36, of the plan's digest: what a show tag carries."""
        return base36(int(self.digest, 16))[:4]

    @cached_property
    def lines_by_name(self) -> dict[str, Line]:
        """The lines by name, in the order of ``lines``."""
        return {line.line: line for line in self.lines}

    def line(self, name: str) -> Line:
        """The line ``in 7`` or ``out 2``, however it is spaced or cased. `UnknownCode`: the rig has no such line."""
        wanted = read_line(name)
        if wanted in self.lines_by_name:
            return self.lines_by_name[wanted]
        known = list(self.lines_by_name)
        near = nearest(wanted or name, known)
        right = tr('did you mean "{name}"?', name=near[0]) if near else tr("the plan has none")
        if known and not near:
            right = tr("lines are {first} to {last}", first=known[0], last=known[-1])
        raise UnknownCode(tr('no line "{text}"', text=printable(name, 60)) + f"; {right}")

    def path(self, line: str) -> tuple[Item, ...]:
        """The items of a line's path, from source to desk. `UnknownCode`: the rig has no such line."""
        name = self.line(line).line
        if name not in self._paths:
            self._paths[name] = path_of(self, self.lines_by_name[name])
        return self._paths[name]

    @cached_property
    def _paths(self) -> dict[str, tuple[Item, ...]]:
        return {}

    @cached_property
    def items(self) -> dict[str, ItemKind]:
        """Everything that can fail or carry a name: paths' items, then every coded item and every port of a box."""
        found: dict[str, ItemKind] = {item.name: item.kind for line in self.lines for item in self.path(line.line)}
        hops = {box.cable for box in self.boxes.values()}
        for box in self.boxes.values():
            found.setdefault(box.code, "box")
            for name in self.ports(box):
                found.setdefault(name, "port")
        for code in self.cables:
            found.setdefault(code, "hop" if code in hops else "cable")
        for code in self.supplies:
            found.setdefault(code, "supply")
        for code in self.sources:
            found.setdefault(code, "source")
        for code in self.chains:
            found.setdefault(f"chain {code}", "chain")
        return found

    def ports(self, box: Box) -> list[str]:
        """The names of a box's ports, inputs first."""
        kind = self.box_kind(box)
        ins = [f"{box.code} in {number}" for number in range(1, kind.inputs + 1)]
        return ins + [f"{box.code} out {number}" for number in range(1, kind.outputs + 1)]

    def owner_of(self, code: str) -> str:
        """The owner of a coded item: its own, or the rig's."""
        for table in (self.cables, self.boxes, self.supplies, self.sources):
            entry = table.get(code)
            if entry is not None:
                return entry.owner or self.owner
        return self.owner

    @cached_property
    def tags(self) -> Sequence[Tag]:
        """Every lasting tag that the rig can have: boxes, both ends of each cable, chains, supplies, sources."""
        cables = [Tag(self.owner_of(code), code, end) for code in self.cables for end in "AB"]
        others = (*self.chains, *self.supplies, *self.sources)
        boxes = [Tag(self.owner_of(code), code) for code in self.boxes]
        return (*boxes, *cables, *(Tag(self.owner_of(code), code) for code in others))

    def resolve(self, typed: str) -> str:
        """The item that a person typed or scanned, in any case: a name, a port, a code, a tag, a link with a tag.

        A show tag names its item, whichever plan it is from.
        `UnknownCode` or `WrongCheckCharacter` when it names nothing or more than one thing; both say what is nearest.
        """
        words = " ".join(typed.split())
        head, _, tail = words.partition(" ")
        port = f"{head.upper()} {tail.lower()}"
        for name in (words, words.lower(), port, f"{head.lower()} {tail.upper()}"):
            if name in self.items:
                return name
        if read_port(port) or read_line(words):
            near = nearest(port, self.items)
            mean = "; " + tr('did you mean "{name}"?', name=near[0]) if near else ""
            raise UnknownCode(tr('no item "{text}"', text=printable(typed, 60)) + mean)
        tag = read_tag(typed, self.tags)
        return f"chain {tag.code}" if tag.code in self.chains else tag.code
