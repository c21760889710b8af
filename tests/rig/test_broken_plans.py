"""Broken plans: each is refused, every fault is named with its place, and nothing hangs or eats memory.

The files in ``broken/`` say in their first lines what must be found in them:

    # expect: LINE | table | words that must all stand in the message

``LINE`` is ``-`` where no line is certain: the end of the file, a file that the plan uses.
"""

import os
import re
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from checkapp.rig.errors import Fault, PlanRefused
from checkapp.rig.planfile import load_plan
from checkapp.rig.sheet import MOST_BYTES as MOST_PLAN_BYTES

BROKEN = Path(__file__).parent / "broken"
PLANS = sorted(BROKEN.glob("*.toml"))
_EXPECT = re.compile(rb"^# expect: (\d+|-) \| (\w*) ?\| (.+)$")
_SHAPE = re.compile(r"^(?P<file>.+?):(?P<line>\d+): (\[\S+\] )?(.+: )?.+; .+$")

MOST_SECONDS = 10
"""Of the processor, on a slow and busy machine; the worst file here takes 2 s on an idle one."""
MOST_BYTES = 300 * 1024 * 1024
_HELD_IN = """
import sys, time
from pathlib import Path
from checkapp.rig.errors import PlanRefused
from checkapp.rig.planfile import load_plan
try:
    load_plan(Path(sys.argv[1]))
except PlanRefused as refused:
    print("\\n".join(refused.lines))
    peak = Path("/proc/self/status")
    if peak.exists():  # of this program alone, while getrusage counts what it was forked from
        kilobytes = int(peak.read_text().split("VmHWM:")[1].split()[0])
    else:
        import resource
        kilobytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(kilobytes * 1024, time.process_time(), file=sys.stderr)
    raise SystemExit(2)
"""


@dataclass(frozen=True)
class Expected:
    """One fault that must be found: its line if certain, its table, words of its message."""

    line: int | None
    table: str
    words: tuple[str, ...]

    def is_met_by(self, fault: Fault) -> bool:
        """True when that fault is the expected one."""
        said = str(fault)
        return (
            (self.line is None or fault.line == self.line)
            and fault.table == self.table
            and all(word in said for word in self.words)
        )


def expected_in(plan: Path) -> list[Expected]:
    found = []
    for row in plan.read_bytes().split(b"\n"):
        match = _EXPECT.match(row)
        if not match:
            break
        line = None if match[1] == b"-" else int(match[1])
        found.append(Expected(line, match[2].decode(), tuple(match[3].decode().split())))
    return found


def refused(plan: Path) -> PlanRefused:
    with pytest.raises(PlanRefused) as caught:
        load_plan(plan)
    assert caught.value.faults, "refused without a fault"
    return caught.value


def test_the_corpus_is_large_enough():
    assert len(PLANS) >= 55


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.stem)
def test_every_fault_is_found_and_placed(plan):
    wanted = expected_in(plan)
    assert wanted, "the file does not say what is wrong with it"
    found = refused(plan)
    missed = [one for one in wanted if not any(one.is_met_by(fault) for fault in found.faults)]
    assert not missed, "\n".join(("found:", *found.lines))


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.stem)
def test_nothing_else_is_said(plan):
    """A fault that follows from another only hides the one that must be mended."""
    wanted = expected_in(plan)
    extra = [str(f) for f in refused(plan).faults if not any(w.is_met_by(f) for w in wanted)]
    assert not extra


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.stem)
def test_each_message_is_one_line_with_file_place_wrong_and_right(plan):
    said = refused(plan).lines
    assert len(set(said)) == len(said)
    for message in said:
        assert message.isprintable()
        assert len(message) <= 500
        shape = _SHAPE.match(message)
        assert shape, message
        assert Path(shape["file"]).is_relative_to(BROKEN)


def test_faults_stand_in_the_order_of_the_file():
    plan = BROKEN / "many_faults_at_once.toml"
    lines = [fault.line for fault in refused(plan).faults]
    assert len(lines) >= 8
    assert lines == sorted(lines)


# Cases that cannot be kept as files.


def test_an_empty_file(tmp_path):
    plan = tmp_path / "plan.toml"
    plan.write_bytes(b"")
    said = refused(plan).lines
    assert all(str(plan) in line for line in said)
    assert any("name" in line and "[rig]" in line for line in said)


def test_a_missing_file(tmp_path):
    plan = tmp_path / "plan.toml"
    assert "plan.toml:0: no such file" in refused(plan).lines[0]
    assert "plan.toml: no such file" in refused(plan).said[0]


def test_a_folder_in_place_of_a_file(tmp_path):
    assert "folder" in refused(tmp_path).lines[0]


def test_a_file_in_place_of_a_folder(tmp_path):
    (tmp_path / "plans").write_text("")
    assert "plan.toml:0: " in refused(tmp_path / "plans" / "plan.toml").lines[0]


def test_a_file_name_with_a_null_or_much_too_long(tmp_path):
    assert "name" in refused(tmp_path / "pl\0an.toml").lines[0]
    assert "plan" in refused(tmp_path / ("plan" * 200)).lines[0]


@pytest.mark.parametrize(
    ("content", "line"),
    [
        (b"\xff\xfe[\x00r\x00i\x00g\x00]\x00", 1),
        (b'format = 1\n\n[rig]\nname = "B\xfchne"\n', 4),
        (bytes(range(128, 256)), 1),
    ],
    ids=["utf-16", "latin-1", "no text at all"],
)
def test_bytes_that_are_not_utf8(tmp_path, content, line):
    plan = tmp_path / "plan.toml"
    plan.write_bytes(content)
    fault = refused(plan).faults[0]
    assert fault.line == line
    assert "UTF-8" in fault.wrong


def test_a_file_from_an_editor_that_writes_a_byte_order_mark_and_returns(tmp_path):
    """Such files are plans like others, and the lines of their faults are right."""
    plan = tmp_path / "plan.toml"
    plan.write_bytes(b"\xef\xbb\xbf" + _GOOD.replace("\n", "\r\n").encode())
    assert load_plan(plan).name == "A"
    plan.write_bytes(plan.read_bytes() + b"version = 0\r\n\r\n[[box]]\r\n")
    assert [fault.line for fault in refused(plan).faults] == [4, 6, 6, 6]
    plan.write_bytes(plan.read_bytes() + b"\r\nbox = \r\n")
    assert [fault.line for fault in refused(plan).faults] == [8]


def test_a_device_and_a_pipe_do_not_hang(tmp_path):
    pipe = tmp_path / "pipe.toml"
    os.mkfifo(pipe)
    for plan in (pipe, Path("/dev/zero"), Path("/dev/null")):
        assert "ordinary file" in refused(plan).lines[0]


def test_a_used_pipe_does_not_hang(tmp_path):
    os.mkfifo(tmp_path / "kinds.toml")
    plan = tmp_path / "plan.toml"
    plan.write_text('use = ["kinds.toml"]\n[rig]\nname = "A"\nowner = "QN"\n')
    assert "kinds.toml" in refused(plan).lines[0]


def test_links_that_go_round_in_circles(tmp_path):
    (tmp_path / "a.toml").symlink_to(tmp_path / "b.toml")
    (tmp_path / "b.toml").symlink_to(tmp_path / "a.toml")
    assert "a.toml:0: " in refused(tmp_path / "a.toml").lines[0]
    plan = tmp_path / "plan.toml"
    plan.write_text('use = ["a.toml"]\n[rig]\nname = "A"\nowner = "QN"\n')
    assert "a.toml" in refused(plan).lines[0]


def test_a_used_link_that_leads_out_of_the_folder(tmp_path):
    (tmp_path / "outside.toml").write_text("[cable_kind.cord]\n")
    folder = tmp_path / "plans"
    folder.mkdir()
    (folder / "kinds.toml").symlink_to(tmp_path / "outside.toml")
    plan = folder / "plan.toml"
    plan.write_text('use = ["kinds.toml"]\n[rig]\nname = "A"\nowner = "QN"\n')
    assert "outside" in refused(plan).lines[0]


def test_a_file_that_may_not_be_read(tmp_path):
    plan = tmp_path / "plan.toml"
    plan.write_text('[rig]\nname = "A"\nowner = "QN"\n')
    plan.chmod(0)
    if os.access(plan, os.R_OK):  # root reads everything
        assert load_plan(plan).name == "A"
    else:
        assert "cannot be read" in refused(plan).lines[0]


_GOOD = '[rig]\nname = "A"\nowner = "QN"\n'


def _filled(*parts: str) -> str:
    """A plan that holds ``parts``, the last of them (which may count itself) until it is almost too large."""
    *head, last = parts
    rows = "".join([_GOOD, *head])
    room = MOST_PLAN_BYTES - len(rows) - 1000
    count = room // len(last.format(n=100_000))
    return rows + "".join(last.format(n=n) for n in range(1, count + 1))


def _run_of_boxes(count: int, fed_from: str) -> str:
    """Boxes each of which feeds the next; ``fed_from`` feeds the first, ``{0}`` in it is the last."""
    rows = [_GOOD, "[link_kind.t]\nmax_length_m = 9\n[cable_kind.c]\n"]
    rows += ['[box_kind.b]\ninputs = 0\noutputs = 0\n[[chain]]\ncode = "LONG"\nlink = "t"\n']
    feeds = [fed_from.format(count - 1), *(f"B{n}" for n in range(count - 1))]
    for n, feed in enumerate(feeds):
        rows.append(f'[[cable]]\ncode = "C{n}"\nkind = "c"\nlength_m = 1\n')
        rows.append(f'[[box]]\ncode = "B{n}"\nkind = "b"\nfed_from = "{feed}"\ncable = "C{n}"\n')
    return "".join(rows)


_HEAVY = {
    "ten megabytes of comment": lambda: _GOOD + ("# " + "x" * 98 + "\n") * 105_000,
    "ten megabytes on one line": lambda: _GOOD + "note = '" + "x" * 10_500_000 + "'\n",
    "almost too large a comment, and a fault": lambda: _filled("version = 0\n", "# " + "x" * 98 + "\n"),
    "empty entries": lambda: _filled("[[box]]\n"),
    "entries of zero": lambda: _filled("[[cable]]\nlength_m = 0\n"),
    "unknown tables": lambda: _filled("[t{n}]\n"),
    "unknown fields": lambda: _filled("f{n} = 1\n"),
    "unknown fields of one entry": lambda: _filled("[[source]]\n", "f{n} = 1\n"),
    "lists in lists": lambda: _filled("a = [", "[[[[]]]],\n") + "]\n",
    "brackets": lambda: _filled("a = ", "[" * 1000 + "\n"),
    "braces": lambda: _filled("a = ", "{{a=" * 900),
    "one long text": lambda: _filled("a = '''", "'' \n") + "'''\n",
    "one long number": lambda: _filled("version = ", "9"),
    "a number of 3900 figures": lambda: _GOOD + "version = -" + "9" * 3900 + "\n",
    "quotes that never end": lambda: _filled('a = """', '\\"\n'),
    "dotted keys": lambda: _filled(".".join("a" * 25) + ".b{n} = 1\n"),
    "one code again and again": lambda: _filled('[[source]]\ncode = "DI01"\n'),
    "one port again and again": lambda: _filled('[[output]]\nnumber = {n}\nname = "A"\nport = "DESK out 1"\n'),
    "unknown cables": lambda: _filled(
        "".join(f'[[cable]]\ncode = "LD{n:05}"\nkind = "lead"\nlength_m = 5\n' for n in range(2500)),
        '[[output]]\nnumber = {n}\nname = "A"\nport = "DESK out {n}"\ncable = "DL{n}"\n',
    ),
    "each box feeds the next and none is fed": lambda: _filled(
        "[box_kind.b]\ninputs = 0\noutputs = 0\n",
        '[[box]]\ncode = "B{n}"\nkind = "b"\nfed_from = "B{n}0"\n',
    ),
    "a circle of six thousand boxes": lambda: _run_of_boxes(6000, "B{0}"),
    "a chain of six thousand boxes": lambda: _run_of_boxes(6000, "LONG") + "[[source]]\n",
    "large drop boxes one on the other": lambda: (
        _GOOD
        + "version = 0\n[cable_kind.c]\n"
        + "[box_kind.b]\ninputs = 9999\noutputs = 9999\npassive = true\n"
        + "".join(
            f'[[box]]\ncode = "B{n}"\nkind = "b"\nfed_from = "B{n + 1} in 1"\noutputs_from = "B{n + 1} out 1"\n'
            for n in range(1000)
        )
    ),
    "a box of ten million ports": lambda: (
        _GOOD + "[box_kind.b]\ninputs = 10_000_000\noutputs = 10_000_000\npassive = true\n"
    ),
}


@pytest.mark.parametrize("name", _HEAVY)
def test_a_large_file_is_refused_in_time_and_memory(tmp_path, name):
    plan = tmp_path / "plan.toml"
    plan.write_text(_HEAVY[name]())
    done = _in_a_process_of_its_own(plan)
    assert done.returncode == 2, done.stderr[-2000:]
    held_bytes, took_s = done.stderr.split()
    assert int(held_bytes) < MOST_BYTES
    assert float(took_s) < MOST_SECONDS
    assert all(row.startswith(str(plan)) for row in done.stdout.splitlines())


def _in_a_process_of_its_own(plan: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", _HELD_IN, str(plan)],
        capture_output=True,
        text=True,
        timeout=6 * MOST_SECONDS,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        check=False,
    )


# The same through the command.

_SAMPLE = (
    "many_faults_at_once",
    "toml_null_byte",
    "toml_brackets_too_deep",
    "use_not_toml",
    "huge_whole_number",
    "loop_of_chains",
    "not_a_number_and_infinity",
    "no_plan_at_all",
)


def _command(*words: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "checkapp", *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        encoding="utf-8",
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )


def _ended(running: subprocess.Popen[str]) -> tuple[int, str, str]:
    said, errors = running.communicate(timeout=60)
    return running.returncode, said, errors


def _is_refusal(status: int, said: str, errors: str) -> bool:
    assert "Traceback" not in errors
    assert said == ""
    assert status == 2, errors
    return all(_SHAPE.match(row) for row in errors.splitlines())


def test_review_refuses_with_status_2_and_one_line_a_fault():
    plans = [BROKEN / f"{name}.toml" for name in _SAMPLE]
    running = [_command("review", str(plan), *extra) for plan, extra in zip(plans, _EXTRA, strict=True)]
    for plan, one in zip(plans, running, strict=True):
        status, said, errors = _ended(one)
        assert _is_refusal(status, said, errors)
        assert errors.splitlines() == list(refused(plan).lines)


_EXTRA = ([], ["--json"]) * (len(_SAMPLE) // 2)


def test_every_command_that_takes_a_plan_refuses_a_broken_one(tmp_path):
    plan, log = str(BROKEN / "way_used_twice.toml"), ("--journal", str(tmp_path / "journal.db"))
    running = [
        _command("tags", plan, "--out", str(tmp_path / "tags.pdf")),
        _command("card", plan, "LEFT", *log),
        _command("mark", plan, "in 1", "ok", *log),
        _command("repair", plan, "LEFT", "reseat", "--cleared", *log),
        _command("state", plan, *log),
    ]
    for one in running:
        status, said, errors = _ended(one)
        assert _is_refusal(status, said, errors)
        assert errors.splitlines() == list(refused(Path(plan)).lines)
    assert not (tmp_path / "tags.pdf").exists()
    assert not (tmp_path / "journal.db").exists()


def test_what_is_no_plan_file_is_refused_by_the_command(tmp_path):
    pipe = tmp_path / "pipe.toml"
    os.mkfifo(pipe)
    words = (str(tmp_path), str(tmp_path / "none.toml"), str(pipe), "/dev/zero")
    for one in [_command("review", word) for word in words]:
        assert _is_refusal(*_ended(one))
