"""Hand scanners, which are keyboards: their bursts are taken out of the stream of keys, whatever is on the screen.

A key that writes something is held back for a moment. If more follow at a pace that no person keeps up, and then Enter,
they are a scan; nothing else in the app ever sees them. If not, they go on their way as they came.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from kivy.clock import Clock
from kivy.core.window import Window
from kivy.uix.behaviors import FocusBehavior

from checkapp.scan.keyboards import Press, written
from checkapp.scan.pace import PAUSE_S, Run, Stroke
from checkapp.touch.keys import ENTERS, SHIFTS, is_chord, writes

Event = tuple[str, tuple[Any, ...]]
_MOST_HELD_S: Final = 0.25
"""No key is held back for longer by the toolkit's own clock, whatever the other clock says."""
_FRAMES: Final = 3


class Listener:
    """Listens to the window's keys; ``scanned`` gets the text of each burst, as the computer's keyboard wrote it.

    ``now_s`` is any steady clock in seconds. A burst without Enter is dropped.
    """

    def __init__(self, now_s: Callable[[], float], scanned: Callable[[str], None]) -> None:
        self._now_s = now_s
        self._scanned = scanned
        self._frames_s = (now_s(), now_s())
        self._began_s, self._ended_s = now_s(), float("-inf")
        self._held_s, self._waited = 0.0, 0
        self._passing = False
        self._swallowed: set[int] = set()
        self._down: int | None = None
        self._clear()

    def start(self) -> None:
        """Begin to listen. What is bound to the window's keys before gets them after this."""
        Window.bind(on_key_down=self._key_down, on_key_up=self._key_up, on_textinput=self._text)
        Window.bind(on_touch_down=self._touched)
        Clock.schedule_interval(self._frame, 0)

    def stop(self) -> None:
        """Listen no more; what is held back is let go of."""
        Window.unbind(on_key_down=self._key_down, on_key_up=self._key_up, on_textinput=self._text)
        Window.unbind(on_touch_down=self._touched)
        Clock.unschedule(self._frame)
        self._clear()

    def _clear(self) -> None:
        self._run = Run()
        self._events: list[Event] = []
        self._presses: list[Press] = []
        self._texts: list[str] = []

    # -- what comes from the window

    def _key_down(self, _window: object, key: int, *args: Any) -> bool:
        if self._passing:
            return False
        scancode, modifiers = args[0] if args else 0, (args[2] if len(args) > 2 else None) or ()
        repeats, self._down = key == self._down and not self._events, key
        self._swallowed.discard(key)
        if is_chord(modifiers):
            self._settle()
        elif key in SHIFTS:
            return self._hold("on_key_down", key, *args)
        elif writes(key, scancode or 0) and not repeats:
            return self._stroke(key, scancode or 0, "shift" in modifiers, *args)
        elif key in ENTERS:
            return self._ended(key)
        else:
            self._settle()
        return False

    def _key_up(self, _window: object, key: int, *args: Any) -> bool:
        if self._passing:
            return False
        if key == self._down:
            self._down = None
        if key in self._swallowed:
            self._swallowed.discard(key)
            return True
        held = any(name == "on_key_down" and args[0] == key for name, args in self._events)
        return held and self._hold("on_key_up", key, *args)

    def _text(self, _window: object, text: str) -> bool:
        if self._passing or not self._events:
            return False
        self._texts.append(text)
        return self._hold("on_textinput", text)

    def _touched(self, *_: object) -> bool:
        """What was typed stands where it belongs before a tap does something with it."""
        self._settle()
        return False

    def _frame(self, *_: object) -> None:
        """Let go of what has waited long enough. Keys were last looked for between the frame before and this one."""
        self._frames_s = (self._frames_s[1], self._now_s())
        if not self._events:
            return
        self._waited += 1
        lonely = not self._run.strokes and self._frames_s[0] - self._began_s > PAUSE_S
        too_long = self._waited >= _FRAMES and Clock.get_time() - self._held_s > _MOST_HELD_S
        if lonely or too_long or self._run.over(self._frames_s[0]):
            self._settle()

    # -- what becomes of it

    def _stroke(self, key: int, scancode: int, shift: bool, *args: Any) -> bool:
        stroke = Stroke(key, self._frames_s[0], self._now_s())
        if not self._run.takes(stroke):
            self._settle()
        self._run.strokes.append(stroke)
        if self._run.struck:
            self._settle()
            self._run.strokes.append(stroke)
        self._presses.append(Press(scancode, _alone(key, args), shift))
        return self._hold("on_key_down", key, scancode, *args[1:])

    def _hold(self, name: str, *args: Any) -> bool:
        if not self._events:
            self._began_s = self._now_s()
        self._held_s, self._waited = Clock.get_time(), 0
        self._events.append((name, args))
        return True

    def _ended(self, key: int) -> bool:
        """Enter, or Tab, which some scanners are set to: the end of a burst, of another end, or of nothing."""
        at_s = self._now_s()
        if not self._events and at_s - self._ended_s <= PAUSE_S:
            self._swallowed.add(key)
            return True
        text = "".join(self._texts) or written(self._presses)
        if not self._is_scan(text):
            self._settle()
            return False
        self._drop()
        self._swallowed.add(key)
        self._ended_s = at_s
        self._scanned(text)
        return True

    def _is_scan(self, text: str) -> bool:
        """Whether a scanner sent what is held back. Where the pace leaves it open, nobody types where nothing asks for
        it, and a whole good tag is scanned rather than typed."""
        sender = self._run.sender
        from checkapp.scan.burst import whole_tags

        return sender == "scanner" or (sender == "either" and (not _is_typing() or bool(whole_tags(text))))

    def _settle(self) -> None:
        """No end came: keys that a person struck go on their way, a burst that was cut off is dropped."""
        sender = self._run.sender
        if sender == "scanner" or (sender == "either" and not _is_typing()):
            self._drop()
        else:
            self._let_go()

    def _drop(self) -> None:
        down = [args[0] for name, args in self._events if name == "on_key_down"]
        up = [args[0] for name, args in self._events if name == "on_key_up"]
        self._swallowed |= set(down) - set(up)
        self._clear()

    def _let_go(self) -> None:
        """Hand the events on as the toolkit itself would have."""
        events = self._events
        self._clear()
        self._passing = True
        try:
            for name, args in events:
                if not Window.dispatch(name, *args) and name == "on_key_down":
                    Window.dispatch("on_keyboard", *args)
        finally:
            self._passing = False


def _alone(key: int, args: tuple[Any, ...]) -> str:
    """What a key writes without shift, as far as its event tells."""
    told = args[1] if len(args) > 1 else None
    return told if isinstance(told, str) and len(told) == 1 and told.isprintable() else chr(key)


def _is_typing() -> bool:
    """Whether a place to type has the keys."""
    return any(widget is not None for widget in FocusBehavior._keyboards.values())
