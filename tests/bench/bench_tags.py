"""2,000 tags to PDF against minimal ReportLab scripts that draw the same QRs, in turns, in one run.

Run by hand: ``python tests/bench/bench_tags.py``. Two scripts are measured, as one would write them: one with
ReportLab's own QR drawing, one with a rectangle for each dark module of the library that ours is made with. They draw
the QRs alone; ours sets type, marks where to cut and draws the ruler as well, and is told by the ratio to the quicker
of the two, and to the smaller file. Each is a process of its own: its time is that of the whole process, its memory
the most that it ever held.
"""

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from big_rig import plan_text

ROOT = Path(__file__).parents[2]
TAGS, ROUNDS = 2000, 5
GOAL, GOAL_MB = 1.5, 250
PAGE = """
import sys
from pathlib import Path
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
texts = Path(sys.argv[1]).read_text().split()
side = 21 * 20 * 25.4 / 600 * mm
canvas = Canvas(sys.argv[2], pagesize=(210 * mm, 297 * mm), pageCompression=1)
def places():
    for number in range(len(texts)):
        row, column = divmod(number % 24, 3)
        if number and not number % 24:
            canvas.showPage()
        yield (7 + 66 * column + 42) * mm, (297 - 12.5 - 34 * row - 25) * mm
"""
WIDGET = """
from reportlab.graphics import renderPDF
from reportlab.graphics.barcode.qr import QrCodeWidget
from reportlab.graphics.shapes import Drawing
for text, (x, y) in zip(texts, places()):
    drawing = Drawing(side, side)
    drawing.add(QrCodeWidget(text, barLevel="Q", barWidth=side, barHeight=side, barBorder=0))
    renderPDF.draw(drawing, canvas, x, y)
"""
SQUARES = """
import qrcode
for text, (x, y) in zip(texts, places()):
    code = qrcode.QRCode(error_correction=qrcode.ERROR_CORRECT_Q, border=0)
    code.add_data(text)
    code.make()
    module = side / len(code.modules)
    for row, modules in enumerate(reversed(code.modules)):
        for column, dark in enumerate(modules):
            if dark:
                canvas.rect(x + column * module, y + row * module, module, module, stroke=0, fill=1)
"""
END = """
canvas.save()
"""
OURS = """
import sys
from checkapp.cli import main
try:
    main(["tags", *sys.argv[3:], "--out", sys.argv[2]])
except SystemExit as left:
    assert not left.code
"""
MEMORY = """
import resource
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


def measured(script: str, texts: Path, out: Path, *words: str) -> tuple[float, float, float]:
    """Seconds of the whole process, kB of its file, MB that it held at most (Linux counts them in kB)."""
    start = time.perf_counter()
    command = [sys.executable, "-c", script + MEMORY, str(texts), str(out), *words]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    took = time.perf_counter() - start
    return took, out.stat().st_size / 1000, int(done.stdout.split()[-1]) / 1024


def texts_of(plan: Path) -> list[str]:
    from checkapp.rig.planfile import load_plan

    return [tag.text for tag in load_plan(plan).tags]


def main() -> None:
    """Measure in turns and print."""
    with tempfile.TemporaryDirectory() as folder:
        plan, texts, out = (Path(folder, name) for name in ("big.toml", "texts.txt", "tags.pdf"))
        plan.write_text(plan_text(16, 108, 830), encoding="utf-8")
        tags = texts_of(plan)
        assert len(tags) == TAGS
        texts.write_text("\n".join(tags))
        kinds = {
            "ReportLab's own QR": (PAGE + WIDGET + END,),
            "a square a module": (PAGE + SQUARES + END,),
            "asset tags": (OURS, str(plan)),
            "show tags": (OURS, str(plan), "--for-show"),
        }
        rounds = [
            {name: measured(script, texts, out, *words) for name, (script, *words) in kinds.items()}
            for _ in range(ROUNDS)
        ]
    best = [[min(one["ReportLab's own QR"][at], one["a square a module"][at]) for at in (0, 1)] for one in rounds]
    print(f"{TAGS} tags on A4 sheets, whole processes, medians of {ROUNDS} rounds in turns")
    print(f"ratios to the quicker and to the smaller of the two scripts; goal at most {GOAL} each, {GOAL_MB} MB")
    for name in kinds:
        took, size, held = (statistics.median(one[name][at] for one in rounds) for at in range(3))
        slower, larger = (
            statistics.median(one[name][at] / least[at] for one, least in zip(rounds, best, strict=True))
            for at in (0, 1)
        )
        print(f"{name:20} {took:6.2f} s  {slower:5.2f}   {size:5.0f} kB  {larger:5.2f}   {held:4.0f} MB")


if __name__ == "__main__":
    main()
