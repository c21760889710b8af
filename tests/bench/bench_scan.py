"""Scan of a 12-megapixel JPEG with 6 tags, run by hand: ``python tests/bench/bench_scan.py``. Goal: under 0.5 s.

Two pictures: tags of 5 to 9 pixels a module lying about on a stage floor, and small ones, 3 pixels a module and a
little out of focus, among thousands of rectangles. Measured are the call in this process and the whole command; the
bare interpreter in the same run, so that a slow machine shows as one. And a camera's frame, and the memory.
"""

import re
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from drawn_codes import drawn
from PIL import Image, ImageFilter

from checkapp.rig.planfile import load_plan
from checkapp.scan.codes import codes_in
from checkapp.scan.picture import grey_pictures, read_picture

ROOT = Path(__file__).parents[2]
PLAN = ROOT / "plans" / "demo.toml"
SIZE = (4000, 3000)
RUNS = 7
TAGS = 6


def floor(random: np.random.Generator) -> Image.Image:
    """Boards of uneven grey."""
    cloud = Image.fromarray(random.normal(110, 25, (SIZE[1] // 16, SIZE[0] // 16)).clip(0, 255).astype(np.uint8))
    return cloud.resize(SIZE, Image.Resampling.BICUBIC)


def clutter(random: np.random.Generator) -> Image.Image:
    """Rectangles of all sizes and greys, one over the other."""
    pixels = np.full((SIZE[1], SIZE[0]), 128, np.uint8)
    for _ in range(6000):
        side = int(10 ** random.uniform(0.7, 2.6))
        x, y = random.integers(0, SIZE[0]), random.integers(0, SIZE[1])
        pixels[y : y + side // 2, x : x + side] = random.integers(0, 255)
    return Image.fromarray(pixels)


def photograph(ground: Image.Image, sizes_px: list[int], blur: float, random: np.random.Generator, out: Path) -> Path:
    """Tags turned any way on the ground, then blur, noise and JPEG."""
    texts = [tag.text for tag in load_plan(PLAN).tags[:TAGS]]
    for number, (text, module_px) in enumerate(zip(texts, sizes_px, strict=True)):
        code = (
            drawn(text, module_px).convert("LA").rotate(random.uniform(0, 360), Image.Resampling.BICUBIC, expand=True)
        )
        ground.paste(
            code.getchannel("L"), (400 + 1200 * (number % 3), 500 + 1300 * (number // 3)), code.getchannel("A")
        )
    seen = np.asarray(ground.filter(ImageFilter.GaussianBlur(blur)), np.float32)
    noisy = seen + random.normal(0, 5, seen.shape)
    Image.fromarray(noisy.clip(0, 255).astype(np.uint8)).convert("RGB").save(out, quality=88)
    return out


def median_s(call) -> float:
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def command_s(*words: str) -> float:
    return median_s(lambda: subprocess.run(words, check=True, stdout=subprocess.DEVNULL, cwd=ROOT))


def peak_mb(path: Path) -> int:
    program = (
        "import sys\nfrom pathlib import Path\nfrom checkapp.scan.picture import read_picture\n"
        "read_picture(Path(sys.argv[1]))\nprint(Path('/proc/self/status').read_text())\n"
    )
    done = subprocess.run([sys.executable, "-c", program, str(path)], check=True, capture_output=True, text=True)
    return int(re.search(r"VmHWM:\s+(\d+)", done.stdout)[1]) // 1024


def main() -> None:
    random = np.random.default_rng(12)
    python = sys.executable
    with tempfile.TemporaryDirectory() as folder:
        pictures = {
            "6 tags on a floor": photograph(floor(random), [5, 6, 7, 8, 9, 6], 1.2, random, Path(folder, "a.jpg")),
            "6 small ones in clutter": photograph(clutter(random), [3] * 6, 0.8, random, Path(folder, "b.jpg")),
        }
        bare = command_s(python, "-c", "pass")
        print(
            f"medians of {RUNS} runs; 12-megapixel JPEGs, goal under 0.5 s to read one; bare interpreter {bare:.3f} s"
        )
        for name, path in pictures.items():
            read = len(read_picture(path))
            called = median_s(lambda path=path: read_picture(path))
            decoded = median_s(lambda path=path: next(grey_pictures(path)))
            whole = command_s(python, "-m", "checkapp", "scan", str(path), "--plan", str(PLAN))
            print(f"{name:24} {read} read in {called:.3f} s (of that the JPEG {decoded:.3f} s)", end="")
            print(f"   command with plan {whole:.3f} s   peak {peak_mb(path)} MB")
        frame = next(grey_pictures(pictures["6 tags on a floor"])).crop((0, 0, 1280, 720))
        quick, thorough = median_s(lambda: codes_in(frame, thorough=False)), median_s(lambda: codes_in(frame))
        print(f"a camera's frame of 1280 x 720: {1000 * quick:.0f} ms, each third thoroughly {1000 * thorough:.0f} ms")


if __name__ == "__main__":
    main()
