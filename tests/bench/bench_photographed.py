"""Read rate of photographed tags against pixels a module, run by hand: ``python tests/bench/bench_photographed.py``.

Every tag of the demo rig on every shipped stock is printed and photographed at each size, with turns, tilts, blur,
noise and uneven light as `photographs` has them. Goal: 99 % from 3 pixels a module on, and none read wrongly.
"""

import sys
import time
import zlib
from pathlib import Path

import numpy as np
import zxingcpp
from photographs import any_shot, held, photograph, prints

from checkapp.rig.planfile import load_plan
from checkapp.scan.codes import codes_in
from checkapp.tags.label import labels_of
from checkapp.tags.stock import read_stock

ROOT = Path(__file__).parents[2]
SIZES_PX = (1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0)
BLURS = (0.1, 0.2, 0.3, 0.4, 0.5)


def at_sizes(stock, printed, seed, blur=None):
    """For each size the part read by us, and at one look by the bare reader; how many were read wrongly."""
    ours, bare, wrong = [], [], 0
    for module_px in SIZES_PX:
        random = np.random.default_rng([seed, int(10 * module_px)])
        read = [0, 0]
        for one in printed:
            picture = photograph(one, any_shot(random, module_px, *held(stock), blur=blur), random)
            texts = {code.text for code in codes_in(picture)}
            looked = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
            wrong += bool(texts - {one.text})
            read[0] += one.text in texts
            read[1] += one.text in {code.text for code in looked}
        ours.append(read[0] / len(printed))
        bare.append(read[1] / len(printed))
    return ours, bare, wrong


def row(name, count, ours, bare, wrong):
    cells = "".join(f"{100 * one:6.1f} ({100 * other:3.0f})" for one, other in zip(ours, bare, strict=True))
    print(f"{name:20}{count:6}{cells}{wrong:8}", flush=True)


def main() -> None:
    """Print the tables; a number on the command line takes each so many-th tag only."""
    step = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    labels = labels_of(load_plan(ROOT / "plans" / "demo.toml"))
    start = time.perf_counter()
    print("read of 100 at so many pixels a module; in brackets by one look of the bare reader")
    print(f"{'stock':20}{'codes':>6}{''.join(f'{size:>12g}' for size in SIZES_PX)}{'wrong':>8}")
    for path in sorted((ROOT / "labels").glob("*.toml")):
        stock = read_stock(path)
        printed = list(prints([label for label in labels if stock.takes(label.kind)], stock, "pdf"))[::step]
        row(path.stem, len(printed), *at_sizes(stock, printed, zlib.crc32(path.stem.encode())))
    stock = read_stock(ROOT / "labels" / "sheet-a4.toml")
    printed = list(prints(labels, stock, "pdf"))[::step]
    print("\nsheet-a4 with blur of so many modules (sigma)")
    for blur in BLURS:
        row(f"{blur:g}", len(printed), *at_sizes(stock, printed, 1, blur))
    print(f"{time.perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main()
