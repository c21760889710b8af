"""How long it takes to say what to check first: 512 lines, 100 boxes, 40 of them faulty; run by hand.

The journal holds two earlier checks of the show, signed off, and what was plugged again since; the third is half done.
"""

import random
import statistics
import tempfile
from pathlib import Path
from time import perf_counter

from big_rig import plan_text

from checkapp.journal import kinds, setup_kinds
from checkapp.rig.planfile import load_plan
from checkapp.rig.words import SYMPTOMS
from checkapp.show.checking_order import ORDERS, order_now
from checkapp.show.likely_lines import likely_lines
from checkapp.show.recording import Recorder, open_journal


def fill(recorder: Recorder, rng: random.Random) -> None:
    """Two whole checks, plugs, half a check with 40 faulty lines."""
    names = [line.line for line in recorder.rig.lines]
    recorder.write(kinds.show("Night 1", date="2031-05-02"), "Night 1", "JD")
    for number in range(3):
        check = recorder.write(kinds.check_opened(), "Night 1", "JD").id
        asked = names if number < 2 else rng.sample(names, len(names) // 2)
        bad = set() if number < 2 else set(rng.sample(asked, 40))
        for name in asked:
            said = ("faulty", rng.choice(SYMPTOMS)) if name in bad else ("ok", None)
            draft = kinds.mark(name, said[0], plan=recorder.rig.digest, check=check, symptom=said[1])
            recorder.write(draft, "Night 1", "JD")
        if number < 2:
            recorder.write(kinds.check_signed_off((check,), ()), "Night 1", "JD")
            for box in rng.sample(list(recorder.rig.boxes), 10):
                recorder.write(setup_kinds.placed(box), "Night 1", "JD")


def main() -> None:
    """Print the middle of several runs, in milliseconds."""
    with tempfile.TemporaryDirectory() as folder:
        plan = Path(folder, "big.toml")
        plan.write_text(plan_text(16, 100, 512))
        rig = load_plan(plan)
        with open_journal(Path(folder, "journal.db"), home=Path(folder)) as journal:
            recorder = Recorder(journal, rig)
            fill(recorder, random.Random(1))
            state = recorder.state("Night 1")
            works = {"chances": lambda: likely_lines(recorder, state)}
            works |= {order: lambda order=order: order_now(recorder, state, order) for order in ORDERS}
            for name, work in works.items():
                took = []
                for _ in range(5):
                    start = perf_counter()
                    work()
                    took.append(1000 * (perf_counter() - start))
                print(f"{name:8} {statistics.median(took):7.1f} ms")


if __name__ == "__main__":
    main()
