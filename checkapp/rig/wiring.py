"""What hangs where in a checked plan: tables by code, boxes along their chains, where a passive box's ports go."""

from collections.abc import Iterator
from functools import cached_property

from checkapp.rig.codes import DESK, Port, known_port
from checkapp.rig.model import Box, BoxKind, Cable, CableKind, Chain, LinkKind, PlanFile, Source, Supply


class Wiring:
    """The tables of a plan that has no fault, and how they hang together. Nothing in it changes."""

    def __init__(self, plan: PlanFile) -> None:
        self.plan = plan
        self.chains: dict[str, Chain] = {chain.code: chain for chain in plan.chain}
        self.supplies: dict[str, Supply] = {supply.code: supply for supply in plan.supply}
        self.sources: dict[str, Source] = {source.code: source for source in plan.source}
        self.cables: dict[str, Cable] = {cable.code: cable for cable in plan.cable}
        self.boxes: dict[str, Box] = {box.code: box for box in plan.box}

    def box_kind(self, box: Box) -> BoxKind:
        """The kind of a box."""
        return self.plan.box_kind[box.kind]

    def link_kind(self, chain: Chain) -> LinkKind:
        """The link kind of a chain."""
        return self.plan.link_kind[chain.link]

    def cable_kind(self, cable: Cable) -> CableKind:
        """The kind of a cable."""
        return self.plan.cable_kind[cable.kind]

    @cached_property
    def _fed_by_link(self) -> dict[str, Box]:
        return {box.fed_from: box for box in self.boxes.values() if not self.box_kind(box).passive}

    def boxes_on(self, chain: str) -> tuple[Box, ...]:
        """The boxes of a chain in order from its start; passive boxes are not among them."""
        return tuple(self._along(chain))

    def _along(self, code: str) -> Iterator[Box]:
        while code in self._fed_by_link:
            box = self._fed_by_link[code]
            yield box
            code = box.code

    @cached_property
    def _chain_of(self) -> dict[str, str]:
        return {box.code: chain for chain in self.chains for box in self.boxes_on(chain)}

    def chain_of(self, box: str) -> str | None:
        """The chain that a box hangs on; a passive box: that of the box it feeds in the end, None for the desk."""
        fed = self.fed_box(box)
        return None if fed is None else self._chain_of[fed.code]

    def fed_box(self, code: str) -> Box | None:
        """The box itself, or for a passive one the box that it feeds in the end; None when that is the desk."""
        box = self.boxes[code]
        while self.box_kind(box).passive:
            port = known_port(box.fed_from)
            if port.code == DESK:
                return None
            box = self.boxes[port.code]
        return box

    def fed_port(self, port: Port) -> Port:
        """The port that a passive box's port goes to. ValueError: not passive, or nothing feeds its outputs."""
        box = self.boxes[port.code]
        first = box.fed_from if port.direction == "in" else box.outputs_from
        return known_port(first or "").plus(port.number - 1)
