"""What scrolls: its bar can always be seen, so that nobody misses what lies below."""

from pathlib import Path
from typing import Any

from kivy.lang import Builder
from kivy.uix.scrollview import ScrollView


class Scroll(ScrollView):
    """Scrolls up and down, with a bar that does not fade; it glides and swings at its ends unless all is to be calm."""

    def scroll_to(self, widget: Any, padding: Any = 10, animate: Any = False) -> None:
        """Bring a widget into sight, at once."""
        super().scroll_to(widget, padding, animate)


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
