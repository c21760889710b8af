"""Which cautions belong on a page: those for what its words speak of, and for what it shows without a word."""

from collections.abc import Iterable
from typing import Final

from checkapp.page.drawing import Shape, Words
from checkapp.review.cautions import MAINS, PHANTOM
from checkapp.tongue import shown_word

MAINS_WORD: Final = "mains"
PHANTOM_WORD: Final = "phantom"
# In every language that a page may be in.
_SPOKEN: Final = {
    MAINS_WORD: ("mains", "suppl", "breaker", "netz", "einspeisung", "sicherung"),
    PHANTOM_WORD: ("phantom",),
}
_CAUTIONS: Final = {MAINS_WORD: MAINS, PHANTOM_WORD: PHANTOM}


def cautions_for(shapes: Iterable[Shape], shown: Iterable[str] = ()) -> tuple[str, ...]:
    """The cautions for a page with these shapes; ``shown`` names what it shows beside that: `MAINS_WORD` and so on."""
    text = " ".join(shape.text for shape in shapes if isinstance(shape, Words)).casefold()
    said = {word for word, parts in _SPOKEN.items() if any(part in text for part in parts)}
    return tuple(shown_word(_CAUTIONS[word]) for word in _CAUTIONS if word in said.union(shown))
