"""View data of the settings screen."""

from checkapp.show.preferences import Preferences
from checkapp.show.settings import settings_view

SETTINGS = settings_view(Preferences(language="en"))
