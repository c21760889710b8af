"""A whole good tag read by itself, with no rig to look it up in: what hired gear carries."""

from checkapp.rig.codes import DESK, Tag, link_tail, written_tag


def whole_tag(text: str) -> Tag | None:
    """``TN.SB9.C``, ``TN.HP22.A.C`` or a show tag, with its dots, in any case, alone or at the end of a link.

    None for what is none, or has a check character that does not fit.
    """
    words = text.strip()
    written = written_tag(link_tail(words) or words)
    return written.tag if written and written.fits and written.tag.code != DESK else None
