"""The whole job on the demo rig, in a folder of its own: nothing is opened, nothing is asked."""

import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from checkapp.review.summary import cautions_of, detail_of, summary_of
from checkapp.rig.errors import CheckappError
from checkapp.show import clock, places
from checkapp.show.languages import check_language
from checkapp.show.papering import write_paper, write_picture
from checkapp.show.played import plant, play
from checkapp.show.played_setup import play_setup
from checkapp.show.reviewing import document, review_plan
from checkapp.show.session import Session
from checkapp.show.tagging import Asked, write_tags
from checkapp.show.verifying import verify_journal
from checkapp.tongue import later
from checkapp.tongue.catalogue import ENGLISH

SHOW = ("Night 1", "Upper ledge", "2031-05-02")
BY = "EX"
SEED = 7
WRONG = 3
SCREENS_SHOWS = 12
"""So long is the tour whose history is on the pictures of all screens."""
_PICTURES_WAIT_S = 180
_SCREENS_WAIT_S = 900

Say = Callable[[str], None]


class PicturesFailed(CheckappError):
    """There is a window, and still the pictures were not taken."""


class FolderRefused(CheckappError):
    """The folder for the demo cannot be made."""


def run_demo(out: Path, say: Say, language: str = ENGLISH) -> None:
    """Do the job and tell it line by line. An existing folder is left alone: a number is added to the name.

    ``language`` is that of what is put on paper (ISO 639-1). Errors: `UnknownLanguage`, `FolderRefused`,
    `PicturesFailed`.
    """
    check_language(language)
    folder = _new_folder(out)
    plans = folder / "plans"
    shutil.copytree(places.shipped("plans"), plans)
    plan = plans / "demo.toml"
    say(f"Demo in {folder}. Everything below is invented, written by the real program.")
    _review(plan, folder, say, language)
    say("\nTags")
    say(f"  {write_tags(plan, folder / 'tags.pdf', Asked(language=language))}")
    say(f"  {write_tags(plan, folder / 'show-tags.pdf', Asked(for_show=True, language=language))}")
    journal = folder / "journal.db"
    _set_up(plan, journal, folder, say)
    _check(plan, journal, folder, say)
    say("\nScreens")
    _pictures([str(folder / "screens"), str(plan), str(journal), language], folder / "home", say, _PICTURES_WAIT_S)
    say(f"\nLook around: checkapp review {_shown(plan)}")
    say(f"             checkapp state {_shown(plan)} --journal {_shown(journal)}")


def run_tour(out: Path, say: Say, language: str = ENGLISH) -> None:
    """Play a tour and write its history and reports, in a folder and a language as in `run_demo`."""
    from checkapp.show.history_now import Asked, history_of, reports
    from checkapp.show.history_text import print_history
    from checkapp.show.tour import CREW, SHOWS, play_tour

    check_language(language)
    folder = _new_folder(out)
    plan = shutil.copytree(places.shipped("plans"), folder / "plans") / "demo.toml"
    say(f"Demo in {folder}. Everything below is invented, written by the real program.")
    say(f"\nA tour of {SHOWS} shows with {len(CREW)} tablets; this takes about half a minute")
    told = play_tour(plan, folder, SHOWS)
    say(f"  {told.marks} marks, {told.faults} faults, {told.confirmed} of them found and put right")
    say(f"  planted bad items: {', '.join(told.bad)}")
    for line in verify_journal(told.journal)[0]:
        say(f"  journal: {line}")
    say("\nIts history")
    found = history_of(told.journal)
    print_history(found)
    tables = folder / "history"
    invented = later("an invented tour")
    asked = Asked(language=language)
    for words in reports(found, asked, folder / "history.pdf", folder / "history.xlsx", tables, about=invented):
        say(f"  {words}")
    say(f"\nLook around: checkapp history --journal {_shown(told.journal)}")


def run_screens(out: Path, language: str, say: Say, shows: int = SCREENS_SHOWS) -> None:
    """Take a picture of every screen in every size and colour set, in a folder as in `run_demo`.

    ``language`` is its code (ISO 639-1); ``shows`` is how long the tour is that gives them a history.
    Errors: `UnknownLanguage`, `FolderRefused`, `PicturesFailed`.
    """
    from checkapp.show.tour import play_tour

    check_language(language)
    folder = _new_folder(out)
    with tempfile.TemporaryDirectory() as place:
        home = Path(place)
        plan = shutil.copytree(places.shipped("plans"), home / "plans") / "demo.toml"
        say(f"A tour of {shows} shows, for the history; then every screen in every size and colour set")
        told = play_tour(plan, home, shows)
        _pictures([str(folder), str(plan), str(told.journal), language, "every"], home, say, _SCREENS_WAIT_S)


def _new_folder(out: Path) -> Path:
    for number in range(1, 1000):
        folder = out if number == 1 else out.with_name(f"{out.name}-{number}")
        try:
            folder.mkdir(parents=True)
        except FileExistsError:
            continue
        except OSError as error:
            raise FolderRefused(f"{folder}: cannot be made: {error.strerror}; name another with --out") from error
        return folder.resolve()
    raise FolderRefused(f"{out}: a thousand such folders are there; name another with --out")


def _shown(path: Path) -> str:
    return os.path.relpath(path)


def _review(plan: Path, folder: Path, say: Say, language: str) -> None:
    found = review_plan(plan)
    (folder / "review.json").write_text(json.dumps(document(found), indent=1), encoding="utf-8")
    say(f"\nReview of {found.rig.name}: {summary_of(found.review)}")
    say(f"  {detail_of(found.rig)}")
    for one in found.review.findings:
        say(f"  {one.level}  {one.where}: {one.message} {one.remedy}".rstrip())
    say(f"  {write_picture(found, folder / 'stage.png', language)}")
    say(f"  {write_paper(found, folder / 'paper.pdf', clock.today(), language)}")
    wrong = review_plan(plan.with_name("wrong.toml"))
    say(f"  For comparison, {wrong.rig.name}: {summary_of(wrong.review)}")
    for one in wrong.review.findings:
        say(f"    {one.level}  {one.where}: {one.message}")
    for words in cautions_of(found.rig, found.review):
        say(f"  {words}")


def _set_up(plan: Path, journal: Path, folder: Path, say: Say) -> None:
    session = Session(journal, home=folder / "home")
    try:
        session.open_rig(str(plan))
        say(f"\nSet-up for {', '.join(SHOW)} by scans, with {WRONG} ends planted at a wrong box")
        for line in play_setup(session, SHOW, BY, WRONG, SEED):
            say(f"  {line}")
    finally:
        session.close()


def _check(plan: Path, journal: Path, folder: Path, say: Say) -> None:
    session = Session(journal, home=folder / "home")
    try:
        session.open_rig(str(plan))
        rig = review_plan(plan).rig
        planted = plant(rig, SEED)
        say(f"\nLine check of {', '.join(SHOW)}, with {len(planted)} planted faults, and what is proposed followed")
        for line in play(session, rig, SHOW, BY, planted).story:
            say(f"  {line}")
        view = session.summary()
        say(f"\nSummary: {view.title}: {view.counts}; {view.detail}")
    finally:
        session.close()
    for line in verify_journal(journal)[0]:
        say(f"  journal: {line}")


def _pictures(words: list[str], home: Path, say: Say, wait_s: float) -> None:
    """Pictures of the real screens, by another process: a window that cannot be made ends its process.

    ``words`` are those of `checkapp.touch.pictures`; the first is the folder.
    """
    command = [sys.executable, "-m", "checkapp.touch.pictures", *words]
    environment = {**os.environ, "CHECKAPP_HOME": str(home), "SDL_VIDEODRIVER": "offscreen"}
    try:
        done = subprocess.run(command, env=environment, capture_output=True, text=True, timeout=wait_s, check=False)
    except subprocess.TimeoutExpired:
        raise PicturesFailed(f"the pictures of the screens took longer than {wait_s:.0f} s") from None
    made = sorted(Path(words[0]).glob("*.png"))
    if done.returncode == 0 and made:
        say(f"  {len(made)} pictures of the touch app in {words[0]}")
    elif done.stdout.strip():
        say(f"  no pictures: {done.stdout.strip().splitlines()[-1]}")
    else:
        last = (done.stderr.strip().splitlines() or ["no reason given"])[-1]
        raise PicturesFailed(f"the pictures of the screens could not be taken: {last}")
