"""View data of the settings screen."""

from checkapp import tongue
from checkapp.show.preferences import Preferences
from checkapp.show.settings import settings_view


def in_german():
    """The settings of a tablet that speaks German and measures in feet."""
    tongue.use("de")
    view = settings_view(Preferences("dim", "left", True, 1.5, True, "de", "ft", "awg"))
    tongue.use("en")
    return view


def views():
    """The settings with the longest words."""
    return {"settings": ("settings", in_german())}
