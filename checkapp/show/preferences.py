"""How this tablet is set: its look, its language and its units, kept in a small file of the user's folder."""

from __future__ import annotations

import json
import locale
import os
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass, field, fields, replace
from pathlib import Path
from typing import Any, Final, Literal

from checkapp.rig.errors import CheckappError
from checkapp.tongue import LANGUAGES

_NAME: Final = "preferences.json"
_LONG: Final = 10_000
"""More characters than a file of ours ever has."""

VALUES: Final[dict[str, tuple[Any, ...]]] = {
    "colours": ("dark", "light", "dim"),
    "text_scale": (1.0, 1.25, 1.5),
    "hand": ("right", "left"),
    "gloves": (False, True),
    "calm": (False, True),
    "language": tuple(LANGUAGES),
    "length_unit": ("plan", "m", "ft"),
    "area_unit": ("plan", "mm2", "awg"),
}
"""What can be set, and to what: the first is what holds until something is chosen, but for the language."""


class NotRemembered(CheckappError):
    """What was chosen holds until the program ends, but could not be written."""


def system_language() -> str:
    """The language that the system speaks, if it is one of ours; else English."""
    named = (os.environ.get(name) for name in ("LC_ALL", "LC_MESSAGES", "LANG"))
    spoken = next((name for name in named if name), "") or locale.getlocale()[0] or ""
    code = locale.normalize(spoken).split("_")[0].lower()
    return code if code in LANGUAGES else VALUES["language"][0]


@dataclass(frozen=True, slots=True)
class Preferences:
    """How a tablet is set.

    ``colours``: the colour set. ``hand``: the thumb under which ok lies. ``gloves``: larger targets. ``text_scale``: by
    how much all type is larger than usual. ``calm``: nothing moves by itself. ``language``: its code (ISO 639-1).
    ``length_unit``: m or ft. ``area_unit``: of conductors, mm2 or awg (American wire gauge). Either is plan for the
    unit in which the plan file has it.
    """

    colours: Literal["dark", "light", "dim"] = "dark"
    hand: Literal["right", "left"] = "right"
    gloves: bool = False
    text_scale: float = 1.0
    calm: bool = False
    language: str = field(default_factory=system_language)
    length_unit: Literal["plan", "m", "ft"] = "plan"
    area_unit: Literal["plan", "mm2", "awg"] = "plan"


class Remembered:
    """The preferences of the user's folder ``home``, read once, written whenever one of them is chosen."""

    def __init__(self, home: Path) -> None:
        self._home = home
        self._now: Preferences | None = None

    @property
    def now(self) -> Preferences:
        """As they stand."""
        if self._now is None:
            self._now = read_preferences(self._home)
        return self._now

    def choose(self, name: str, value: Any) -> Preferences:
        """Set one of `VALUES` and remember it. `NotRemembered`: it is set, but could not be written."""
        if value not in VALUES[name]:
            raise ValueError(f"{name} is never {value!r}")
        self._now = replace(self.now, **{name: value})
        write_preferences(self._home, self._now)
        return self._now


def read_preferences(home: Path) -> Preferences:
    """What was chosen last on this tablet; what was never chosen, or cannot be read, is as on a new one.

    A file that is damaged is put aside, beside itself; nothing is raised.
    """
    path = home / _NAME
    try:
        with path.open(encoding="utf-8") as file:
            return _known(dict(json.loads(file.read(_LONG)).items()))
    except FileNotFoundError:
        return _known(_as_kept_before(home))
    except OSError:
        return Preferences()
    except (ValueError, AttributeError, RecursionError):
        with suppress(OSError):
            path.replace(path.with_name(f"{_NAME}.damaged"))
        return Preferences()


def write_preferences(home: Path, preferences: Preferences) -> None:
    """Keep them, whole or not at all. `NotRemembered`: they could not be written."""
    new = home / f"{_NAME}.new"
    try:
        home.mkdir(parents=True, exist_ok=True)
        with new.open("w", encoding="utf-8") as file:
            json.dump(asdict(preferences), file, indent=1)
            file.flush()
            os.fsync(file.fileno())
        new.replace(home / _NAME)
    except OSError as error:
        raise NotRemembered(
            f"{home / _NAME}: cannot be written: {error.strerror}; what you chose holds until the app is closed"
        ) from None


def _known(found: Mapping[str, object]) -> Preferences:
    """What of it is one of `VALUES`: a file of another version may hold more."""
    known = {one.name: found[one.name] for one in fields(Preferences) if one.name in found}
    return Preferences(**{name: value for name, value in known.items() if _is_one_of(value, VALUES[name])})  # type: ignore[arg-type]


def _is_one_of(value: object, values: tuple[object, ...]) -> bool:
    return any(type(value) is type(one) and value == one for one in values)


def _as_kept_before(home: Path) -> dict[str, str]:
    """Colours and hand, from where earlier versions kept them: the settings of the window's toolkit."""
    from configparser import ConfigParser, Error

    kept = ConfigParser(interpolation=None)
    try:
        kept.read(home / "kivy" / "config.ini", encoding="utf-8")
        return dict(kept["checkapp"]) if kept.has_section("checkapp") else {}
    except (Error, ValueError, OSError):
        return {}
