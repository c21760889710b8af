"""A list out of a spreadsheet put on the boxes of a rig that stands, asked by a command: which lines are re-plugged."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.changeover.carried import carried
from checkapp.changeover.onto import NewLine, gone, placed_onto, replugs
from checkapp.rig.codes import Port, known_port
from checkapp.rig.errors import printable
from checkapp.rig.model import Input
from checkapp.rig.planfile import load_plan
from checkapp.rig.rewrite import rewritten
from checkapp.rig.toml_text import data_of
from checkapp.rig.writing import replace_file
from checkapp.show import comparing
from checkapp.show.new_plan import check_new
from checkapp.show.plan_importing import ListNotTaken, Wanted, read_lines

if TYPE_CHECKING:
    from checkapp.changeover.onto import Placed
    from checkapp.rig.model import Insert
    from checkapp.rig.rig import Rig
    from checkapp.sheets.lines import ListLine
    from checkapp.sheets.preview import Preview
    from checkapp.show.comparing import Compared

_LINES = ("input", "output", "insert")


@dataclass(frozen=True, slots=True)
class Onto:
    """What came of it: the list, where its lines went, and the work from the old plan to the new one.

    ``unplaced`` lines found no port; ``dropped`` are inserts of inputs that do not go on; ``content`` is the new plan.
    ``written`` is None when a strict import could not.
    """

    sheet: Path
    found: Preview
    placed: tuple[Placed, ...]
    unplaced: tuple[Placed, ...]
    dropped: tuple[Insert, ...]
    compared: Compared
    content: bytes
    written: Path | None = None

    @property
    def replugs(self) -> int:
        """How many lines have to be plugged."""
        return replugs(self.placed)

    @property
    def elsewhere(self) -> tuple[Placed, ...]:
        """The lines that are not in the port that the list has them in."""
        return tuple(one for one in self.placed if one.port and one.wanted.port not in (None, one.port))

    @property
    def gone(self) -> int:
        """How many lines of the rig do not go on."""
        return len(gone(self.compared.old, self.placed))


def list_onto(sheet: Path, onto: Path, out: Path, wanted: Wanted) -> Onto:
    """Put the list in ``sheet`` on the rig of the plan ``onto`` and write that plan, edited, to ``out``.

    A list of inputs alone leaves the outputs as they are, and the other way round.
    Strict: nothing is written when something in the list is unclear or a line finds no port. Errors: `PlanRefused`,
    those of reading the list, `ListNotTaken`, `FileIsThere`, `FileNotWritten`; nothing is written then.
    """
    if wanted.name is not None or wanted.owner is not None:
        raise ListNotTaken(f"--name and --owner are those of {printable(str(onto))}; leave them out")
    done = put_onto(sheet, read_lines(sheet, wanted), onto, out)
    if wanted.strict and (done.found.unclear or done.unplaced):
        return done
    if not wanted.force:
        check_new(out)
    replace_file(out, done.content)
    return replace(done, written=out)


def put_onto(sheet: Path, found: Preview, onto: Path, out: Path, base: bytes | None = None) -> Onto:
    """Put a list that was read on the rig of the plan ``onto``; nothing is written.

    ``base`` is that plan as it would lie at ``out``, where it cannot lie there as it is. Errors: `PlanRefused`.
    """
    rig = load_plan(onto)
    placed = placed_onto(rig, [*map(_line, found.lines), *_others(rig, found.lines)])
    new = carried(rig, placed)
    lines = {table: entries for table, entries in data_of(new.plan).items() if table in _LINES}
    content = onto.read_bytes() if base is None else base
    kept = {table: held for table, held in tomllib.loads(content.decode("utf-8-sig")).items() if table not in _LINES}
    content = rewritten(content, kept | lines)
    compared = comparing.compared(rig, load_plan(out, content))
    return Onto(sheet, found, placed, new.unplaced, new.dropped, compared, content)


def _line(line: ListLine) -> NewLine:
    said = line.plugged
    plugged = None if said is None else Port(said.code, line.direction, said.port)
    return NewLine(line.direction, line.number, line.name, line.level, line.phantom, line.zone or None, plugged)


def _others(rig: Rig, lines: Sequence[ListLine]) -> Iterator[NewLine]:
    """The lines of the rig of a direction that the list says nothing of, as they are."""
    said = {line.direction for line in lines}
    for line in rig.lines:
        port = known_port(line.port)
        if port.direction not in said:
            level, phantom = (line.level, line.phantom) if isinstance(line, Input) else (None, False)
            yield NewLine(port.direction, line.number, line.name, level, phantom, line.zone, port)


def status(done: Onto) -> int:
    """The exit status: 1 when a strict import could not."""
    return 0 if done.written is not None else 1


def document(done: Onto) -> dict[str, object]:
    """The JSON document: where every line went, what found no port, and the changes as in a comparison of plans.

    ``replugs``: how many lines are plugged; ``stays``: nothing is plugged for that line; ``elsewhere``: the lines that
    are not in the port that the list has them in.
    """
    return {
        "list": str(done.sheet),
        "written": None if done.written is None else str(done.written),
        "replugs": done.replugs,
        "gone": done.gone,
        "lines": [
            {
                "line": f"{one.wanted.direction} {one.wanted.number}",
                "name": one.wanted.name,
                "port": None if one.port is None else str(one.port),
                "was": None if one.old is None else one.old.port,
                "stays": one.stays,
            }
            for one in done.placed
        ],
        "unplaced": [f"{one.wanted.direction} {one.wanted.number}" for one in done.unplaced],
        "elsewhere": [f"{one.wanted.direction} {one.wanted.number}" for one in done.elsewhere],
        "inserts_dropped": [insert.name for insert in done.dropped],
        "unclear": list(done.found.unclear),
        "changes": comparing.document(done.compared),
    }
