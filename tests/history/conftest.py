"""Histories for the reports: a tour drawn by chance, one with nothing in it, one of great size."""

import sys
from datetime import datetime, timedelta
from pathlib import Path
from random import Random

import pytest

from checkapp.history.analysis import analysed
from checkapp.history.lives import CheckDone, FaultMade, Life, Tally, Unconfirmed

sys.path.insert(0, str(Path(__file__).parent))  # the simulated tours and what they come to

_KINDS = {"source": 24, "cable": 40, "hop": 6, "port": 60, "box": 5, "chain": 2, "supply": 3, "desk": 1}
_RATES = {"cable": 0.02, "source": 0.015, "box": 0.01}
_SYMPTOMS = ("silent", "hum", "crackle", "low")
_BAD = {"SM.XL01": 0.2, "SM.XL02": 0.12, "SM.SB1": 0.08}
_START = datetime(2031, 3, 1, 13, 5)


def drawn(shows=30, factor=1, seed=7):
    """A tour of so many shows with ``factor`` times the usual number of items; three of them are bad."""
    chance = Random(seed)
    at = [_START + timedelta(days=2 * number, minutes=chance.randrange(90)) for number in range(shows)]
    checks = tuple(_check(chance, number, moment) for number, moment in enumerate(at))
    lives, faults = [], []
    for kind, many in _KINDS.items():
        for number in range(1, many * factor + 1):
            code = {"cable": "XL", "box": "SB"}.get(kind, kind[:2].upper())
            item = f"SM.{code}{number:02}" if kind != "box" else f"SM.SB{number}"
            life, own = _lived(chance, item, kind, checks)
            lives.append(life)
            faults += own
    unconfirmed = tuple(
        Unconfirmed(f"in {chance.randrange(1, 40)}", check.at, check.rig, check.show, chance.choice(_SYMPTOMS), "JD")
        for check in checks
        if chance.random() < 0.4
    )
    faults.sort(key=lambda fault: fault.at)
    return Tally(tuple(sorted(lives, key=lambda life: life.item)), tuple(faults), unconfirmed, checks)


def _check(chance, number, moment):
    venue = f"Hall {number % 9 + 1}"
    lines = 48 + chance.randrange(6)
    return CheckDone(
        "Two chains",
        f"Night {number + 1}",
        venue,
        moment.date().isoformat(),
        _written(moment),
        lines,
        chance.randrange(5),
        round(lines * chance.uniform(0.2, 0.6), 2),
        ("JD", "AK") if number % 3 else ("JD",),
    )


def _lived(chance, item, kind, checks):
    rate = _BAD.get(item) or _RATES.get(kind, 0.003) * chance.gammavariate(4, 0.25)
    seen = [check for check in checks if chance.random() < 0.9]
    failed = [number for number, _ in enumerate(seen, 1) if chance.random() < rate]
    faults = [
        FaultMade(
            item,
            kind,
            seen[number - 1].at[:11] + "20:10:00.000Z",
            seen[number - 1].rig,
            seen[number - 1].show,
            "Riser left",
            chance.choice(("JD", "AK")),
            "swapped",
            None,
            ("in 7", "in 8"),
            (chance.choice(_SYMPTOMS),),
            chance.uniform(2, 40),
            number != failed[0],
        )
        for number in failed
    ]
    pulled = faults[-1].at if len(failed) > 2 else None
    ends = (seen[0].at, seen[-1].at) if seen else ("", "")
    return Life(item, kind, len(seen), tuple(failed), *ends, pulled, pulled is not None), faults


def _written(moment):
    return moment.strftime("%Y-%m-%dT%H:%M:%S.000Z")


@pytest.fixture(scope="session")
def tour():
    return analysed(drawn())


@pytest.fixture(scope="session")
def nothing():
    return analysed(Tally(()))


@pytest.fixture(scope="session")
def huge():
    return analysed(drawn(shows=200, factor=4))
