"""Numbers, dates and times as people of the language spoken now write them (Unicode CLDR, through Babel).

Babel is loaded when the first of them is shown, never at the start. English is that of en-GB: ``26 Nov 2026``, a
clock of 24 hours.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import UTC, date, datetime
from functools import cache

from checkapp.tongue.catalogue import ENGLISH, language

_LOCALES = {"en": "en_GB", "de": "de"}


def number(value: float, digits: int = 4) -> str:
    """That many significant digits, whole ones in full: ``66``, ``17.39``, ``0.3083``; no sign between thousands."""
    if not math.isfinite(value) or abs(value) >= 1e6:
        return with_sign(f"{value:.{digits}g}")
    if value == round(value):
        return f"{value:.0f}"
    return with_sign(f"{value:.{digits}g}" if abs(value) < 10.0 ** (digits - 1) else f"{value:.1f}")


def fixed(value: float, places: int) -> str:
    """A number with so many places after the decimal sign."""
    return with_sign(f"{value:.{places}f}")


def percent(share: float, places: int = 0) -> str:
    """A share of 1 in hundredths: ``12%`` in English, ``12 %`` in German."""
    sign = "%" if language() == ENGLISH else "\N{NO-BREAK SPACE}%"
    return f"{fixed(100 * share, places)}{sign}"


def with_sign(figures: str) -> str:
    """A number written with a point, with the decimal sign of the language."""
    return figures if language() == ENGLISH else figures.replace(".", _decimal_sign(language()))


def day(when: date | str) -> str:
    """A date, ``26 Nov 2026`` or ``26.11.2026``; text that is no date (``2026-11-26``) stays as it is."""
    from babel.dates import format_date

    if isinstance(when, str):
        try:
            when = date.fromisoformat(when[:10])
        except ValueError:
            return str(when)
    return format_date(when, "medium", locale=_locale())


def paper_day(when: date | str) -> str:
    """A date on paper: ``2026-11-26`` in English, in another language as `day` has it."""
    return str(when) if language() == ENGLISH else day(when)


def clock(when: datetime | str) -> str:
    """The hour and the minute by the clock on the wall, ``16:03``; text that is no time of a journal stays as it is."""
    at = _local(when)
    return at.strftime("%H:%M") if at else str(when)


def moment(when: datetime | str) -> str:
    """A time of a journal (``2031-05-02T14:03:11.120Z``) as ``2 May 2031, 16:03``, by the clock on the wall."""
    at = _local(when)
    return f"{day(at.date())}, {clock(at)}" if at else str(when)


def both(names: Sequence[str]) -> str:
    """``SB1``; ``SB1 and SB2``; ``SB1, SB2 and SB3``."""
    if len(names) < 2:
        return "".join(names)
    if language() == ENGLISH:
        return f"{', '.join(names[:-1])} and {names[-1]}"
    from babel.lists import format_list

    return format_list(list(names), locale=_locale())


def either(names: Sequence[str]) -> str:
    """``SB1``; ``SB1 or SB2``; ``SB1, SB2 or SB3``."""
    if len(names) < 2:
        return "".join(names)
    if language() == ENGLISH:
        return f"{', '.join(names[:-1])} or {names[-1]}"
    from babel.lists import format_list

    return format_list(list(names), style="or", locale=_locale())


def _local(when: datetime | str) -> datetime | None:
    try:
        at = datetime.fromisoformat(when) if isinstance(when, str) else when
        return (at if at.tzinfo else at.replace(tzinfo=UTC)).astimezone()
    except (ValueError, OverflowError):
        return None


def _locale() -> str:
    return _LOCALES.get(language(), language())


@cache
def _decimal_sign(code: str) -> str:
    from babel.numbers import get_decimal_symbol

    return get_decimal_symbol(_LOCALES.get(code, code))
