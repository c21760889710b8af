"""5,000 kills of the real program at random moments, some of the app with its window, some on a full disk; by hand.

Ends with status 1 when anything that was said to be saved is missing, a chain is broken or a journal takes no mark.
"""

import argparse
import importlib.util
import random
import sys
import tempfile
from pathlib import Path
from types import ModuleType

HERE = Path(__file__).parent


def load(path: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location(path.stem, path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def kill_apps(times: int, seed: int, folder: Path) -> tuple[int, list[str]]:
    """Kill the app with its window so many times, at random moments; how many marks it had shown as saved."""
    app = load(HERE.parent / "touch" / "test_kill.py")
    chance = random.Random(seed)
    shown, faults = 0, []
    for number in range(times):
        own = folder / f"app-{number}"
        own.mkdir()
        try:
            said = app.killed(own, chance.randint(1, 30), chance.uniform(0.0, 0.02))
            app.look_at_what_is_left(own, said)
            shown += len(said)
        except AssertionError as error:
            faults.append(f"app, round {number}: {error}")
    return shown, faults


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--times", type=int, default=5000)
    parser.add_argument("--full", type=int, default=200)
    parser.add_argument("--apps", type=int, default=40)
    parser.add_argument("--seed", type=int, default=random.randrange(2**32))
    options = parser.parse_args()
    crashing = load(HERE.parent / "crashing.py")
    faults: list[str] = []
    print(f"seed {options.seed}")
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        way = "tmpfs" if crashing.can_mount(folder / "try") else "limit"
        halves = (options.times + 1) // 2, options.times // 2
        for work, times in (("command", halves[0]), ("session", halves[1]), ("full", options.full)):
            found = crashing.run(work, times, options.seed, folder / work, way if work == "full" else "limit")
            faults += [f"{work}, {words}" for words in found["faults"]]
            print(f"{work}: {found['killed']} of {times} killed, {found['saved']} said to be saved", end="")
            print(f", {found['came in']} kept elsewhere came in; {'; '.join(found['why'])}" if found["why"] else "")
        shown, wrong = kill_apps(options.apps, options.seed, folder)
        faults += wrong
        print(f"app: {options.apps} killed, {shown} shown as saved")
    print("\n".join(faults) or "nothing is missing, every chain is whole, every journal takes the next mark")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
