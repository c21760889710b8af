"""Every key of every keyboard against the one installed here: libxkbcommon and the symbol files of xkeyboard-config.

Run by hand on Linux, where both are part of any desktop (Debian: libxkbcommon0, xkb-data):

    python tests/bench/check_keyboards.py            # prints each keyboard and whether it agrees
    python tests/bench/check_keyboards.py --keysyms  # the keys that differ from a US keyboard, by their names

With and without Caps Lock, what each key of a scanner writes must lead back to the US key.
"""

import ctypes
import sys

from checkapp.scan.keyboards import KEYBOARDS, US_KEYS

FILES = {
    "French": "fr", "Belgian": "be", "German": "de", "Swiss German": "ch", "Swiss French": "ch(fr)", "Italian": "it",
    "Spanish": "es", "Portuguese": "pt", "British": "gb", "Dutch": "nl", "Swedish": "se", "Norwegian": "no",
    "Danish": "dk", "Czech": "cz", "Hungarian": "hu",
}  # fmt: skip
NAMES = [
    f"{row}{key:02d}" for row, count in (("AE", 11), ("AD", 10), ("AC", 10), ("AB", 10)) for key in range(1, count + 1)
]
CODES = [*range(10, 21), *range(24, 34), *range(38, 48), *range(52, 62)]  # of evdev, as xkb counts them

xkb = ctypes.CDLL("libxkbcommon.so.0")


class RuleNames(ctypes.Structure):
    _fields_ = [(name, ctypes.c_char_p) for name in ("rules", "model", "layout", "variant", "options")]


POINTER, NUMBER = ctypes.c_void_p, ctypes.c_uint32
for name, result, *arguments in (
    ("xkb_context_new", POINTER, ctypes.c_int),
    ("xkb_keymap_new_from_names", POINTER, POINTER, ctypes.POINTER(RuleNames), ctypes.c_int),
    ("xkb_keymap_mod_get_index", NUMBER, POINTER, ctypes.c_char_p),
    ("xkb_state_new", POINTER, POINTER),
    ("xkb_state_update_mask", ctypes.c_int, POINTER, *[NUMBER] * 6),
    ("xkb_state_key_get_utf8", ctypes.c_int, POINTER, NUMBER, ctypes.c_char_p, ctypes.c_size_t),
    ("xkb_state_key_get_one_sym", NUMBER, POINTER, NUMBER),
    ("xkb_keysym_get_name", ctypes.c_int, NUMBER, ctypes.c_char_p, ctypes.c_size_t),
):
    function = getattr(xkb, name)
    function.restype, function.argtypes = result, arguments


def states(file):
    """The state of a keyboard without and with shift, without and with Caps Lock."""
    layout, _, variant = file.rstrip(")").partition("(")
    names = RuleNames(None, b"pc105", layout.encode(), variant.encode(), None)
    keymap = xkb.xkb_keymap_new_from_names(xkb.xkb_context_new(0), ctypes.byref(names), 0)
    shift, lock = (1 << xkb.xkb_keymap_mod_get_index(keymap, name) for name in (b"Shift", b"Lock"))
    found = []
    for held, locked in ((0, 0), (shift, 0), (0, lock), (shift, lock)):
        state = xkb.xkb_state_new(keymap)
        xkb.xkb_state_update_mask(state, held, 0, locked, 0, 0, 0)
        found.append(state)
    return found


def written(state):
    words = ctypes.create_string_buffer(16)
    return "".join(xkb.xkb_state_key_get_utf8(state, code, words, 16) and words.value.decode() for code in CODES)


def sent(alone, shifted):
    """What a scanner's keys write: letters and the colon are sent with shift, figures and the other signs without."""
    return "".join(
        with_shift if meant.isalpha() or meant == ":" else without
        for without, with_shift, meant in zip(written(alone), written(shifted), US_KEYS, strict=True)
    )


def keysyms(state):
    words = ctypes.create_string_buffer(40)
    found = []
    for code in CODES:
        xkb.xkb_keysym_get_name(xkb.xkb_state_key_get_one_sym(state, code), words, 40)
        found.append(words.value.decode())
    return found


def main():
    bad = 0
    us = [keysyms(state) for state in states("us")[:2]]
    for keyboard in KEYBOARDS:
        alone, shifted, *locked = states(FILES[keyboard.name])
        rows = [written(state) for state in (alone, shifted)]
        back = keyboard.back()
        agrees = rows == [keyboard.alone, keyboard.shifted]
        leads_back = all(sent(*pair).translate(back) == US_KEYS for pair in ((alone, shifted), locked))
        print(f"{keyboard.name:<14}{'agrees' if agrees and leads_back else 'DIFFERS'}")
        bad += not (agrees and leads_back)
        if "--keysyms" in sys.argv:
            keys = zip(NAMES, keysyms(alone), keysyms(shifted), *us, strict=True)
            print("   ", ", ".join(f"{key} {one} {two}" for key, one, two, *plain in keys if [one, two] != plain))
    return bad


if __name__ == "__main__":
    sys.exit(main())
