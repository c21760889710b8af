"""What a crew misses on the day: where a box goes, which lines belong to which area, codes that look alike."""

from collections.abc import Iterator

from checkapp.review.findings import Finding
from checkapp.review.wording import first_of, listed
from checkapp.rig.codes import without_hyphens
from checkapp.rig.rig import Rig
from checkapp.tongue import tr, trn

_LOOK_ALIKES = str.maketrans("OQISBZG", "0015826")
"""Letters that are read as digits in the dark or in a hurry: common practice, no source."""


def alike_codes(rig: Rig) -> Iterator[Finding]:
    """Codes that are the same once letters are taken for the digits that they look like: ``SB1`` and ``S81``."""
    names = [f"chain {code}" for code in rig.chains]
    names += [code for table in (rig.supplies, rig.sources, rig.cables, rig.boxes) for code in table]
    groups: dict[str, list[str]] = {}
    for name in names:
        seen = without_hyphens(name.removeprefix("chain ")).translate(_LOOK_ALIKES)
        groups.setdefault(seen, []).append(name)
    for alike in groups.values():
        if len(alike) > 1:
            yield Finding(
                "alike-codes",
                "note",
                alike[0],
                tr("{names} are easily misread for each other.", names=listed(alike)),
                tr("Give one of them another code before the tags are printed.")
                if len(alike) == 2
                else tr("Give all but one of them another code before the tags are printed."),
            )


def no_place(rig: Rig) -> Iterator[Finding]:
    """Boxes of which the plan does not say where they go, neither in words nor on the stage plan."""
    lost = [box.code for box in rig.boxes.values() if box.place is None and box.at is None]
    if lost:
        yield Finding(
            "no-place",
            "note",
            lost[0],
            trn(
                "The plan does not say where {boxes} goes.",
                "The plan does not say where {boxes} go.",
                len(lost),
                boxes=first_of(lost),
            ),
            tr("Give each box a place: its card shows it to whoever carries the box in."),
        )


def no_zone(rig: Rig) -> Iterator[Finding]:
    """Lines without a zone where others have one: a check by area passes them over."""
    lost = [line.line for line in rig.lines if line.zone is None]
    if lost and len(lost) < len(rig.lines):
        yield Finding(
            "no-zone",
            "note",
            lost[0],
            trn(
                "{lines} has no zone; other lines have one.",
                "{lines} have no zone; other lines have one.",
                len(lost),
                lines=first_of(lost),
            ),
            tr("Give each line the zone that it stands in, so that a check by area finds it."),
        )
