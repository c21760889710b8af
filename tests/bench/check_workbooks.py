"""Rigs written to workbooks and brought back, run by hand: ``python tests/bench/check_workbooks.py``.

200 random rigs and all plans that are shipped: the same rig comes back, and onto its own plan file no byte changes.
With ``--through PROGRAM``, the name of a LibreOffice, each workbook is opened and saved by that program in between;
it keeps 15 figures of a number, so the random rigs have no more then.
"""

import argparse
import random
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from checkapp.rig.planfile import load_plan
from checkapp.rig.toml_text import document
from checkapp.show.plan_export import export_plan
from checkapp.show.workbook_importing import bring_back

sys.path.insert(0, str(Path(__file__).parents[1] / "sheets"))
import random_rigs

SHIPPED = Path(__file__).parents[2] / "plans"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--through", default=None)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copytree(SHIPPED, folder, dirs_exist_ok=True)
        figures = 15 if options.through else 17
        for seed in range(options.seed, options.seed + options.count):
            text = document(random_rigs.random_plan(random.Random(seed), figures))
            (folder / f"random-{seed}.toml").write_text(text, encoding="utf-8", newline="")
        plans = [path for path in sorted(folder.glob("*.toml")) if path.name != "kinds.toml"]
        start = time.perf_counter()
        for plan in plans:
            export_plan(plan, plan.with_suffix(".xlsx"))
        written_s = time.perf_counter() - start
        if options.through:
            saved_anew(options.through, folder)
        start = time.perf_counter()
        other = [plan.stem for plan in plans if not comes_back(plan)]
        read_s = time.perf_counter() - start
    count = len(plans)
    print(f"{count} rigs, through {options.through or 'nothing'}: {len(other)} came back otherwise {other or ''}")
    print(
        f"written in {written_s / count * 1000:.0f} ms each, brought back twice in {read_s / count * 1000:.0f} ms each"
    )
    raise SystemExit(bool(other))


def saved_anew(program: str, folder: Path) -> None:
    """Have a spreadsheet program open every workbook and save it in its own words."""
    home = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    call = [program, home, "--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", str(folder / "out")]
    books = sorted(folder.glob("*.xlsx"))
    subprocess.run([*call, *map(str, books)], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    for book in books:
        (folder / "out" / book.name).replace(book)


def comes_back(plan: Path) -> bool:
    """Whether the workbook of a plan is the same rig, and leaves every byte of the plan when it is brought onto it."""
    book, content, rig = plan.with_suffix(".xlsx"), plan.read_bytes(), load_plan(plan)
    new = bring_back(book, plan.with_name(f"new-{plan.name}")).rig
    bring_back(book, plan)
    return new.plan == rig.plan and plan.read_bytes() == content


if __name__ == "__main__":
    main()
