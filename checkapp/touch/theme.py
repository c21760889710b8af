"""Colours and measures as properties: a layout that names ``theme.text`` follows the colour set and the density."""

from collections.abc import Callable
from pathlib import Path
from types import MethodType
from typing import TYPE_CHECKING, Any, Final, cast
from weakref import WeakMethod, finalize

from kivy.effects.dampedscroll import DampedScrollEffect
from kivy.effects.scroll import ScrollEffect
from kivy.event import EventDispatcher
from kivy.lang import Builder, global_idmap
from kivy.properties import BooleanProperty, ColorProperty, NumericProperty, ObjectProperty, OptionProperty

from checkapp.touch.colours import COLOURS, SETS, STATUS_COLOURS
from checkapp.touch.widgets import written as _written  # noqa: F401  words in theme.kv are drawn by it

if TYPE_CHECKING:
    from checkapp.show.preferences import Preferences

TYPE_SP: Final = {"note_px": 14, "body_px": 18, "code_px": 24, "name_px": 32, "line_px": 56}
"""The sizes of type at text scale 1, in sp: they follow the system's own setting as well."""
TARGETS_DP: Final = {"target": (48, 64), "step": (56, 64), "row": (64, 80), "action": (120, 144)}
"""The height of what is tapped, in dp, with a bare hand and with gloves: the least there is, the small buttons where
there is little room, the usual ones and rows of lists, the main actions."""


class StillEffect(ScrollEffect):
    """A list that stands where the finger leaves it, and at its ends."""

    def update_velocity(self, _dt: float) -> None:
        """Do not glide on."""
        self.velocity = 0


class Theme(EventDispatcher):
    """The look in use: one colour set, the type sizes, the one measure ``unit`` of 8 dp, the hand.

    ``text_scale`` makes all type larger, ``gloves`` all that is tapped; with ``calm`` nothing moves by itself.
    """

    name = OptionProperty(SETS[0], options=SETS)
    left_handed = BooleanProperty(False)
    gloves = BooleanProperty(False)
    text_scale = NumericProperty(1.0)
    calm = BooleanProperty(False)
    effect = ObjectProperty(DampedScrollEffect)

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

    note_px = NumericProperty(f"{TYPE_SP['note_px']}sp")
    body_px = NumericProperty(f"{TYPE_SP['body_px']}sp")
    code_px = NumericProperty(f"{TYPE_SP['code_px']}sp")
    name_px = NumericProperty(f"{TYPE_SP['name_px']}sp")
    line_px = NumericProperty(f"{TYPE_SP['line_px']}sp")

    unit = NumericProperty("8dp")
    target = NumericProperty(f"{TARGETS_DP['target'][0]}dp")
    step = NumericProperty(f"{TARGETS_DP['step'][0]}dp")
    row = NumericProperty(f"{TARGETS_DP['row'][0]}dp")
    action = NumericProperty(f"{TARGETS_DP['action'][0]}dp")

    def take(self, preferences: "Preferences") -> None:
        """Look as the tablet is set."""
        self.name = preferences.colours
        self.left_handed = preferences.hand == "left"
        self.gloves = preferences.gloves
        self.text_scale = preferences.text_scale
        self.calm = preferences.calm

    def follow(self, then: Callable[..., None], *names: str) -> None:
        """Call a method of a widget whenever one of these changes, as long as there is that widget.

        What is bound in the toolkit's own way is not kept alive either, but its place in the list is, until that very
        property changes; and the measure of all, for one, hardly ever does.
        """
        widget, weak = cast(MethodType, then).__self__, WeakMethod(then)

        def changed(*told: object) -> None:
            method = weak()
            if method is not None:
                method(*told)

        for name in names:
            finalize(widget, self.unbind_uid, name, self.fbind(name, changed)).atexit = False

    def on_name(self, _theme: object, name: str) -> None:
        """Take over the colours of the set."""
        for colour, value in COLOURS[name].items():
            setattr(self, colour, value)

    def on_text_scale(self, *_: object) -> None:
        """Make all type so much larger."""
        for size, sp in TYPE_SP.items():
            setattr(self, size, self.sp(sp))

    def on_gloves(self, _theme: object, gloves: bool) -> None:
        """Make all that is tapped as large as the hand needs it."""
        for target, heights in TARGETS_DP.items():
            setattr(self, target, f"{heights[gloves]}dp")

    def on_calm(self, _theme: object, calm: bool) -> None:
        """Let lists glide, or not."""
        self.effect = StillEffect if calm else DampedScrollEffect

    def sp(self, size: float) -> str:
        """A size of type at the text scale, for a widget that is being made; it goes on to follow the density."""
        return f"{size * self.text_scale:g}sp"

    def of(self, status: str, _name: str = "") -> Any:
        """The colour of a status; naming ``theme.name`` in the call makes a layout follow the set."""
        return getattr(self, STATUS_COLOURS[status])


theme: Final = Theme()
global_idmap["theme"] = theme  # theme.kv cannot import the module that loads it
Builder.load_file(str(Path(__file__).with_suffix(".kv")))
