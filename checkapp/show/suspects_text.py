"""The suspects and what to try next, for a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from checkapp.diagnose.next_test import NextTest
from checkapp.journal.heard import HeardMark
from checkapp.show.cautions import MAINS, PHANTOM
from checkapp.show.suspect_words import named, speaks_against, speaks_for
from checkapp.show.suspecting import Suspicion
from checkapp.tongue import shown_word, tr

_MOST_ROWS: Final = 12
_LEAST_SHOWN: Final = 0.005
_BAR: Final = 20


def print_suspects(found: Suspicion) -> None:
    """Print the suspects as a table with bars, what speaks for and against each, and the next tests."""
    from rich.console import Console
    from rich.table import Table

    console = Console(highlight=False, soft_wrap=False)
    console.print(heading(found), markup=False)
    if not found.faulty:
        return
    table = Table(box=None, show_header=False, pad_edge=False, padding=(0, 2, 0, 0))
    for row in rows(found):
        table.add_row(*row)
    console.print(table)
    for words in (nothing_words(found), *next_words(found), *cautions(found)):
        console.print(words, markup=False)


def heading(found: Suspicion) -> str:
    """What is known: the show and the faulty lines."""
    show = f"{found.rig.name}, {found.show}" if found.show else found.rig.name
    if not found.faulty:
        return f"{show}: no line is marked faulty; nothing to blame"
    return f"{show}: faulty are {named(found.rig, found.faulty)}"


def percent(probability: float) -> str:
    """A probability in words: ``71 %``, ``under 1 %``, ``over 99 %``."""
    if probability < 0.01:
        return tr("under 1 %")
    return tr("over 99 %") if probability > 0.99 else f"{probability:.0%}".replace("%", " %")


def rows(found: Suspicion) -> Iterator[tuple[str, str, str, str]]:
    """The suspects that matter: item and what cannot be told from it, chance, bar, what speaks for and against it."""
    heard = [HeardMark(one.line, tuple(one.path), one.verdict, one.symptom) for one in found.heard]
    groups = {item: group for group in found.diagnosis.groups for item in group}
    told: set[str] = set()
    for suspect in found.diagnosis.suspects[: 4 * _MOST_ROWS]:
        item = suspect.item
        spoken = speaks_for(found.rig, item.name, heard)
        if suspect.probability < _LEAST_SHOWN or not spoken or len(told) >= _MOST_ROWS:
            continue
        alike = [one.name for one in groups.get(item, ()) if one != item]
        told.add(item.name)
        words = [spoken, speaks_against(found.rig, item.name, heard)]
        if alike:
            words.append(f"on the same lines: {', '.join(alike[:3])}{' and more' if len(alike) > 3 else ''}")
        bar = "#" * round(_BAR * suspect.probability)
        yield item.name, percent(suspect.probability), bar, "; ".join(filter(None, words))


def nothing_words(found: Suspicion) -> str:
    """How likely it is that nothing is to blame."""
    left = found.diagnosis.left_out
    exact = "" if left == 0 else f"; not exact, at most {left:.1g} was left out"
    return f"nothing on these lines is to blame: {percent(found.diagnosis.none)}{exact}"


def next_words(found: Suspicion, most: int = 4) -> list[str]:
    """What to try next, best first."""
    tests = found.tests[:most]
    return ["next", *(f"  {words_of(one)}" for one in tests)] if tests else ["next: mark more lines"]


def words_of(one: NextTest) -> str:
    """A test in words, with how long it takes and what it is worth."""
    test = one.test
    done = {
        "mark": f"listen to {test.line}",
        "re-mark": f"listen to {test.line} again",
        "swap": f"swap {test.swap.name if test.swap else ''} for a good one, then listen to {test.line}",
        "move": f"move {test.line} to {test.port}, then listen to it",
    }[test.kind]
    return f"{done}: {test.minutes:g} min, {one.bits:.2f} bit"


def cautions(found: Suspicion) -> Sequence[str]:
    """The usual caution where mains or a re-plugged line comes up."""
    swapped = {one.test.swap.kind for one in found.tests if one.test.swap}
    said = [shown_word(MAINS)] if swapped & {"supply", "box"} else []
    if swapped or any(one.test.kind == "move" for one in found.tests):
        said.append(f"{shown_word(PHANTOM)} Phantom power is never switched as a guess.")
    return said
