"""The first start: what the tool does in order, and where to begin."""

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import BooleanProperty

from checkapp.touch.page import Page
from checkapp.touch.widgets import scroll as _scroll  # noqa: F401  its layout is used in ours


class FirstScreen(Page):
    """Shown on a machine that has neither a plan of its own nor a journal."""

    wide = BooleanProperty(True)

    def demo(self) -> None:
        """Open the rig to try things with."""
        self.moves.open_rig(self.view.demo)

    def files(self) -> None:
        """Look for a file of one's own."""
        self.moves.files()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
