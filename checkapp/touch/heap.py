"""What the C library keeps of memory that was let go of.

GNU's learns from each large piece that is freed to take the next of that size from its heap, where up to twice as much
then stays as was let go of: after one look at figures that a tablet holds for the rest of the day. Source: mallopt(3),
"M_MMAP_THRESHOLD" and "M_TRIM_THRESHOLD"; numbers from malloc.h of glibc 2.36.
"""

from __future__ import annotations

import ctypes
import os
from typing import Final

LARGE: Final = 1 << 20
"""Bytes. Pieces so large are the system's again once they are freed; as much may stay free at the heap's end. Words are
painted in pieces that are smaller, so a tap asks the system for none."""
_TRIM_THRESHOLD: Final = -1
_MMAP_THRESHOLD: Final = -3


def give_back_large() -> bool:
    """Have large pieces given back at once from now on; False: the C library is another one, and is left as it is."""
    if not _is_gnu():
        return False
    library = ctypes.CDLL(None)
    return all(library.mallopt(option, LARGE) == 1 for option in (_MMAP_THRESHOLD, _TRIM_THRESHOLD))


def _is_gnu() -> bool:
    """Whether the C library says that it is GNU's (confstr, POSIX.1-2017, asked for a name of theirs)."""
    name = "CS_GNU_LIBC_VERSION"
    return name in getattr(os, "confstr_names", {}) and (os.confstr(name) or "").startswith("glibc ")
