"""The link that a crew with a page of its own puts before each tag in the QR."""

import re

from checkapp.rig.errors import CheckappError, printable

LONGEST = 120
"""Characters of a link before the tag: more make the QR too fine to be scanned off a label."""
_SCHEME = re.compile(r"HTTPS?://[^/ ]", re.ASCII)
_ALPHANUMERIC = frozenset("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ$%*+-./:")
"""The characters of the QR's alphanumeric mode (ISO/IEC 18004), but for the blank, which no link has."""


class LinkRefused(CheckappError):
    """A link that cannot stand before tags."""


def link_of(base: str) -> str:
    """``base`` as it stands before each tag: in capitals, with the stroke that joins the two.

    `LinkRefused`: it is no web address, too long, or has characters that the QR's alphanumeric mode
    does not hold; the message names them.
    """
    shown = printable(base, 80)
    wrong = dict.fromkeys(c for c in base if not c.isascii() or c.upper() not in _ALPHANUMERIC)
    if wrong:
        named = ", ".join("a blank" if c == " " else printable(c) for c in wrong)
        raise LinkRefused(f"the link {shown} has characters that do not fit: {named}; use letters, digits and $%*+-./:")
    link = base.upper()
    if not _SCHEME.match(link):
        raise LinkRefused(f"the link {shown} is no web address; begin it with https:// and the name of the site")
    if len(link) > LONGEST:
        raise LinkRefused(f"the link is {len(link)} characters long; at most {LONGEST} leave a QR that can be scanned")
    return link if link.endswith("/") else f"{link}/"
