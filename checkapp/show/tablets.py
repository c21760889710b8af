"""Several tablets at one show: who has what, logs given and taken in, marks that disagree, the hub."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

from checkapp.journal import kinds
from checkapp.journal.check_story import check_story, read_story
from checkapp.journal.disputes import heard_unlike, made_over
from checkapp.journal.outdated import outdated
from checkapp.journal.state import line_mark
from checkapp.rig.errors import CheckappError, printable
from checkapp.show import clock
from checkapp.show.hub_file import keep_hub, read_hub, shown_hub
from checkapp.show.session_errors import CheckSignedOff, NothingOpen
from checkapp.show.tablet_files import folder_rows, log_rows, new_log
from checkapp.show.tablet_names import keep_name, read_names
from checkapp.show.tablet_views import HubView, LogsView, TabletNameView, TabletsView
from checkapp.show.tablet_words import disputes_of, tablet_name, tablet_rows
from checkapp.tongue import tr, trn

if TYPE_CHECKING:
    from checkapp.journal.entry import Entry
    from checkapp.journal.state import LineMark, ShowState
    from checkapp.rig.words import Symptom
    from checkapp.show.recording import Recorder

Places = Callable[[], Iterable[tuple[str, Path]]]
_FORM: Final = "postgresql://USER@HOST/DATABASE"


class Tablets:
    """The tablets of a show of the open rig; ``show`` is empty before the rig's first show.

    ``home`` is the folder of the user's data, ``places`` tells the folders that logs are given to and looked for in.
    ``tell`` says something to whoever is at the tablet, from any thread.
    """

    def __init__(self, recorder: Recorder, home: Path, places: Places, tell: Callable[[str], None]) -> None:
        self.recorder, self._home, self._places, self._tell = recorder, home, places, tell
        self._show, self._key, self._by = "", "", ""
        self._message = ""
        self._wrong: tuple[str, ...] = ()
        self._syncing: threading.Thread | None = None

    def at(self, show: str, key: str, by: str) -> Tablets:
        """The same, of that show; ``key`` is its check at work, empty for the current one, ``by`` who works here."""
        if show != self._show:
            self._message, self._wrong = "", ()
        self._show, self._key, self._by = show, key, by
        return self

    def opened(self) -> TabletsView:
        """How it stands, what was said of earlier exchanges forgotten."""
        self._message, self._wrong = "", ()
        return self.view()

    def view(self) -> TabletsView:
        """How it stands: the tablets, and where their marks disagree."""
        entries, state, rig = self._entries(), self._state(), self.recorder.running()
        mine, names = self.recorder.journal.device, read_names(self._home)
        known = list(dict.fromkeys([mine, *(entry.device for entry in entries)]))
        tablets = tablet_rows(entries, state, rig, mine, names) if self._show else ()
        disputes = disputes_of(state, self._unlike(state), rig, lambda device: tablet_name(device, known, names))
        hub = read_hub(self._home)
        return TabletsView(
            show=self._show,
            summary=self._summary(len(tablets), len(disputes)),
            tablets=tablets,
            disputes=disputes,
            can_settle=state is not None and not state.signed_off,
            hub=shown_hub(hub) if hub else tr("no hub is set up"),
            has_hub=bool(hub),
            message=self._message,
            wrong=self._wrong,
        )

    def _summary(self, tablets: int, disputes: int) -> str:
        if not self._show:
            return tr("No show yet. Start a set-up or a check first.")
        words = [trn("{count} tablet", "{count} tablets", tablets)]
        if disputes:
            words.append(trn("{count} line to settle", "{count} lines to settle", disputes))
        return ", ".join(words)

    def _entries(self) -> list[Entry]:
        return self.recorder.journal.entries(rig=self.recorder.rig.name, show=self._show) if self._show else []

    def _state(self) -> ShowState | None:
        return self.recorder.state(self._show, self._key or None) if self._show else None

    # -- what tablets are called

    def naming(self, device: str) -> TabletNameView:
        """What a tablet is called, to be changed."""
        title = tr("Name of {tablet}", tablet=tablet_name(device))
        if device == self.recorder.journal.device:
            note = tr("This tablet and the file of its log are called so. Name it on the other tablets too.")
        else:
            note = tr("It is called so on this tablet. The others do not see it.")
        return TabletNameView(device, title, read_names(self._home).get(device, ""), note)

    def name(self, device: str, name: str) -> TabletsView:
        """Call a tablet so on this one; with nothing typed, by its digits again. `FileNotWritten`."""
        keep_name(self._home, device, name)
        return self.opened()

    # -- marks that disagree

    def _unlike(self, state: ShowState | None) -> dict[str, LineMark]:
        """Of the lines that two tablets found faulty, each with a symptom of its own, the mark that does not stand."""
        if state is None or state.check is None:
            return {}
        journal, rig = self.recorder.journal, self.recorder.rig.name
        story = check_story(read_story(journal, rig, self._show), rig, self._show, state.check.key)
        found = heard_unlike(story.marks)
        gone = outdated(tuple(found.values()), story.repairs_in_time, story.changes, story.rigs) if found else []
        return {line: line_mark(*made) for line, made in found.items() if line in state.lines and line not in gone}

    def settle(self, line: str, verdict: kinds.Verdict, symptom: str = "") -> TabletsView:
        """Mark a line anew over both marks that disagree: ok, or faulty with what the one of them says that is, and
        names that symptom.

        `NothingOpen`: there is no such line any more. `CheckSignedOff`: the check takes no more marks.
        """
        state = self._state()
        mark = state.lines.get(line) if state else None
        other = mark.against or self._unlike(state).get(line) if mark else None
        if state is None or mark is None or other is None:
            raise NothingOpen(tr("{line}: its marks agree by now", line=line))
        if state.signed_off:
            raise CheckSignedOff(tr("the check of {show} is signed off; start a new one", show=self._show))
        faulty = [one for one in (mark, other) if one.verdict == "faulty"]
        heard = next((one for one in faulty if one.symptom == symptom), faulty[0])
        found: Symptom | None = heard.symptom if verdict == "faulty" else None  # type: ignore[assignment]
        draft = kinds.mark(
            line,
            verdict,
            plan=self.recorder.rig.digest,
            check=state.check.key if state.check else "",
            symptom=found,
            note=heard.note if verdict == "faulty" else None,
        )
        over = made_over(state.marks, line, self.recorder.journal.device)
        self.recorder.write(kinds.over(draft, over), self._show, self._by or None)
        self._message, self._wrong = tr("{line} settled", line=line), ()
        return self.view()

    # -- logs as files

    def to_give(self) -> LogsView:
        """Where this tablet's log can be given to."""
        note = tr("Pick the stick or folder. The other tablet takes the file in from there.")
        return LogsView("give", tr("Give my log"), note, folder_rows(self._places()))

    def to_take(self) -> LogsView:
        """What lies about that can be taken in."""
        rows = log_rows(self._places(), self.recorder.journal.path)
        note = tr("Pick the other tablet's file. Nothing of yours is lost, and taking it in twice does no harm.")
        none = tr("No log was found on a stick or in your folders. Give one from the other tablet first.")
        return LogsView("take", tr("Take a log in"), note if rows else none, rows)

    def give(self, folder: str) -> TabletsView:
        """Write all that this tablet knows as a new file into the folder. Errors: `FileNotWritten`, of the journal."""
        from checkapp.journal.export import export
        from checkapp.journal.journal import Journal

        waits = self.recorder.flush()
        journal = self.recorder.journal
        out = new_log(Path(folder), clock.today(), tablet_name(journal.device, (), read_names(self._home)))
        with Journal.read(journal.path) as opened:
            done = export(opened, out)
        count = trn("{count} entry", "{count} entries", done.written)
        where = printable(folder, 120)
        self._message = "\n".join((tr("Given: {entries}", entries=count), f"{out.name}, {where}"))
        self._wrong = (tr("What is not saved yet is not in it; give it again later."),) if waits else ()
        return self.view()

    def take(self, file: str) -> TabletsView:
        """Take in all that another tablet's file holds, or nothing. Errors: as `checkapp.journal.merging.merge`."""
        from checkapp.journal.merging import merge
        from checkapp.show.recording import open_journal
        from checkapp.show.taken_text import wrong_text

        self.recorder.flush()
        before = self._marks()
        with open_journal(self.recorder.journal.path, home=self._home) as opened:
            taken = merge(opened, [Path(file)]).taken
        came = trn("{count} entry came in", "{count} entries came in", taken.new)
        marks = trn("{count} new mark of this show", "{count} new marks of this show", len(self._marks() - before))
        from_file = tr("from {file}; {count} there already", file=printable(Path(file).name, 80), count=taken.known)
        self._message = f"{', '.join([came, marks] if self._show else [came])}\n{from_file}"
        self._wrong = wrong_text(taken)
        return self.view()

    def _marks(self) -> set[str]:
        return {entry.id for entry in self._entries() if entry.kind == kinds.MARK}

    # -- the hub

    def hub(self) -> HubView:
        """The hub's address, to be changed."""
        note = tr("The address of your crew's hub: {form}. Whoever set the hub up knows it.", form=_FORM)
        return HubView(shown_hub(read_hub(self._home)), note)

    def set_hub(self, url: str) -> TabletsView:
        """Sync with that hub from now on; with nothing typed, with none. Errors: as `check_hub`; `FileNotWritten`."""
        from checkapp.show.syncing import check_hub

        url = url.strip()
        if url and url == shown_hub(read_hub(self._home)):
            return self.view()
        if url:
            check_hub(url)
        keep_hub(self._home, url)
        self._message, self._wrong = tr("The hub is set up. Sync now.") if url else tr("No hub any more."), ()
        return self.view()

    def sync(self) -> TabletsView:
        """Begin to bring the journal and the hub together; what came of it is told when it is done.

        It takes as long as the network does, so it has a thread and a connection of its own: marks go on meanwhile.
        """
        if self._syncing is not None and self._syncing.is_alive():
            return self.view()
        self.recorder.flush()
        self._message, self._wrong = tr("Syncing. You can go on; it is said when it is done."), ()
        begun = self.view()  # what comes of it may be there before the thread's start is over
        known = (read_hub(self._home), self.recorder.journal.path, self._home)
        self._syncing = threading.Thread(target=self._sync, args=known, name="sync", daemon=True)
        self._syncing.start()
        return begun

    def _sync(self, url: str, journal: Path, home: Path) -> None:
        done, wrong = _synced(url, journal, home)
        self._message, self._wrong = "\n".join(done), tuple(wrong)
        self._tell("\n".join((*done, *wrong)))


def _synced(url: str, journal: Path, home: Path) -> tuple[Sequence[str], Sequence[str]]:
    """What a sync brought, and what was wrong with it, in words."""
    from checkapp.show.syncing import sync_once

    try:
        said = sync_once(url, journal, home)
    except CheckappError as error:
        return (), error.said
    return said.done, said.wrong
