"""What was heard on a faulty line: one tap marks it."""

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import StringProperty

from checkapp.rig.words import SYMPTOMS
from checkapp.touch.keys import DIGITS
from checkapp.touch.page import Page
from checkapp.touch.widgets import field as _field  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import tape as _tape  # noqa: F401


class SymptomScreen(Page):
    """The eight symptoms, and a note that may be typed first or left."""

    saving = StringProperty("")

    def heard(self, number: int) -> None:
        """Mark the line faulty with the symptom of that number, from 1, and the note as it stands."""
        self.moves.faulty(self.view.line, SYMPTOMS[number - 1], self.ids.note.text.strip())

    def leave(self) -> None:
        """Back to where it was asked, nothing marked."""
        self.moves.unheard()

    def on_pre_enter(self) -> None:
        """Begin with what was typed of the line and not used yet."""
        super().on_pre_enter()
        self.saving = ""
        self.ids.note.text = self.moves.note_of(self.view.line) or ""

    def on_pre_leave(self) -> None:
        """What was typed stays typed until it is used."""
        self.moves.keep_note(self.view.line, self.ids.note.text)

    def on_leave(self) -> None:
        """Let the keyboard go."""
        self.ids.note.typing = False

    def key(self, key: int) -> bool:
        """1 to 8 choose a symptom, unless a note is being typed."""
        if self.ids.note.typing or DIGITS.get(key, 9) > len(SYMPTOMS):
            return bool(super().key(key))
        self.heard(DIGITS[key])
        return True


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
