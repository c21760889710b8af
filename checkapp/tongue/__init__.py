"""What people read, in their language: messages through gettext, numbers and dates in the locale's way.

English is what the program is written in and costs nothing; another language is read when it is chosen. Data is
never translated: plan files, journals, CSV and JSON stay English, in SI units, with points.
"""

from checkapp.tongue.catalogue import LANGUAGES, language, speaking, use
from checkapp.tongue.saying import later, shown_names, shown_word, tr, trn, trp

__all__ = ["LANGUAGES", "language", "later", "shown_names", "shown_word", "speaking", "tr", "trn", "trp", "use"]
