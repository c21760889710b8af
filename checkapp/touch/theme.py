"""Colours and measures as properties: a layout that names ``theme.text`` follows the colour set and the density."""

from pathlib import Path
from typing import Any, Final

from kivy.event import EventDispatcher
from kivy.lang import Builder, global_idmap
from kivy.properties import BooleanProperty, ColorProperty, NumericProperty, OptionProperty

from checkapp.touch.colours import COLOURS, SETS, STATUS_COLOURS


class Theme(EventDispatcher):
    """The look in use: one colour set, the type sizes (sp), the one measure (dp) and the hand that holds the tablet."""

    name = OptionProperty(SETS[0], options=SETS)
    left_handed = BooleanProperty(False)

    ground = ColorProperty(COLOURS["dark"]["ground"])
    panel = ColorProperty(COLOURS["dark"]["panel"])
    tape = ColorProperty(COLOURS["dark"]["tape"])
    ink = ColorProperty(COLOURS["dark"]["ink"])
    text = ColorProperty(COLOURS["dark"]["text"])
    quiet = ColorProperty(COLOURS["dark"]["quiet"])
    ok = ColorProperty(COLOURS["dark"]["ok"])
    faulty = ColorProperty(COLOURS["dark"]["faulty"])
    look = ColorProperty(COLOURS["dark"]["look"])
    next = ColorProperty(COLOURS["dark"]["next"])

    note_px = NumericProperty("14sp")
    body_px = NumericProperty("18sp")
    code_px = NumericProperty("24sp")
    name_px = NumericProperty("32sp")
    line_px = NumericProperty("56sp")

    unit = NumericProperty("8dp")
    target = NumericProperty("48dp")
    row = NumericProperty("64dp")
    action = NumericProperty("120dp")

    def on_name(self, _theme: object, name: str) -> None:
        """Take over the colours of the set."""
        for colour, value in COLOURS[name].items():
            setattr(self, colour, value)

    def next_set(self) -> None:
        """Go on to the next colour set, after the last to the first."""
        self.name = SETS[(SETS.index(self.name) + 1) % len(SETS)]

    def of(self, status: str, _name: str = "") -> Any:
        """The colour of a status; naming ``theme.name`` in the call makes a layout follow the set."""
        return getattr(self, STATUS_COLOURS[status])


theme: Final = Theme()
global_idmap["theme"] = theme  # theme.kv cannot import the module that loads it
Builder.load_file(str(Path(__file__).with_suffix(".kv")))
