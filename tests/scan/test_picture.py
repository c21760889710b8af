"""Codes in pictures: what is found and where, all kinds of files, files that are no pictures or mangled ones."""

import io
import random
import subprocess
import sys
import zlib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageFilter, ImageOps

from checkapp.rig.codes import Tag
from checkapp.scan.codes import codes_in
from checkapp.scan.picture import MOST_SIDE_PX, NoPicture, PictureRefused, read_picture

sys.path.append(str(Path(__file__).parents[1] / "bench"))
from drawn_codes import board, drawn

TEXTS = [Tag("QN", f"HP0{n}", end).text for n in range(3) for end in "AB"]


@pytest.fixture
def file(tmp_path):
    """Save a picture as a file of some kind."""

    def save(picture, name="picture.png", **how):
        path = tmp_path / name
        picture.save(path, **how)
        return path

    return save


def texts(found):
    return [one.text for one in found]


# -- what is found


def test_several_codes_in_one_picture_in_reading_order():
    assert texts(codes_in(board([drawn(text) for text in TEXTS]))) == TEXTS


@pytest.mark.closed_form
@pytest.mark.parametrize("module_px", [2, 3, 6, 20])
def test_corners_are_where_the_code_was_drawn(module_px):
    code = drawn(TEXTS[0], module_px)
    whole = Image.new("L", (900, 800), 128)
    whole.paste(code, (150, 90))
    (found,) = codes_in(whole)
    near, far = 4 * module_px, 25 * module_px
    wanted = [(150 + x, 90 + y) for x, y in ((near, near), (far, near), (far, far), (near, far))]
    assert np.abs(np.array(found.corners) - wanted).max() <= module_px


def test_corners_turn_with_the_code():
    (upright,) = codes_in(board([drawn(TEXTS[0])]))
    (turned,) = codes_in(board([drawn(TEXTS[0])]).rotate(90, expand=True))
    assert upright.corners[0][0] < upright.corners[1][0]
    assert turned.corners[0][1] > turned.corners[1][1]


def test_the_same_text_twice_is_one_and_the_larger_counts():
    (found,) = codes_in(board([drawn(TEXTS[0], 3), drawn(TEXTS[0], 6)]))
    assert found.corners[1][0] - found.corners[0][0] == pytest.approx(21 * 6, abs=3)


def test_a_large_picture_is_read_whole_and_codes_across_seams_are_found():
    """Larger than what is taken at a time: small codes in all parts, some where two parts meet."""
    whole = Image.new("L", (4000, 3000), 128)
    places = [(40, 30), (1990, 800), (1800, 2000), (3850, 1960), (2040, 2890), (3880, 2890)]
    for text, place in zip(TEXTS, places, strict=True):
        whole.paste(drawn(text, 2).filter(ImageFilter.GaussianBlur(0.7)), place)
    assert set(texts(codes_in(whole))) == set(TEXTS)


def test_codes_of_two_pixels_a_module_need_doubling_and_codes_out_of_focus_sharpening():
    small = board([drawn(TEXTS[0], 2).filter(ImageFilter.GaussianBlur(0.6))], (300, 200))
    blurred = board([drawn(TEXTS[1], 4).filter(ImageFilter.GaussianBlur(1.9))], (300, 200))
    assert texts(codes_in(small)) == [TEXTS[0]]
    assert texts(codes_in(blurred)) == [TEXTS[1]]


@pytest.mark.parametrize("size", [(1, 1), (20, 400), (21, 21), (400, 5), (640, 480)])
def test_a_picture_without_a_code_has_none(size):
    noise = np.random.default_rng(1).integers(0, 256, size, np.uint8)
    assert codes_in(Image.new("L", size, 255)) == ()
    assert codes_in(Image.fromarray(noise)) == ()


PAYLOADS = {
    "2.9 kB of binary": bytes(random.Random(1).randbytes(2900)),
    "control characters": b"\x00\x07\x1b[31m\r\nQN.HP01.A.7\x7f",
    "a path": b"../../../../etc/passwd",
    "a command": b"$(reboot); `reboot` && reboot",
    "markup": b"[b]bold[/b] <script>alert(1)</script>",
    "right to left": "\u202eA.10PH.NQ\u202c שלום".encode(),
    "half a character": b"QN.\xe2\x82",
}


@pytest.mark.parametrize("name", PAYLOADS)
def test_strange_payloads_come_out_as_text_with_every_byte_in_it(name):
    held = PAYLOADS[name]
    (found,) = codes_in(drawn(held, 4))
    assert isinstance(found.text, str)
    assert held in (found.text.encode("utf-8"), found.text.encode("latin-1", "replace"))


# -- kinds of files


GREY = board([drawn(text) for text in TEXTS[:2]], (600, 260))
COLOUR = Image.merge("RGB", [GREY, GREY.point(lambda v: v * 0.9), GREY.point(lambda v: v * 0.7 + 40)])
DEEP = Image.fromarray((np.asarray(GREY).astype(np.uint16) * 16 + 300).astype(np.uint16))
FLOAT = Image.fromarray(np.asarray(GREY).astype(np.float32) / 100 - 1)
CLEAR = Image.merge("RGBA", [Image.new("L", GREY.size, 0)] * 3 + [ImageOps.invert(GREY)])
KINDS = {
    "colour.jpg": (COLOUR, {"quality": 80}),
    "progressive.jpg": (COLOUR, {"progressive": True}),
    "grey.jpg": (GREY, {}),
    "cmyk.jpg": (COLOUR.convert("CMYK"), {}),
    "cmyk.tif": (COLOUR.convert("CMYK"), {}),
    "colour.png": (COLOUR, {}),
    "bit.png": (GREY.point(lambda v: 255 * (v > 60)).convert("1"), {}),
    "palette.png": (COLOUR.quantize(16), {}),
    "grey-16.png": (DEEP, {}),
    "grey-16.tif": (DEEP, {"compression": "tiff_lzw"}),
    "float.tif": (FLOAT, {}),
    "clear.png": (CLEAR, {}),
    "clear-grey.png": (CLEAR.convert("LA"), {}),
    "clear-palette.gif": (CLEAR, {}),
    "lab.tif": (GREY, {"mode": "LAB"}),
    "colour.webp": (COLOUR, {"quality": 80}),
    "colour.gif": (COLOUR, {}),
    "colour.bmp": (COLOUR, {}),
    "grey.pgm": (GREY, {}),
    "colour.avif": (COLOUR, {}),
}


@pytest.mark.parametrize("name", KINDS)
def test_kinds_of_files(file, name):
    picture, how = KINDS[name]
    if how.get("mode") == "LAB":
        flat = Image.new("L", GREY.size, 128)
        picture, how = Image.merge("LAB", [GREY, flat, flat]), {}
    assert texts(read_picture(file(picture, name, **how))) == TEXTS[:2]


@pytest.mark.parametrize("name", ["moving.gif", "moving.webp", "moving.png", "pages.tif"])
def test_each_picture_of_an_animated_one_is_read(file, name):
    frames = [board([drawn(text)], (300, 260)) for text in TEXTS]
    path = file(frames[0], name, save_all=True, append_images=frames[1:], duration=100, loop=0)
    assert texts(read_picture(path)) == TEXTS


def test_of_a_picture_with_a_preview_the_picture_counts(file):
    preview = board([drawn(TEXTS[5])], (300, 260))
    path = file(GREY, "camera.mpo", save_all=True, append_images=[preview])
    assert texts(read_picture(path)) == TEXTS[:2]


@pytest.mark.parametrize("orientation", range(1, 9))
def test_corners_are_those_of_the_upright_picture(file, orientation):
    """The tag of a camera that was held otherwise (EXIF, tag 0x0112): stored turned or mirrored, seen upright."""
    undo = {2: 0, 3: 3, 4: 1, 5: 5, 6: 2, 7: 6, 8: 4}
    stored = GREY if orientation == 1 else GREY.transpose(Image.Transpose(undo[orientation]))
    exif = Image.Exif()
    exif[0x0112] = orientation
    found = read_picture(file(stored, "held.jpg", exif=exif, quality=95))
    wanted = codes_in(GREY)
    assert texts(found) == texts(wanted)
    assert np.abs(np.array([one.corners for one in found]) - [one.corners for one in wanted]).max() <= 4


# -- what is refused


def refused(path):
    with pytest.raises(PictureRefused) as error:
        read_picture(path)
    (line,) = error.value.lines
    assert str(path) in line
    assert len(line) < 400
    return line


def test_a_file_that_is_no_picture(tmp_path):
    for name, content in (("plan.toml", b"format = 1\n"), ("empty", b""), ("page.ps", b"%!PS-Adobe-3.0 EPSF-3.0\n")):
        path = tmp_path / name
        path.write_bytes(content)
        assert "no picture" in refused(path)
        with pytest.raises(NoPicture):
            read_picture(path)


def test_a_file_that_is_not_there_or_is_a_folder(tmp_path):
    assert "no such file" in refused(tmp_path / "missing.png")
    assert "cannot be read" in refused(tmp_path)


def test_a_telephones_own_kind_is_named_with_what_to_do(tmp_path):
    path = tmp_path / "tag.heic"
    path.write_bytes(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + bytes(200))
    assert "save it as JPEG" in refused(path)


@pytest.mark.parametrize("name", ["half.jpg", "half.png", "half.gif", "half.webp", "half.tif", "half.bmp"])
def test_half_a_file(file, name):
    path = file(board([drawn(text) for text in TEXTS]), name)
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    assert "damaged" in refused(path)


def bomb(width, height):
    """A PNG that claims to be of that size and holds almost nothing."""

    def chunk(kind, content):
        return len(content).to_bytes(4) + kind + content + zlib.crc32(kind + content).to_bytes(4)

    head = width.to_bytes(4) + height.to_bytes(4) + b"\x08\x00\x00\x00\x00"
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(bytes(1000))) + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize("size", [(9500, 9500), (20000, 20000), (2**31 - 1, 2**31 - 1), (MOST_SIDE_PX + 1, 30)])
def test_a_picture_that_would_fill_the_memory_is_refused_by_its_size(tmp_path, size):
    path = tmp_path / "bomb.png"
    path.write_bytes(bomb(*size))
    assert "too large; at most 50 million pixels, 89 million as JPEG" in refused(path)


def test_an_animation_that_would_never_end_is_refused_by_its_size(tmp_path):
    """A GIF of 90 large pictures, each of which holds next to nothing."""
    size = (4000).to_bytes(2, "little") + (3000).to_bytes(2, "little")
    frame = b"\x2c" + bytes(4) + size + b"\x00\x02\x01\x44\x00"
    path = tmp_path / "long.gif"
    path.write_bytes(b"GIF89a" + size + b"\x80\x00\x00" + bytes(6) + 90 * frame + b"\x3b")
    assert "90 pictures of 4000 x 3000 pixels are more than is read at once" in refused(path)


def test_memory_stays_bounded_on_the_largest_pictures(tmp_path):
    """A JPEG and a PNG of just the most pixels, a lively part in them, each read in a process of its own."""
    program = (
        "import re, sys\n"
        "from pathlib import Path\n"
        "from checkapp.scan.picture import read_picture\n"
        "found = read_picture(Path(sys.argv[1]))\n"
        "print(len(found), int(re.search(r'VmHWM:\\s+(\\d+)', Path('/proc/self/status').read_text())[1]) // 1024)\n"
    )
    for name, mode, size in (("a.jpg", "L", (9400, 9400)), ("b.png", "RGBA", (7000, 7000))):
        large = Image.new(mode, size, 200)
        large.paste(Image.effect_noise((2500, 2500), 90).convert(mode), (1000, 1000))
        large.paste(GREY.convert(mode), (5000, 5000))
        large.save(tmp_path / name, **({"compress_level": 1} if mode == "RGBA" else {}))
        words = [sys.executable, "-c", program, str(tmp_path / name)]
        done = subprocess.run(words, capture_output=True, text=True, check=True)
        codes, peak_mb = map(int, done.stdout.split())
        assert codes == 2
        assert peak_mb < 600, name


def _whole(kind):
    held = io.BytesIO()
    small = drawn(TEXTS[0], 2).convert("RGB")
    more = {"save_all": True, "append_images": [small.transpose(1)]} if kind in ("GIF", "WEBP", "TIFF", "PNG") else {}
    exif = (
        {"exif": b"Exif\0\0MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0"} if kind == "JPEG" else {}
    )
    small.save(held, kind, **more, **exif)
    return held.getvalue()


WHOLE = {kind: _whole(kind) for kind in ("JPEG", "PNG", "GIF", "WEBP", "TIFF", "BMP", "PPM", "AVIF")}
changes = st.lists(
    st.tuples(st.floats(0, 1), st.sampled_from(["flip", "cut", "grow", "drop"]), st.integers(0, 255)), min_size=1
)


@settings(max_examples=400, deadline=None)
@given(st.sampled_from(sorted(WHOLE)), changes)
def test_mangled_files_are_read_or_refused_in_one_plain_line(tmp_path_factory, kind, changed):
    path = tmp_path_factory.getbasetemp() / f"mangled.{kind.lower()}"
    path.write_bytes(_mangled(WHOLE[kind], changed))
    try:
        found = read_picture(path)
    except PictureRefused as error:
        assert len(error.lines) == 1
        assert error.lines[0].isprintable()
    else:
        assert set(texts(found)) <= {TEXTS[0]}


def _mangled(content, changed):
    """The file with bytes near its beginning changed more often than others: there stand sizes and kinds."""
    content = bytearray(content)
    for share, how, value in changed:
        at = int(share**3 * len(content))
        if how == "cut":
            del content[at + 8 :]
        elif how == "grow":
            content[at:at] = bytes([value]) * 7
        elif how == "drop":
            del content[at : at + 1 + value % 16]
        elif at < len(content):
            content[at] = value
    return bytes(content)


def test_nothing_is_said_on_standard_error_by_the_libraries(file, tmp_path, capfd):
    path = file(GREY, "half.tif", compression="tiff_lzw")
    path.write_bytes(path.read_bytes()[:-400])
    for kind, content in WHOLE.items():
        bad = tmp_path / f"bad.{kind.lower()}"
        bad.write_bytes(content[:60] + bytes(20) + content[80:])
    for one in sorted(tmp_path.iterdir()):
        try:
            read_picture(Path(one))
        except PictureRefused:
            continue
    assert capfd.readouterr().err == ""
