"""What can be set on this tablet, in words: each setting with all its choices and the one that holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import checkapp
from checkapp.review.cautions import MAINS, PHANTOM
from checkapp.show.preferences import VALUES, Preferences
from checkapp.tongue import LANGUAGES, shown_word, tr
from checkapp.tongue.numbers import percent


@dataclass(frozen=True, slots=True)
class Option:
    """One choice of a setting: its value, its word, and whether it is the one that holds."""

    value: Any
    word: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class Setting:
    """Something that can be set: its name in `VALUES`, what it is, what it does, and all its choices."""

    name: str
    title: str
    hint: str
    options: tuple[Option, ...]


@dataclass(frozen=True, slots=True)
class SettingsView:
    """All settings, what they are now, and what is said at the foot: the cautions and the version."""

    now: Preferences
    settings: tuple[Setting, ...]
    cautions: tuple[str, ...]
    version: str


def settings_view(now: Preferences) -> SettingsView:
    """The settings of a tablet that is set like that, in the language that is spoken now."""
    hints, words = _hints(), _words()
    settings = tuple(
        Setting(name, title, hint, _options(VALUES[name], words[name], getattr(now, name)))
        for name, (title, hint) in hints.items()
    )
    cautions = (shown_word(MAINS), shown_word(PHANTOM))
    return SettingsView(now, settings, cautions, tr("checkapp, version {version}", version=checkapp.__version__))


def _options(values: tuple[Any, ...], words: Mapping[Any, str], now: Any) -> tuple[Option, ...]:
    return tuple(Option(value, words[value], value == now) for value in values)


def _hints() -> dict[str, tuple[str, str]]:
    """Each setting in the order of the screen, with what it does."""
    return {
        "colours": (tr("Colours"), tr("Light reads best in daylight, dim does not light up a dark stage.")),
        "text_scale": (tr("Size of the text"), ""),
        "gloves": (tr("Gloves"), tr("With gloves everything that is tapped becomes larger.")),
        "hand": (tr("Hand"), tr("ok lies under the thumb of this hand.")),
        "calm": (tr("Movement"), tr("Still: lists stop with the finger, and the frame around a scan does not blink.")),
        "language": (tr("Language"), ""),
        "length_unit": (tr("Lengths"), tr("As the plan has them, or all in one unit. Files keep what they have.")),
        "area_unit": (tr("Conductors"), tr("The cross-section of cables for power.")),
    }


def _words() -> dict[str, dict[Any, str]]:
    return {
        "colours": {"dark": tr("dark"), "light": tr("light"), "dim": tr("dim")},
        "text_scale": {scale: percent(scale) for scale in VALUES["text_scale"]},
        "gloves": {False: tr("bare hand"), True: tr("gloves")},
        "hand": {"right": tr("right"), "left": tr("left")},
        "calm": {False: tr("usual"), True: tr("still")},
        "language": dict(LANGUAGES),
        "length_unit": {"plan": tr("as planned"), "m": tr("metres"), "ft": tr("feet")},
        "area_unit": {"plan": tr("as planned"), "mm2": "mm2", "awg": "AWG"},
    }
