"""What a list or a workbook is to be: a rig of its own or one on the open rig, and its name."""

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import BooleanProperty, StringProperty

from checkapp.touch.page import Page
from checkapp.touch.widgets import field as _field  # noqa: F401  its layout is used in ours


class NamingScreen(Page):
    """A free name is filled in; where the name that was typed is taken it is said, with another that is free."""

    wide = BooleanProperty(True)
    saving = StringProperty("")

    def on_view(self, *_: object) -> None:
        """Something else is there: nothing is being read any more."""
        self.saving = ""

    def on_leave(self) -> None:
        """What was asked for has come."""
        self.saving = ""

        self.ids.name.typing = False

    def leave(self) -> None:
        """Back to the preview, as it stands."""
        self.moves.incoming_again()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
