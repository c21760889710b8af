"""Export, import into an empty journal, export again: byte for byte the same."""

import io
import json
import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checkapp.journal import kinds
from checkapp.journal.entry import COLUMNS, Entry
from checkapp.journal.export import export
from checkapp.journal.importing import ImportRefused, import_lines
from checkapp.journal.journal import Journal
from checkapp.journal.lines import line_of
from checkapp.journal.taking_in import take_in
from checkapp.journal.verify import verify


def exported(journal: Journal) -> bytes:
    out = journal.path.with_name("export.jsonl")
    export(journal, out)
    return out.read_bytes()


def imported(path: Path, content: bytes, **how: Any) -> Any:
    with Journal.open(path, new_device="other", create=True) as journal:
        found = import_lines(journal, io.BytesIO(content), "export.jsonl", **how)
        return found, exported(journal), journal.entries()


def sound(entry: Entry, **changed: Any) -> Entry:
    changed_entry = replace(entry, **changed)
    return replace(changed_entry, digest=changed_entry.computed_digest())


@pytest.fixture
def told(story: Any) -> list[Entry]:
    """Marks of two tablets and entries of a third that are as odd as entries can be."""
    for number in range(30):
        mark = kinds.mark(f"in {number}", "faulty", symptom="hum", note='"Zoë"\n', plan="a" * 64, check="c" * 16)
        story.tell(mark, "left" if number % 3 else "right")
    odd = story.entries[0]
    details = ['{"a":1,"a":2}', '{ "n" : 1' + "0" * 400 + " }", '{"half":"\\ud800"}', "{not json", None, "[1]", "{\n}"]
    previous = "0" * 64
    made = list(story.entries)
    for seq, detail in enumerate(details, 1):
        entry = sound(odd, id=f"odd-entry-{seq:08d}", device="odd", seq=seq, detail=detail, previous=previous, kind="?")
        previous = entry.digest
        made.append(entry)
    return made


def test_byte_for_byte(journal: Journal, tmp_path: Path, told: list[Entry]) -> None:
    take_in(journal, told)
    content = exported(journal)
    found, again, entries = imported(tmp_path / "empty.db", content)
    assert again == content
    assert entries == journal.entries()
    assert (found.taken.new, found.taken.known, found.faults) == (len(told), 0, ())
    assert content.count(b"\n") == len(told)
    with Journal.open(tmp_path / "empty.db", new_device="x") as other:
        assert verify(other) == []


def test_the_order_does_not_depend_on_that_of_arrival(journal: Journal, tmp_path: Path, told: list[Entry]) -> None:
    take_in(journal, told)
    content = exported(journal)
    lines = content.splitlines(keepends=True)
    assert imported(tmp_path / "backwards.db", b"".join(reversed(lines)))[1] == content


def test_repeating_it_changes_nothing(journal: Journal, told: list[Entry]) -> None:
    take_in(journal, told)
    content = exported(journal)
    found = import_lines(journal, io.BytesIO(content), "export.jsonl")
    assert (found.taken.new, found.taken.known) == (0, len(told))
    assert exported(journal) == content


def test_both_sides_of_a_fork_go_along(journal: Journal, tmp_path: Path, told: list[Entry]) -> None:
    other = sound(told[4], id="the-other-side-of-a-fork", subject="in 99")
    take_in(journal, [*told, other])
    found, again, entries = imported(tmp_path / "empty.db", exported(journal))
    assert [fault.name for fault in found.taken.faults] == ["fork"]
    assert {told[4], other} <= set(entries)
    assert again == exported(journal)


def test_an_entry_that_was_changed_is_refused_by_its_line_or_comes_and_is_told(
    journal: Journal, tmp_path: Path, told: list[Entry]
) -> None:
    changed = replace(told[2], subject="in 99")
    take_in(journal, [*told[:2], changed, *told[3:]])
    content = exported(journal)
    line = next(number for number, row in enumerate(content.splitlines(), 1) if b'"in 99"' in row)
    with pytest.raises(ImportRefused) as caught:
        imported(tmp_path / "strict.db", content)
    assert [str(fault)[:30] for fault in caught.value.faults] == [f"export.jsonl:{line}: digest: does not"[:30]]
    found, again, _ = imported(tmp_path / "empty.db", content, all_or_nothing=False)
    assert again == content
    assert [fault.name for fault in found.taken.faults] == ["edited"]


@pytest.fixture
def content(story: Any) -> bytes:
    for number in range(5):
        story.tell(kinds.mark(f"in {number}", "ok", plan="a" * 64, check="c" * 16))
    return "".join(line_of(entry) + "\n" for entry in story.entries).encode()


def test_nothing_comes_in_unless_all_is_good(content: bytes, tmp_path: Path) -> None:
    lines = content.splitlines(keepends=True)
    bad = b"".join([lines[0], b"junk\n", lines[1], lines[2][:40] + b"\n", lines[3].replace(b"in 3", b"in 4"), lines[4]])
    with pytest.raises(ImportRefused) as caught:
        imported(tmp_path / "strict.db", bad)
    assert [fault.line for fault in caught.value.faults] == [2, 4, 5]
    assert all(line.startswith("export.jsonl:") for line in caught.value.lines)
    with Journal.open(tmp_path / "strict.db", new_device="x") as journal:
        assert journal.entries() == []
    found, _, entries = imported(tmp_path / "lenient.db", bad, all_or_nothing=False)
    assert [fault.line for fault in found.faults] == [2, 4, 5]
    assert [entry.subject for entry in entries] == ["in 0", "in 1", "in 4", "in 4"]


def test_line_ends_marks_and_empty_lines_do_not_matter(content: bytes, tmp_path: Path) -> None:
    other = b"\xef\xbb\xbf" + content.replace(b"\n", b"\r\n\r\n").removesuffix(b"\r\n\r\n")
    assert imported(tmp_path / "empty.db", other)[1] == content


def test_what_is_no_utf8_is_told_by_its_line(content: bytes, tmp_path: Path) -> None:
    with pytest.raises(ImportRefused) as caught:
        imported(tmp_path / "empty.db", content + b'{"id":"\xff"}\n')
    assert caught.value.lines[0].startswith("export.jsonl:6: is no UTF-8 text (byte 0xff at 8)")


def test_many_bad_lines_are_cut_short(tmp_path: Path) -> None:
    with pytest.raises(ImportRefused) as caught:
        imported(tmp_path / "empty.db", b"junk\n" * 5000)
    assert len(caught.value.faults) == 1001


def test_a_line_of_absurd_length_ends_it(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr("checkapp.journal.importing.MOST_BYTES", 1000)
    with pytest.raises(ImportRefused) as caught:
        imported(tmp_path / "empty.db", b"{" * 5000)
    assert [fault.line for fault in caught.value.faults] == [1, 0]


@pytest.mark.parametrize("change", ["by = x'4a44'", "by = CAST(x'ff4a' AS TEXT)", "seq = 'five'", "at = NULL"])
def test_what_cannot_be_read_is_left_out_and_counted(journal: Journal, path: Path, change: str) -> None:
    for number in range(3):
        journal.append("note", now_ms=number, new_id=f"entry-{number:012d}")
    with closing(sqlite3.connect(path)) as plain, plain:
        for (name,) in plain.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            plain.execute(f'DROP TRIGGER "{name}"')
        plain.execute(f"UPDATE entry SET {change} WHERE seq = 2")
    out = path.with_name("export.jsonl")
    found = export(journal, out)
    assert (found.written, found.unreadable) == (2, 1)
    assert [json.loads(line)["seq"] for line in out.read_bytes().splitlines()] == [1, 3]


FULL = """
import resource, sys
from pathlib import Path
from checkapp.journal.export import export
from checkapp.journal.journal import Journal
from checkapp.rig.writing import FileNotWritten
with Journal.open(Path(sys.argv[1]), new_device="none") as journal:
    resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, 100_000))
    try:
        export(journal, Path(sys.argv[2]))
    except FileNotWritten as error:
        print(error)
"""


def test_no_room_for_the_file_is_told_of_the_file(journal: Journal, path: Path, story: Any, children: Any) -> None:
    mark = kinds.mark("in 7", "ok", plan="a" * 64, check="c" * 16)
    take_in(journal, [story.tell(mark) for _ in range(600)])
    out = path.with_name("export.jsonl")
    out.write_text("from before")
    assert children.run(FULL, path, out).startswith(f"{out}: cannot be written: File too large")
    assert out.read_text() == "from before"
    assert list(path.parent.glob(".checkapp-*")) == []


class Unplugged(io.BytesIO):
    """A file on a stick that is pulled out after the third line."""

    def readline(self, size: int | None = -1) -> bytes:
        if self.tell() > 0 and self.getvalue()[: self.tell()].count(b"\n") >= 3:
            raise OSError(5, "Input/output error")
        return super().readline(size)


def test_a_file_that_is_gone_in_the_middle_is_told_of_the_file(content: bytes, journal: Journal) -> None:
    with pytest.raises(ImportRefused) as caught:
        import_lines(journal, Unplugged(content), "export.jsonl", all_or_nothing=False)
    assert caught.value.lines == ("export.jsonl:0: cannot be read: Input/output error; look whether it is still there",)
    assert journal.entries() == []


texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)


@st.composite
def any_entries(draw: Any) -> list[Entry]:
    made = []
    for number in range(draw(st.integers(0, 6))):
        values: dict[str, Any] = {name: draw(texts) for name in COLUMNS}
        values |= {name: draw(texts | st.none()) for name in ("rig", "show", "subject", "by", "detail")}
        values |= {"seq": draw(st.integers(1, 5)), "id": f"{number}-{draw(texts)}", "device": draw(texts)}
        made.append(sound(Entry(**values)))
    return made


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(entries=any_entries(), chance=st.randoms(use_true_random=False))
def test_whatever_entries_there_are(tmp_path: Path, entries: list[Entry], chance: Any) -> None:
    for leftover in tmp_path.glob("*.db*"):
        leftover.unlink()
    with Journal.open(tmp_path / "one.db", new_device="one", create=True) as journal:
        take_in(journal, entries)
        content = exported(journal)
    lines = content.splitlines(keepends=True)
    chance.shuffle(lines)
    assert imported(tmp_path / "two.db", b"".join(lines))[1] == content
