"""A plan, or a rig's own workbook, that is looked at, and taken into the user's folder of plans."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.review.summary import detail_of, summary_of
from checkapp.rig.errors import printable
from checkapp.rig.planfile import load_plan
from checkapp.show import places
from checkapp.show.incoming_views import Accepted, IncomingView, NamingView
from checkapp.show.reviewing import reviewed, rows_of
from checkapp.show.rig_rows import rig_row
from checkapp.show.taking_home import file_of, free_name, packed, plans_folder, put_in, same_plan
from checkapp.tongue import tr, trn

if TYPE_CHECKING:
    from collections.abc import Iterator

    from checkapp.rig.rig import Rig
    from checkapp.show.taking_home import Packed
    from checkapp.show.workbook_importing import Brought

_MOST_CHANGES = 60


@dataclass(frozen=True, slots=True)
class PlanIn:
    """A plan from anywhere, as it goes into the user's folder; ``there`` is where it lies in it already."""

    path: Path
    plan: Packed
    there: Path | None

    def view(self, home: Path) -> IncomingView:
        """What the review says at a glance, where it goes, and whether a rig of that name is there."""
        found = reviewed(self.plan.rig)
        return IncomingView(
            kind="plan",
            title=printable(self.path.name, 80),
            path=str(self.path),
            summary=f"{self.plan.rig.name}: {detail_of(self.plan.rig)}",
            accept=tr("open it"),
            said=(tr("The review: {summary}.", summary=summary_of(found)), *self._where(home), *self.plan.said),
            findings=rows_of(found.findings),
        )

    def accept(self, home: Path) -> Accepted:
        """Copy the plan into the user's folder, unless it is there. Errors: `FileNotWritten`."""
        if self.there is not None:
            return Accepted(str(self.there))
        folder = plans_folder(home)
        out = file_of(folder, free_name(folder, self.path.stem))
        put_in(out, self.plan.content, self.plan.beside)
        return Accepted(str(out), (tr("Copied to your plans as {file}.", file=out.name), *self.plan.said))

    def _where(self, home: Path) -> Iterator[str]:
        if self.there is not None:
            yield tr("This plan is here already, as {file}: that is opened.", file=self.there.name)
            return
        same = _named(home, self.plan.rig.name)
        if same is not None:
            yield tr("A rig of that name is here already, in {file}; both are kept.", file=same.name)
        folder = home / "plans"
        out = file_of(folder, free_name(folder, self.path.stem))
        yield tr("It is copied to your plans as {file}, so that it is here without the stick.", file=out.name)


@dataclass(frozen=True, slots=True)
class WorkbookIn:
    """A rig's own workbook, and the plan that it comes to."""

    path: Path
    done: Brought

    def view(self) -> IncomingView:
        """What it changes in which plan."""
        from checkapp.show.workbook_importing import change_words

        done = self.done
        if done.onto is None:
            said = [tr("A workbook of the rig {rig}, which has no plan here: it makes a new one.", rig=done.rig.name)]
        else:
            said = [tr("A workbook of the rig {rig}, set against {file}.", rig=done.rig.name, file=done.onto.name)]
            said += change_words(done) or [tr("Nothing in it has changed.")]
        return IncomingView(
            kind="workbook",
            title=printable(self.path.name, 80),
            path=str(self.path),
            summary=f"{done.rig.name}: {detail_of(done.rig)}",
            accept=tr("take it"),
            said=(*said, *done.said),
            findings=rows_of(reviewed(done.rig).findings),
            changes=tuple(self._sentences()),
        )

    def naming(self, home: Path) -> NamingView:
        """A free name for the new plan."""
        onto = self.done.onto
        name = free_name(plans_folder(home), self.done.rig.name if onto is None else onto.stem)
        about = "" if onto is None else tr("A new plan is made; {file} stays as it is.", file=onto.name)
        return NamingView(tr("What is the plan to be called?"), name, tr("make the plan"), about=about)

    def accept(self, home: Path, name: str) -> Accepted:
        """Write the plan. Errors: `FileIsThere`, `FileNotWritten`."""
        out = file_of(plans_folder(home), name)
        put_in(out, self.done.content, {})
        changed = self.done.onto is not None and bool(self.done.changes)
        return Accepted(str(out), before=str(self.done.onto) if changed else "")

    def _sentences(self) -> Iterator[str]:
        """The work that lies between the plan and what the workbook holds, but for where its kinds stand: a workbook
        has them in itself."""
        if self.done.onto is None:
            return
        from checkapp.changeover.words import row
        from checkapp.show.comparing import compared

        found = compared(load_plan(self.done.onto), self.done.rig)
        said = [row(found.old, found.new, one).sentence for one in chain(*found.work.values()) if one.field != "use"]
        yield from said[:_MOST_CHANGES]
        if len(said) > _MOST_CHANGES:
            yield trn("And {count} more.", "And {count} more.", len(said) - _MOST_CHANGES)


def read_plan_in(path: Path, home: Path) -> PlanIn:
    """Read a plan. `PlanRefused`: it has faults."""
    folder = home / "plans"
    plan = packed(path, folder / path.name)
    own = (folder, places.shipped("plans"))
    there = path if path.parent.resolve() in [one.resolve() for one in own] else same_plan(folder, plan)
    return PlanIn(path, plan, there)


def read_workbook_in(path: Path, home: Path, rig: Rig | None) -> WorkbookIn:
    """Read a rig's own workbook against the plan of that rig: the open one, else one in the user's folder.

    Errors: `SheetRefused`, `WorkbookRefused`, `PlanRefused`, `PlanNotMade`.
    """
    from checkapp.show.workbook_importing import brought, rig_in

    name = rig_in(path)
    onto = Path(rig.file) if rig is not None and rig.name == name else _named(home, name)
    out = file_of(plans_folder(home), path.stem)
    return WorkbookIn(path, brought(path, out, onto))


def _named(home: Path, name: str) -> Path | None:
    """The plan of the rig of that name: the user's own that was changed last, else one that came with the program."""
    own = sorted((home / "plans").glob("*.toml"), key=lambda path: -path.stat().st_mtime)
    found = (path for path in (*own, *sorted(places.shipped("plans").glob("*.toml"))))
    return next((path for path in found if (row := rig_row(path)) is not None and row.title == name), None)
