"""Drawn and photographed: every tag of the demo rig on every shipped stock, printed, seen through a camera, and read.

How a photograph is made and how bad it is stands in `photographs`; the seeds are fixed. The full sweep is in the
benchmarks, here each tag is photographed once on each stock, at sizes from the smallest that must be read.
"""

import sys
import zlib
from dataclasses import replace
from itertools import islice
from pathlib import Path

import numpy as np
import pytest

from checkapp.rig.planfile import load_plan
from checkapp.scan.codes import codes_in
from checkapp.tags.label import labels_of
from checkapp.tags.layout import layouts
from checkapp.tags.stock import read_stock

sys.path.append(str(Path(__file__).parents[1] / "bench"))
from photographs import PAPER, Print, Shot, any_shot, held, photograph, prints

ROOT = Path(__file__).parents[2]
RIG = load_plan(ROOT / "plans" / "demo.toml")
STOCKS = {path.stem: read_stock(path) for path in sorted((ROOT / "labels").glob("*.toml"))}
LEAST_PX, MOST_PX = 3.0, 4.5
LEAST_SHOTS = 120
RATE = 0.99


def labels_on(stock, **how):
    return [label for label in labels_of(RIG, **how) if stock.takes(label.kind)]


def one_code_a_tag(printed):
    """Of the codes of one tag, a flag's two faces or those round a cable, one: another one for each tag."""
    by_text = {}
    for one in printed:
        by_text.setdefault(one.text, []).append(one)
    return [codes[number % len(codes)] for number, codes in enumerate(by_text.values())]


def read_rate(printed, stock, random, shots=1):
    """The part of the photographs in which the tag was read; nothing else may be read in any."""
    read = []
    for one in printed:
        for _ in range(shots):
            shot = any_shot(random, random.uniform(LEAST_PX, MOST_PX), *held(stock))
            texts = {code.text for code in codes_in(photograph(one, shot, random))}
            assert texts <= {one.text}, f"read wrongly: {texts} for {one.text}, {shot}"
            read.append(bool(texts))
    return sum(read) / len(read)


@pytest.mark.parametrize("name", STOCKS)
def test_every_tag_on_every_stock(name):
    stock = STOCKS[name]
    printed = one_code_a_tag(prints(labels_on(stock), stock, "pdf"))
    assert printed, "no tag with a QR"
    random = np.random.default_rng([1, zlib.crc32(name.encode())])
    assert read_rate(printed, stock, random, shots=-(-LEAST_SHOTS // len(printed))) >= RATE


@pytest.mark.parametrize("name", STOCKS)
def test_every_tag_has_a_qr_except_on_wraps_of_thin_cables(name):
    stock = STOCKS[name]
    labels = labels_on(stock)
    without = [label for label, drawn in zip(labels, layouts(labels, stock), strict=True) if not drawn.codes]
    assert not without or stock.kind == "wrap"
    assert all(label.jacket_mm is None or label.jacket_mm < 12 for label in without)


@pytest.mark.parametrize("name", STOCKS)
def test_pictures_for_label_printers_show_tags_and_links_some_of_each(name):
    stock = STOCKS[name]
    random = np.random.default_rng([2, zlib.crc32(name.encode())])
    for how in ({}, {"for_show": True}):
        some = list(islice(labels_on(stock, **how), 0, None, 16))
        printed = one_code_a_tag(prints(some, stock, "png"))
        if stock.kind != "wrap":
            assert len(printed) == len(some)
        if printed:
            assert read_rate(printed, stock, random) >= RATE


def test_links_on_the_stock_that_is_taken_when_none_is_named():
    stock = STOCKS["sheet-a4"]
    some = labels_on(stock, link="HTTPS://TAGS.EXAMPLE/")[::3]
    printed = list(prints(some, stock, "pdf"))
    assert all(one.text.startswith("HTTPS://TAGS.EXAMPLE/") for one in printed)
    assert read_rate(printed, stock, np.random.default_rng(3)) >= RATE


# -- the photographs themselves


@pytest.fixture(scope="module")
def printed():
    stock = STOCKS["sheet-a4"]
    return next(iter(prints(labels_on(stock)[:1], stock, "png")))


def corners(printed, shot):
    (code,) = codes_in(photograph(printed, shot, np.random.default_rng(4)))
    return np.array(code.corners)


@pytest.mark.closed_form
def test_a_module_is_as_many_pixels_as_it_says(printed):
    for module_px in (3.0, 5.0, 8.0):
        upright = corners(printed, Shot(module_px))
        assert np.ptp(upright, axis=0) == pytest.approx(21 * module_px, abs=2.5)
        turned = corners(printed, Shot(module_px, turn_deg=90))
        assert np.ptp(turned, axis=0) == pytest.approx(21 * module_px, abs=2.5)


@pytest.mark.closed_form
def test_tilt_shortens_by_its_cosine_and_brings_one_side_nearer(printed):
    """At 8 widths away perspective adds little to the cosine: the edges differ by the sine of the tilt over 8."""
    leant = corners(printed, Shot(10.0, lean_deg=40))
    (left, right) = (np.linalg.norm(leant[3] - leant[0]), np.linalg.norm(leant[2] - leant[1]))
    middle = np.linalg.norm((leant[1] + leant[2]) / 2 - (leant[0] + leant[3]) / 2)
    assert middle == pytest.approx(210 * np.cos(np.deg2rad(40)), rel=0.03)
    share = 21 / 29  # of the side with its white
    assert abs(left - right) / 210 == pytest.approx(share * np.sin(np.deg2rad(40)) / 8, abs=0.02)


@pytest.mark.closed_form
def test_round_a_cable_the_code_is_a_chord(printed):
    """An arc of side s on a jacket of diameter d is seen d sin(s / d) high, its edges a little farther away."""
    jacket_mm = 2 * printed.side_mm
    bent = corners(replace(printed, jacket_mm=jacket_mm), Shot(10.0))
    side_mm = 21 * printed.module_mm
    chord_mm = jacket_mm * np.sin(side_mm / jacket_mm)
    farther = 1 + jacket_mm / 2 * (1 - np.cos(side_mm / jacket_mm)) / (8 * printed.side_mm)
    assert np.ptp(bent[:, 1]) == pytest.approx(210 * chord_mm / side_mm / farther, rel=0.03)
    assert np.ptp(bent[:, 0]) == pytest.approx(210, rel=0.03)


def test_light_blur_and_noise_are_what_the_shot_says(printed):
    white = replace(printed, pixels=np.full((4000, 4000), 255, np.uint8), right_mm=60.0, down_mm=60.0)
    random = np.random.default_rng(5)
    plain = np.asarray(photograph(white, Shot(4.0, jpeg=95), random), float)
    assert plain.mean() == pytest.approx(PAPER, abs=1)
    noisy = np.asarray(photograph(white, Shot(4.0, noise=8, jpeg=95), random), float)
    assert noisy.std() == pytest.approx(8, rel=0.15)
    shaded = np.asarray(photograph(white, Shot(4.0, shade=0.6, shade_deg=0), random), float)
    assert shaded[:, :3].mean() == pytest.approx(PAPER, abs=4)
    assert shaded[:, -3:].mean() == pytest.approx(0.4 * PAPER, abs=4)


def test_photographs_that_are_too_bad_are_not_read(printed):
    """The photographs do what they say: far away, or out of focus by a whole module, hardly any is read."""
    for far, blur in ((1.0, 0.3), (4.0, 1.0)):
        random = np.random.default_rng(6)
        shots = [replace(any_shot(random, far), blur_px=blur * far) for _ in range(30)]
        read = sum(bool(codes_in(photograph(printed, shot, random))) for shot in shots)
        assert read <= 6


def test_a_print_is_the_label_as_it_was_laid_out():
    """The code's middle and side by the layout are where the picture has its dark corners."""
    stock = STOCKS["roll-50x25"]
    for source in ("pdf", "png"):
        one: Print = next(iter(prints(labels_on(stock)[:1], stock, source)))
        half = (one.side_mm / 2 - 4 * one.module_mm) * one.px_a_mm
        x, y = one.right_mm * one.px_a_mm, one.down_mm * one.px_a_mm
        inside = one.pixels[
            round(y - half) + 1, round(x - half) + 1 : round(x - half + 6 * one.module_mm * one.px_a_mm)
        ]
        assert inside.max() < 80
        above = one.pixels[round(y - half) - 3, round(x - half) : round(x + half)]
        assert above.min() > 200
