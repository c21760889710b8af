"""Codes round a cable, drawn flat: against the ray-traced photograph, and what it is worth in codes read."""

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from checkapp.scan.bent import flattened
from checkapp.scan.codes import codes_in
from checkapp.tags.qr import symbol

sys.path.append(str(Path(__file__).parents[1] / "bench"))
from drawn_codes import drawn
from photographs import Print, Shot, photograph

TEXT = "QN.LM01.A.7"
MODULE_MM = 0.45
SIDE_MM = 29 * MODULE_MM
JACKET_MM = 21 * MODULE_MM / 0.57


@pytest.fixture(scope="module")
def wrap():
    """A code alone, bent as a wrap's is at most: 0.57 of the jacket's diameter high."""
    px_a_mm = 9 / MODULE_MM
    pixels = np.full((round(np.pi * JACKET_MM * px_a_mm), 700), 255, np.uint8)
    code = np.asarray(drawn(TEXT, 9))
    pixels[300 : 300 + len(code), 100 : 100 + len(code)] = code
    middle = len(code) / 2
    right_mm, down_mm = (100 + middle) / px_a_mm, (300 + middle) / px_a_mm
    return Print(TEXT, pixels, px_a_mm, right_mm, down_mm, SIDE_MM, MODULE_MM, JACKET_MM)


def seen_corners(shot):
    """Where the code's corners are in a photograph, by the geometry of a far camera."""
    roll, lean = np.deg2rad((shot.roll_deg, shot.lean_deg))
    half_mm, radius = 21 * MODULE_MM / 2, JACKET_MM / 2
    size_px = int(1.6 * 29 * shot.module_px) + 2
    found = []
    for right, down in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
        angle = down * half_mm / radius
        x, y, z = right * half_mm, radius * np.sin(angle), radius * (1 - np.cos(angle))
        y, z = y * np.cos(roll) - z * np.sin(roll), y * np.sin(roll) + z * np.cos(roll)
        x, z = x * np.cos(lean) + z * np.sin(lean), -x * np.sin(lean) + z * np.cos(lean)
        nearer = 1 + z / (8 * SIDE_MM)
        scale = shot.module_px / MODULE_MM / nearer
        found.append((size_px / 2 + x * scale, size_px / 2 + y * scale))
    return tuple(found)


def likeness(one, other):
    """Correlation of two pictures, 1 for the same."""
    first, second = (np.asarray(picture, float).ravel() for picture in (one, other))
    return float(np.corrcoef(first, second)[0, 1])


@pytest.mark.independent
@pytest.mark.parametrize(("roll", "lean"), [(0, 0), (0, 21), (0, -21), (12, 11), (-12, -11), (22, 21)])
def test_one_of_the_ways_is_the_code_drawn_flat(wrap, roll, lean):
    """The ray tracer bends the code, one of the ways draws it much as it was printed; the straight way does not.

    Not just as it was: the ways are steps of 12 degrees, and the camera is near enough for perspective.
    """
    shot = Shot(8.0, roll_deg=roll, lean_deg=lean)
    picture = photograph(wrap, shot, np.random.default_rng(1))
    printed = np.pad(np.where(np.array(symbol(TEXT).rows), 25, 225).astype(np.uint8), 4, constant_values=225)
    flat = Image.fromarray(printed.repeat(8, 0).repeat(8, 1)).resize((166, 166), Image.Resampling.BOX)
    middle = (23, 23, 143, 143)
    likes = [
        likeness(way.resize((166, 166)).crop(middle), flat.crop(middle))
        for way in flattened(picture, seen_corners(shot))
    ]
    assert max(likes) > 0.55
    if lean:
        straight = picture.transform((168, 168), Image.Transform.QUAD, _quad(seen_corners(shot)))
        assert max(likes) > 0.3 + likeness(straight.resize((166, 166)).crop(middle), flat.crop(middle))


def _quad(corners):
    """The corners of the code with its white, as if it were flat."""
    a, b, c, d = (np.array(corner) for corner in corners)
    across, down = (b - a + c - d) / 2 * 0.2, (d - a + c - b) / 2 * 0.2
    outer = (a - across - down, d - across + down, c + across + down, b + across - down)
    return tuple(float(value) for corner in outer for value in corner)


def read(printed, random, shots, roll, lean, **how):
    texts = []
    for _ in range(shots):
        held = {"roll_deg": random.uniform(-roll, roll), "lean_deg": random.uniform(-lean, lean)}
        shot = Shot(4.0, turn_deg=random.uniform(0, 360), blur_px=0.8, noise=4, shade=0.3, **held)
        texts += [code.text for code in codes_in(photograph(printed, shot, random), **how)]
    assert set(texts) <= {TEXT}
    return len(texts) / shots


def test_what_flattening_is_worth(wrap):
    """Rolled by up to 20 degrees and leant by up to 30: nearly all are read, without it some half are."""
    assert read(wrap, np.random.default_rng(2), 60, 20, 30) >= 0.95
    assert read(wrap, np.random.default_rng(2), 60, 20, 30, thorough=False) < 0.75


def test_a_flat_code_is_not_bent(wrap):
    assert read(replace(wrap, jacket_mm=0.0), np.random.default_rng(3), 20, 30, 30) == 1


def test_what_only_looks_like_a_code_takes_little_time_and_gives_nothing():
    """Twelve codes with their middles scribbled over: found, not read, and not read wrongly either."""
    random = np.random.default_rng(4)
    pixels = np.full((700, 900), 200, np.uint8)
    for number in range(12):
        code = np.asarray(drawn(TEXT, 5)).copy()
        code[62:100, 62:100] = 255 * random.integers(0, 2, (38, 38), np.uint8)
        top, left = 20 + 210 * (number // 4), 20 + 210 * (number % 4)
        pixels[top : top + 145, left : left + 145] = code
    assert {code.text for code in codes_in(Image.fromarray(pixels))} <= {TEXT}
