"""The log of one run: what it remembers."""

from pathlib import Path

from checkapp.show.opening_log import open_log


def test_what_was_done_here_is_held_once_however_many_questions_it_answers(tmp_path: Path) -> None:
    """A long check is read in several ways, and each answer is remembered for when the disk is gone."""
    log, _news = open_log(tmp_path / "journal.db", tmp_path, [tmp_path], lambda: None, None)
    ids = [log.append("note", now_ms=n, new_id=f"entry-{n:012d}", rig="Barn", show="Night 1").id for n in range(3)]
    log.flush()
    first, *others = log.entries(rig="Barn"), log.entries(show="Night 1"), log.entries(kind="note")
    log.close()
    assert [one.id for one in first] == ids
    for answer in others:
        assert all(one is same for one, same in zip(answer, first, strict=True))
