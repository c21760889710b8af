"""Several tablets by real taps: each button of the screens once, then the story of two tablets merged."""

import sqlite3

import pytest
import tablet_samples

from checkapp.show import quick_places


def listed(screen):
    from checkapp.touch.widgets.rows import RowList

    (found,) = [w for w in screen.walk() if isinstance(w, RowList)]
    return found


def notice(screen, words):
    (found,) = [w for w in screen.walk() if words in getattr(w, "words", "")]
    return found


def test_each_button_of_the_tablets(build, hand, calls):
    hand.drawing = False
    screen = build("tablets", tablet_samples.TABLETS)
    assert screen.ids.sync.disabled
    for word in ("rig", "give my log", "take a log in"):
        hand.tap(hand.button(screen, word))
    hand.tap(notice(screen, "18  Fiddle two: two marks disagree"))
    assert calls.made == [("rig",), ("give_log",), ("take_log",), ("dispute", tablet_samples.DISPUTE)]
    calls.made.clear()
    synced = build("tablets", tablet_samples.SYNCED)
    hand.tap(hand.button(synced, "sync"))
    listed(synced).bring(len(listed(synced).data) - 1)
    hand.frames()
    hand.tap(hand.button(synced, "change"))
    assert calls.made == [("sync",), ("hub",)]


def test_after_the_sign_off_nothing_is_settled(build, hand, calls):
    hand.drawing = False
    screen = build("tablets", tablet_samples.replace(tablet_samples.TABLETS, can_settle=False))
    hand.tap(notice(screen, "18  Fiddle two: two marks disagree"))
    assert calls.made == []


def test_each_button_of_settling_and_of_the_files_and_of_the_hub(build, hand, calls):
    hand.drawing = False
    screen = build("settle", tablet_samples.DISPUTE)
    assert [screen.ids.first.words, screen.ids.second.words] == ["ok", "faulty, hum"]
    for word in ("tablets", "ok", "faulty"):
        hand.tap(hand.button(screen, word))
    taken = build("tabletlogs", tablet_samples.TAKE)
    for word in ("tablets", "take in", "look again"):
        hand.tap(hand.button(taken, word))
    given = build("tabletlogs", tablet_samples.GIVE)
    hand.tap(next(b for b in hand.buttons(given) if getattr(b, "title", "") == "STICK"))
    hand.tap(hand.button(given, "look again"))
    hub = build("hub", tablet_samples.HUB)
    for word in ("tablets", "save"):
        hand.tap(hand.button(hub, word))
    name = build("tabletname", tablet_samples.NAME)
    for word in ("tablets", "save"):
        hand.tap(hand.button(name, word))
    assert calls.made == [
        ("tablets_again",),
        ("settle", "in 18", "ok", ""),
        ("settle", "in 18", "faulty", "hum"),
        ("tablets_again",),
        ("take_log_in", "/media/STICK/a.jsonl"),
        ("take_log",),
        ("give_log_to", "/media/STICK"),
        ("give_log",),
        ("tablets_again",),
        ("set_hub", "postgresql://left@hub.crew/hub"),
        ("tablets_again",),
        ("name_tablet", "3f9a00000001", "Desk left"),
    ]


def test_of_two_symptoms_one_is_said_to_be_heard(build, hand, calls):
    hand.drawing = False
    screen = build("settle", tablet_samples.UNLIKE)
    for word in ("hum", "crackle"):
        hand.tap(hand.button(screen, word))
    assert calls.made == [("settle", "in 18", "faulty", "hum"), ("settle", "in 18", "faulty", "crackle")]
    listed = build("tablets", tablet_samples.replace(tablet_samples.TABLETS, disputes=(tablet_samples.UNLIKE,)))
    hand.tap(notice(listed, "18  Fiddle two: heard in two ways"))
    assert calls.made[-1] == ("dispute", tablet_samples.UNLIKE)


@pytest.fixture
def stick(tmp_path, monkeypatch):
    folder = tmp_path / "STICK"
    folder.mkdir()
    monkeypatch.setattr(quick_places, "quick_places", lambda: (("STICK", folder),))
    return folder


def log(journal):
    """The whole journal, read without our library."""
    with sqlite3.connect(journal) as opened:
        return sorted(opened.execute("select id, device, seq, kind, subject, detail, by, digest from entry"))


def to_tablets(app):
    """From anywhere to the tablets of the show, as a finger goes."""
    app.hand.tap(next(b for b in app.hand.buttons(app.app.pages) if getattr(b, "text", "") == "rig"))
    app.settle()
    rows = listed(app.screen)
    rows.bring(next(n for n, row in enumerate(rows.data) if row.get("title") == "Tablets"))
    app.hand.frames(2)
    app.tap_row("Tablets")


def test_two_tablets_merged(tablet, hand, home, tmp_path, stick):
    plan = home / "plans" / "small.toml"
    left, right = tmp_path / "left", tmp_path / "right"

    def at(where, fresh=False):
        hand.drawing = True  # the app begins with its first frame
        app = tablet(plan, at=where)
        hand.drawing = False
        if fresh:
            app.start_check()
        return app

    one = at(left, fresh=True)
    one.tap("ok")
    one.tap("ok")
    assert one.marks() == [("in 1", "ok", None, "JD"), ("in 2", "ok", None, "JD")]

    two = at(right, fresh=True)
    two.tap("faulty")
    two.tap("hum")
    two.tap("ok")
    to_tablets(two)
    assert [row.who for row in two.screen.view.tablets] == ["JD"]
    two.tap("give my log")
    two.tap_row("STICK")
    (file,) = stick.iterdir()
    assert two.screen.view.message.startswith("Given: ")
    assert two.screen.view.message.endswith(f"{file.name}, {stick}")
    second = log(two.journal)

    one = at(left)
    assert one.screen.name == "walk"
    to_tablets(one)
    one.tap("take a log in")
    one.tap_row(file.name)
    assert one.screen.view.summary == "2 tablets, 1 line to settle"
    assert {entry[0] for entry in log(one.journal)} >= {entry[0] for entry in second}
    hand.tap(notice(one.screen, "two marks disagree"))
    one.settle()
    assert [mark.said for mark in one.screen.view.marks] == ["ok", "faulty, hum"]
    one.tap("faulty")
    assert (one.screen.name, one.screen.view.summary) == ("tablets", "2 tablets")
    made = [mark[:3] for mark in one.marks()]
    assert made[-1] == ("in 1", "faulty", "hum")
    assert sorted(made) == [
        ("in 1", "faulty", "hum"),
        ("in 1", "faulty", "hum"),
        ("in 1", "ok", None),
        ("in 2", "ok", None),
        ("in 2", "ok", None),
    ]
    one.tap("give my log")
    one.tap_row("STICK")
    whole = log(one.journal)

    two = at(right)
    to_tablets(two)
    two.tap("take a log in")
    two.tap_row(next(path.name for path in stick.iterdir() if path != file))
    assert two.screen.view.disputes == ()
    assert log(two.journal) == whole


def test_what_came_of_a_sync_is_said_when_it_is_done(tablet, hand, home):
    (home / "hub.txt").write_text("postgresql://me@127.0.0.1:1/hub", encoding="utf-8")
    app = tablet(home / "plans" / "small.toml")
    hand.drawing = False
    app.start_check()
    to_tablets(app)
    app.tap("sync")
    hand.until(lambda: app.app.pages.banner and app.app.pages.banner.parent, "what came of it")
    assert "127.0.0.1" in app.app.pages.banner.lines[0]
    app.settle()
    assert app.screen.view.wrong == tuple(app.app.pages.banner.lines)
