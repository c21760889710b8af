"""Type of the tags: every character is printed or said to be missing; right-to-left words are turned."""

import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.page import fonts
from checkapp.page.text import ELLIPSIS

FACES = [fonts.code_face(), fonts.bold_face(), fonts.plain_face()]


def seen(text, face=None):
    return "".join(piece.text for piece in fonts.pieces(text, face or fonts.plain_face()))


def test_the_faces_are_those_of_the_screens():
    assert fonts.code_face().fonts == ("RobotoMono-Regular", "DejaVuSans")
    assert fonts.bold_face().fonts == ("Roboto-Bold", "DejaVuSans")
    assert fonts.plain_face().fonts == ("Roboto-Regular", "DejaVuSans")
    assert all(0.6 < face.cap_height < 0.8 for face in FACES)


def test_kivy_is_found_but_not_imported():
    program = "import sys; from checkapp.page import fonts; fonts.code_face(); print('kivy' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


def test_without_the_files_of_the_screens_another_face_is_taken(monkeypatch):
    monkeypatch.setattr(fonts, "find_spec", lambda _package: None)
    face = fonts.bold_face.__wrapped__()
    assert face.fonts == ("VeraBd",)
    assert fonts.width("SB1", face) > 0
    assert seen("SB1 – Größe", face) == "SB1 – Größe"


@pytest.mark.parametrize(
    "text", ["Größe Çelik žluť", "Ωμέγα", "Ящик ї", "Nguyễn", "“½” – № 3 × 2…", "→ □ ✓", "Երգ", "ქართული"]
)
@pytest.mark.parametrize("face", FACES, ids=["code", "bold", "plain"])
def test_scripts_of_a_touring_crew_are_printed(text, face):
    assert seen(text, face) == text
    assert fonts.has_glyphs(text, face)


@pytest.mark.parametrize("text", ["マイク", "🎤", "무대", "ไมค์"])
def test_what_no_face_has_is_shown_as_a_box_and_said(text):
    assert fonts.NO_GLYPH in seen(f"{text} 1")
    assert not fonts.has_glyphs(f"{text} 1", fonts.plain_face())


def test_a_character_written_in_two_is_one():
    assert seen("e\u0301") == "é"


@pytest.mark.parametrize(
    ("text", "left_to_right"),
    [
        # Unicode UAX 9: the order in which the characters stand from left to right.
        ("שלום", "םולש"),
        ("vox שלום 2", "vox םולש 2"),
        ("vox שלום עולם, vox", "vox םלוע םולש, vox"),
        ("שלום vox 12", "vox 12 םולש"),
        ("שלום 3, עולם", "םלוע ,3 םולש"),
        ("12 שלום.", ".םולש 12"),
        ("שלום is line level", "םולש is line level"),
        ("bass 12 (left)", "bass 12 (left)"),
        ("ל\u05b8א", "אל\u05b8"),
    ],
)
def test_right_to_left_words_stand_as_they_are_read(text, left_to_right):
    assert seen(text) == left_to_right


@given(st.text(max_size=40))
def test_any_text_is_set_on_one_line_and_has_a_width(text):
    for face in FACES:
        found = fonts.pieces(text, face)
        assert all(piece.font in face.fonts and piece.text.isprintable() for piece in found)
        assert fonts.width(text, face) >= 0


@given(st.text(max_size=60), st.floats(1.5, 30))
def test_what_is_cut_fits_and_begins_like_the_whole(text, most):
    face = fonts.plain_face()
    short = fonts.cut(text, face, most)
    assert fonts.width(short, face) <= most
    if short != text:
        assert short.endswith(ELLIPSIS)
        assert text.startswith(short[:-1])
    else:
        assert fonts.width(text, face) <= most
