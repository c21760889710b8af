"""A show's state is worked out once for the entries that tell it, and anew as soon as there are others."""

import pytest

from checkapp.rig.planfile import load_plan
from checkapp.show.recording import Recorder, open_journal
from checkapp.show.session_errors import CheckGone


@pytest.fixture
def tablets(tmp_path, small_plan):
    """Two journals on one file, as of two tablets."""
    rig = load_plan(small_plan)
    opened = [open_journal(tmp_path / "journal.db", home=tmp_path / name) for name in "ab"]
    yield [Recorder(journal, rig) for journal in opened]
    for journal in opened:
        journal.close()


def mark(recorder, line, key):
    from checkapp.journal import kinds

    return recorder.write(kinds.mark(line, "ok", plan=recorder.rig.digest, check=key), "Night 1", "JD")


def test_the_same_entries_tell_the_same_state(tablets):
    one, _other = tablets
    key = one.need_check("Night 1", "JD")
    mark(one, "in 1", key)
    state = one.state("Night 1", key)
    assert one.state("Night 1", key) is state
    assert list(state.lines) == ["in 1"]


def test_what_another_tablet_writes_or_takes_back_is_seen_at_once(tablets):
    from checkapp.journal import kinds

    one, other = tablets
    key = one.need_check("Night 1", "JD")
    assert one.state("Night 1", key).lines == {}
    entry = mark(other, "in 2", key)
    assert list(one.state("Night 1", key).lines) == ["in 2"]
    mark(one, "in 1", key)
    assert sorted(one.state("Night 1", key).lines) == ["in 1", "in 2"]
    other.write(kinds.void(entry.id), "Night 1", "JD")
    assert list(one.state("Night 1", key).lines) == ["in 1"]
    assert list(other.state("Night 1", key).lines) == ["in 1"]


def test_each_check_and_show_has_its_own(tablets):
    one, _other = tablets
    key = one.need_check("Night 1", "JD")
    mark(one, "in 1", key)
    second = one.need_check("Night 2", "JD")
    assert list(one.state("Night 1", key).lines) == ["in 1"]
    assert one.state("Night 2", second).lines == {}
    with pytest.raises(CheckGone):
        one.state("Night 1", "nothing")
    assert list(one.state("Night 1", key).lines) == ["in 1"]
