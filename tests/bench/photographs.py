"""Photographs that were never taken: a printed label seen through a plain camera, flat or bent round a cable.

Every ray of the picture is followed from the camera to the label, so that perspective, turn, tilt and bend are those of
a real camera without lens faults; what a ray meets is looked up in the printed label as the PDF or the label printer's
picture has it. Then comes what light, lens and sensor do: uneven light, blur, noise, JPEG.
"""

import io
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pypdfium2
from PIL import Image, ImageFilter

from checkapp.tags.label import Label
from checkapp.tags.layout import layouts
from checkapp.tags.parts import Layout
from checkapp.tags.picture import picture
from checkapp.tags.sheet import write_pdf
from checkapp.tags.stock import Stock, jacket_of

RAYS_A_SIDE = 3
"""A pixel is the mean of 3 x 3 rays."""
RENDERED_PX = 9.0
"""Pixels of a module where a PDF is rendered: as many as there are rays in 3 pixels."""
CAMERA_AWAY = 8.0
"""From the camera to the code, in widths of the code with its quiet zone."""
INK, PAPER, FLOOR = 25.0, 225.0, 90.0
"""Grey of black print, of white paper and of what lies behind it, in full light, of 255."""


@dataclass(frozen=True)
class Shot:
    """How a label is held and photographed.

    ``module_px``: pixels a module has where the label faces the camera; tilting it leaves fewer in one direction.
    ``roll_deg`` and ``lean_deg``: tilt about the label's own level axis and about its upright one; round a cable the
    first rolls the cable, the second leans it towards the camera. ``turn_deg``: then in the picture's plane.
    ``off_px``: how far the code is off the pixel raster, right and down. ``blur_px``: sigma of the Gaussian blur.
    ``shade``: the part of the light that is lost from the brightest side of the picture to the darkest, which lies
    towards ``shade_deg``. ``noise``: standard deviation of the sensor's noise, of 255 levels. ``jpeg``: quality.
    """

    module_px: float
    roll_deg: float = 0.0
    lean_deg: float = 0.0
    turn_deg: float = 0.0
    off_px: tuple[float, float] = (0.0, 0.0)
    blur_px: float = 0.0
    shade: float = 0.0
    shade_deg: float = 0.0
    noise: float = 0.0
    jpeg: int = 95


@dataclass(frozen=True)
class Print:
    """A printed label as grey values (255 is paper), ``px_a_mm`` of them a millimetre, and the code to be read.

    The code's middle is at ``right_mm, down_mm`` from the picture's corner; ``side_mm`` is its side with quiet zone.
    ``jacket_mm``: the diameter of the cable that it is bent round, its height going round; 0 for a flat label.
    """

    text: str
    pixels: np.ndarray
    px_a_mm: float
    right_mm: float
    down_mm: float
    side_mm: float
    module_mm: float
    jacket_mm: float = 0.0


def any_shot(
    random: np.random.Generator,
    module_px: float,
    roll_deg: float = 30.0,
    lean_deg: float = 30.0,
    blur: float | None = None,
) -> Shot:
    """A shot as it comes: any turn, tilts up to those given either way.

    ``blur`` is in modules, None for anything from 0.1 to 0.3 of one.
    """
    return Shot(
        module_px=module_px,
        roll_deg=random.uniform(-roll_deg, roll_deg),
        lean_deg=random.uniform(-lean_deg, lean_deg),
        turn_deg=random.uniform(0, 360),
        off_px=(random.uniform(-0.5, 0.5), random.uniform(-0.5, 0.5)),
        blur_px=(random.uniform(0.1, 0.3) if blur is None else blur) * module_px,
        shade=random.uniform(0, 0.6),
        shade_deg=random.uniform(0, 360),
        noise=random.uniform(1, 8),
        jpeg=int(random.integers(70, 96)),
    )


def prints(labels: Sequence[Label], stock: Stock, source: str) -> Iterator[Print]:
    """The labels that carry a QR as they come from the printer; a flag's and a wrap's QR are one print each.

    ``source``: ``pdf`` for the real PDF as another library renders it, ``png`` for the label printer's picture.
    """
    drawn = layouts(labels, stock)
    pages = _pages(drawn, stock) if source == "pdf" else (_dots(one, stock) for one in drawn)
    for label, layout, (pixels, px_a_mm) in zip(labels, drawn, pages, strict=True):
        bent = stock.kind == "wrap" and layout.codes
        for code in layout.codes:
            middle_mm = code.side_mm / 2
            yield Print(
                text=label.payload,
                pixels=pixels,
                px_a_mm=px_a_mm,
                right_mm=code.left_mm + middle_mm,
                down_mm=code.top_mm + middle_mm,
                side_mm=code.side_mm + 2 * code.quiet_mm,
                module_mm=code.module_mm,
                jacket_mm=jacket_of(label.jacket_mm, stock) if bent else 0.0,
            )


def _pages(drawn: Sequence[Layout], stock: Stock) -> Iterator[tuple[np.ndarray, float]]:
    """Each label cut out of the page that it is printed on, with pixels a millimetre."""
    modules_mm = [code.module_mm for layout in drawn for code in layout.codes]
    px_a_mm = RENDERED_PX / min(modules_mm, default=1.0)
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder, "tags.pdf")
        write_pdf(drawn, stock, out, "photographed")
        pdf = pypdfium2.PdfDocument(out.read_bytes())
    for number, page in enumerate(pdf):
        whole = page.render(scale=px_a_mm * 25.4 / 72, grayscale=True).to_numpy().squeeze()
        for place in stock.places[: len(drawn) - number * len(stock.places)]:
            top, left = round(place.top_mm * px_a_mm), round(place.left_mm * px_a_mm)
            high, wide = round(stock.height_mm * px_a_mm), round(stock.width_mm * px_a_mm)
            yield whole[top : top + high, left : left + wide], px_a_mm
    pdf.close()


def _dots(layout: Layout, stock: Stock) -> tuple[np.ndarray, float]:
    """A label as the label printer gets it."""
    return np.asarray(picture(layout, stock).convert("L")), 1 / stock.dot_mm


def held(stock: Stock) -> tuple[float, float]:
    """How far a label of that stock is tilted at most, rolled and leant, in degrees.

    Flat ones are on boxes and drums, flags hang from their cable at any angle. A code round a cable is turned more or
    less to the camera: rolled by 15 degrees, its farther edge is seen at 47 already.
    """
    return {"sheet": (30.0, 30.0), "roll": (30.0, 30.0), "flag": (35.0, 35.0), "wrap": (15.0, 20.0)}[stock.kind]


def photograph(printed: Print, shot: Shot, random: np.random.Generator) -> Image.Image:
    """The picture, mode L; the code is in its middle, with what stands beside it on the label around."""
    side = int(1.6 * printed.side_mm / printed.module_mm * shot.module_px) + 2
    light = _light(printed, shot, side)
    light *= 1 - shot.shade * _slope(side, shot.shade_deg)
    picture = Image.fromarray(light.clip(0, 255).round().astype(np.uint8))
    blurred = np.asarray(picture.filter(ImageFilter.GaussianBlur(shot.blur_px)), np.float32)
    noisy = blurred + random.normal(0, shot.noise, blurred.shape)
    taken = io.BytesIO()
    Image.fromarray(noisy.clip(0, 255).round().astype(np.uint8)).save(taken, "JPEG", quality=shot.jpeg)
    return Image.open(taken)


def _light(printed: Print, shot: Shot, side: int) -> np.ndarray:
    """What comes from the label through each pixel, before lens and sensor; beyond the label lies a grey floor."""
    steps = (np.arange(side * RAYS_A_SIDE, dtype=np.float32) + 0.5) / RAYS_A_SIDE - side / 2
    mm_a_px = printed.module_mm / shot.module_px
    right = (steps[None, :] - np.float32(shot.off_px[0])) * np.float32(mm_a_px)
    down = (steps[:, None] - np.float32(shot.off_px[1])) * np.float32(mm_a_px)
    away = np.float32(CAMERA_AWAY * printed.side_mm)
    to_label = _held(shot).T.astype(np.float32)
    start = -away * to_label[:, 2]
    rays = [to_label[axis, 0] * right + to_label[axis, 1] * down + to_label[axis, 2] * away for axis in range(3)]
    meet = _bent if printed.jacket_mm else _flat
    across_mm, along_mm, seen = meet(start, rays, printed.jacket_mm / 2)
    column = ((across_mm + printed.right_mm) * printed.px_a_mm).astype(np.int32)
    row = ((along_mm + printed.down_mm) * printed.px_a_mm).astype(np.int32)
    high, wide = printed.pixels.shape
    if printed.jacket_mm:
        row = _outermost(row, high, round(np.pi * printed.jacket_mm * printed.px_a_mm))
    seen &= (column >= 0) & (column < wide) & (row >= 0) & (row < high)
    grey = printed.pixels[row.clip(0, high - 1), column.clip(0, wide - 1)]
    light = np.where(seen, INK + (PAPER - INK) / 255 * grey.astype(np.float32), np.float32(FLOOR))
    return light.reshape(side, RAYS_A_SIDE, side, RAYS_A_SIDE).mean((1, 3))


def _held(shot: Shot) -> np.ndarray:
    """Roll, lean and turn as one matrix from the label's axes (right, down, away) to the camera's."""
    roll, lean, turn = np.deg2rad((shot.roll_deg, shot.lean_deg, shot.turn_deg))
    rolled = np.array([[1, 0, 0], [0, np.cos(roll), -np.sin(roll)], [0, np.sin(roll), np.cos(roll)]])
    leant = np.array([[np.cos(lean), 0, np.sin(lean)], [0, 1, 0], [-np.sin(lean), 0, np.cos(lean)]])
    turned = np.array([[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1]])
    return turned @ leant @ rolled


Met = tuple[np.ndarray, np.ndarray, np.ndarray]


def _flat(start: np.ndarray, rays: list[np.ndarray], _radius: float) -> Met:
    """Where rays meet the plane of a flat label, in mm right and down of the code's middle; whether they do."""
    reach = -start[2] / rays[2]
    return start[0] + reach * rays[0], start[1] + reach * rays[1], reach > 0


def _bent(start: np.ndarray, rays: list[np.ndarray], radius: float) -> Met:
    """The same on a label round a cable that lies from left to right behind the code's middle."""
    radius = np.float32(radius)
    from_axis = start[2] - radius
    a = rays[1] ** 2 + rays[2] ** 2
    b = start[1] * rays[1] + from_axis * rays[2]
    c = start[1] ** 2 + from_axis**2 - radius**2
    inner = b * b - a * c
    reach = (-b - np.sqrt(np.maximum(inner, 0))) / a
    around = np.arctan2(start[1] + reach * rays[1], -(from_axis + reach * rays[2]))
    return start[0] + reach * rays[0], radius * around, inner > 0


def _outermost(row: np.ndarray, high: int, way_round: int) -> np.ndarray:
    """Rows of a label that goes round more than once: its end lies outside, over its own beginning."""
    return high - 1 - (high - 1 - row) % way_round


def _slope(side: int, towards_deg: float) -> np.ndarray:
    """From 0 at the brightest side of a picture to 1 at the darkest."""
    x, y = np.cos(np.deg2rad(towards_deg)), np.sin(np.deg2rad(towards_deg))
    steps = np.linspace(-0.5, 0.5, side, dtype=np.float32)
    sloping = x * steps[None, :] + y * steps[:, None]
    return (sloping - sloping.min()) / (sloping.max() - sloping.min())
