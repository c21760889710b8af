"""The figures of the history, or of an item's life, one below the other."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.clock import Clock
from kivy.graphics.texture import Texture
from kivy.lang import Builder
from kivy.uix.image import Image

from checkapp.touch.figure_look import look_now
from checkapp.touch.page import Page
from checkapp.touch.widgets import buttons as _buttons  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.show.history_pictures import FiguresView, Picture


class FiguresScreen(Page):
    """Figures that were drawn for this screen; they are shown pixel for pixel.

    They take up to 10 MB, so they are let go of once another screen is at the front, and drawn anew, as the screen is
    then, for whoever comes back.
    """

    def on_enter(self) -> None:
        """Have figures drawn that were let go of, once it is known how wide the screen is."""
        if not self.view.pictures and not self.view.missing:
            Clock.schedule_once(self.draw_again)

    def draw_again(self, *_: object) -> None:
        """Have the same figures drawn as the screen is now."""
        self.view = replace(self.view, missing=False)
        self.moves.figures_again(self.view, look_now(self.width))

    def on_leave(self) -> None:
        """Nobody looks at them now."""
        self.view = replace(self.view, pictures=(), missing=False)

    def on_kv_post(self, _base: object) -> None:
        """Show those that it was built with, and all that come after."""
        self.bind(view=self._fill)
        self._fill(self, self.view)

    def _fill(self, _screen: object, view: FiguresView) -> None:
        self.ids.pictures.clear_widgets()
        for picture in view.pictures:
            self.ids.pictures.add_widget(Figure(texture=_texture(picture), size=(picture.width, picture.height)))
        self.ids.scroll.scroll_y = 1

    def leave(self) -> None:
        """Back to the item's life, or to the history."""
        if self.view.item:
            self.moves.life_again()
        else:
            self.moves.history_again()


class Figure(Image):
    """A figure as large as it was drawn, at the left."""


def _texture(picture: Picture) -> Texture:
    """The pixels on the graphics card; brought there again when it lost them."""
    made = Texture.create(size=(picture.width, picture.height), colorfmt="rgba")

    def fill(texture: Texture) -> None:
        texture.blit_buffer(picture.pixels, colorfmt="rgba", bufferfmt="ubyte")

    fill(made)
    made.add_reload_observer(fill)
    made.flip_vertical()
    return made


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
