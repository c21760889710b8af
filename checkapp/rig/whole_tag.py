"""A whole tag read by itself, with no rig to look it up in: what hired gear carries."""

import re

from checkapp.rig.codes import CODE_PATTERN, DESK, ENDS, OWNER_PATTERN, Tag

_MARK = re.compile(r"[0-9A-Z]{4}", re.ASCII)


def whole_tag(text: str) -> Tag | None:
    """``TN.SB9.C``, ``TN.HP22.A.C`` or a show tag, with its dots, in any case; None for what is no whole good tag.

    Good: each part is what it must be, and the check character fits (ISO/IEC 7064, MOD 37,36).
    """
    owner, *parts = text.strip().upper().split(".")
    if (
        not text.isascii()
        or len(parts) < 2
        or not re.fullmatch(OWNER_PATTERN, owner)
        or not re.fullmatch(CODE_PATTERN, parts[0])
    ):
        return None
    code, *rest, check = parts
    end = rest.pop(0) if rest and rest[0] in ENDS else ""
    mark = rest.pop(0) if rest and _MARK.fullmatch(rest[0]) else ""
    tag = Tag(owner, code, end, mark)
    return None if rest or code == DESK or tag.check != check else tag
