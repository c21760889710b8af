"""The three colour sets as data: name of the colour to its sRGB value in hex."""

from typing import Final

COLOURS: Final[dict[str, dict[str, str]]] = {
    "dark": {
        "ground": "0F1214",
        "panel": "1A1F22",
        "tape": "F2EEE3",
        "ink": "15130E",
        "text": "ECE8DF",
        "quiet": "A9B2B5",
        "ok": "4CC98A",
        "faulty": "FF8B80",
        "look": "F0BC3E",
        "next": "74B5FF",
    },
    "light": {
        "ground": "F5F2EA",
        "panel": "FFFFFF",
        "tape": "15181A",
        "ink": "F5F2EA",
        "text": "15181A",
        "quiet": "454D51",
        "ok": "07552E",
        "faulty": "8F1209",
        "look": "5E4100",
        "next": "0A4187",
    },
    "dim": {
        "ground": "000000",
        "panel": "0B0B0B",
        "tape": "C9B79A",
        "ink": "000000",
        "text": "C9B79A",
        "quiet": "A89A83",
        "ok": "76AA86",
        "faulty": "FBB29F",
        "look": "CDB06A",
        "next": "9FB4CC",
    },
}
SETS: Final = tuple(COLOURS)
STATUS_COLOURS: Final = {
    "ok": "ok",
    "faulty": "faulty",
    "open": "quiet",
    "look": "look",
    "next": "next",
    "note": "quiet",
}


def luminance(colour: str) -> float:
    """Relative luminance, 0 to 1, of an sRGB colour in hex (WCAG 2.2, definition of relative luminance)."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2, definition of contrast ratio)."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)
