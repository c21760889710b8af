"""Changes tried on copies of a rig: made, solved and reviewed again before they are told."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from checkapp.review.findings import Finding
from checkapp.review.limits import is_above
from checkapp.review.link import LinkSource, chain_power
from checkapp.review.rules.line import level, phantom
from checkapp.review.rules.listed import STOP_RULES
from checkapp.review.wording import sentence
from checkapp.rig.change import CannotChange, Way, changed
from checkapp.rig.codes import DESK, Port, known_port
from checkapp.rig.occupied import free_ports, ports_used
from checkapp.rig.rig import Rig
from checkapp.tongue import later

MOST_WORK = 50_000
"""Stations solved, and boxes reviewed again (each as five of them), at most, for all remedies of a rig together."""

_RULES = tuple(rule for rule in STOP_RULES if rule not in (level, phantom))
"""What can come out otherwise when boxes, cables and supplies change: what a line needs of its box stays as it was."""

_Key = tuple[str, str]


OR = later(", or ")
"""What parts the actions of a remedy of which each by itself is enough."""


class OutOfWork(Exception):
    """A way out of a search that has done all that it may."""


class Steps:
    """How many steps a search among sets of one size may still do; ``cut`` says that it would have done more."""

    def __init__(self, most: int = 3000) -> None:
        self.left = most

    @property
    def cut(self) -> bool:
        """Whether the search was ended before its time."""
        return self.left < 0

    def one(self) -> bool:
        """Count a step; False when there is none left."""
        self.left -= 1
        return self.left >= 0


@dataclass(frozen=True, slots=True)
class Remedy:
    """What to do about a finding, in words, and the ways that the words speak of; each by itself is enough.

    ``action`` and ``claim`` are parts of one sentence without its full stop: what to do, and what the rig cannot do;
    either may be empty. ``more`` are whole sentences after it.
    """

    action: str
    ways: tuple[Way, ...] = ()
    claim: str = ""
    more: str = ""

    @property
    def text(self) -> str:
        """The words as a finding tells them."""
        said = ": ".join(part for part in (self.claim, self.action) if part)
        return " ".join(part for part in (sentence(f"{said}.") if said else "", self.more) if part)


class Trial:
    """A rig, its findings, and the work that may still be done to find remedies.

    ``work_left`` counts down; a search that would take it below 0 ends with `OutOfWork`. ``proposed`` holds the
    cables that remedies have used already and ``sent`` the line that was sent to a port, so that another finding is
    sent elsewhere if it can be; ``of_sources`` is, for sources of link power by where they start, what the rig can do,
    what is left otherwise, and whether the search was finished; ``mended`` what mends link power and a trial of the
    rig with it.
    """

    def __init__(self, rig: Rig, findings: Sequence[Finding]) -> None:
        self.rig = rig
        self.findings = findings
        self.work_left = MOST_WORK
        self.proposed: set[str] = set()
        self.sent: dict[Port, str] = {}
        self.of_sources: dict[str, tuple[Remedy | None, Remedy, bool]] = {}
        self.mended: tuple[Way, Trial] | None = None
        self._before = {grade: _excesses(findings, grade) for grade in ("stop", "caution")}

    @cached_property
    def sources(self) -> tuple[tuple[str, LinkSource], ...]:
        """Every source of link power with the chain that it is on."""
        chains = self.rig.chains.values()
        return tuple((chain.code, source) for chain in chains for source in chain_power(self.rig, chain).sources)

    @cached_property
    def free_inputs(self) -> dict[str, tuple[Port, ...]]:
        """The free inputs of each box."""
        used = ports_used(self.rig)
        return {code: tuple(free_ports(self.rig, box, "in", used)) for code, box in self.rig.boxes.items()}

    @cached_property
    def zones(self) -> dict[str, set[str]]:
        """The zones of the lines on each box."""
        found: dict[str, set[str]] = {code: set() for code in self.rig.boxes}
        for line in self.rig.lines:
            port = known_port(line.port)
            if line.zone is not None and port.code != DESK:
                found[port.code].add(line.zone)
        return found

    def spend(self, work: int) -> None:
        """Count work. `OutOfWork` when there is none left."""
        self.work_left -= work
        if self.work_left < 0:
            raise OutOfWork

    def clears(self, way: Way, findings: Iterable[Finding]) -> bool:
        """Whether the rig with these changes is without the findings, and no stop is new or worse than it was.

        For a finding that is a caution, no caution of its rules is new or worse either.
        """
        self.spend(5 * len(self.rig.boxes) + 20)
        return self.surely_clears(way, findings)

    def surely_clears(self, way: Way, findings: Iterable[Finding]) -> bool:
        """As `clears`, but counts no work: for the one change that is left when a search is over."""
        try:
            copy = changed(self.rig, way)
        except CannotChange:
            return False
        after = [finding for rule in _RULES for finding in rule(copy)]
        stops, cautions = _excesses(after, "stop"), _excesses(after, "caution")
        for finding in findings:
            key = finding.rule, finding.where
            if key in stops or (finding.level == "caution" and (key in cautions or self._is_harm("caution", cautions))):
                return False
        return not self._is_harm("stop", stops)

    def _is_harm(self, grade: str, after: dict[_Key, float]) -> bool:
        before = self._before[grade]
        return any(key not in before or is_above(excess, before[key]) for key, excess in after.items())


def _excesses(findings: Iterable[Finding], grade: str) -> dict[_Key, float]:
    """By how much each stop or caution breaks its limit, in shares of the limit; 0 where nothing is compared."""
    return {(one.rule, one.where): _excess(one) for one in findings if one.level == grade}


def _excess(finding: Finding) -> float:
    if finding.value is None or not finding.limit:
        return 0.0
    return abs(finding.value - finding.limit) / finding.limit
