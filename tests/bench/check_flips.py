"""2,000 bytes of a journal file changed, one at a time: each is harmless, or verification tells of it; run by hand."""

import argparse
import random
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "journal"))
import flipping


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=20310502)
    options = parser.parse_args()
    told = harmless = 0
    silent: list[tuple[int, int]] = []
    with tempfile.TemporaryDirectory() as folder:
        sound, path = Path(folder) / "sound" / "journal.db", Path(folder) / "flipped" / "journal.db"
        path.parent.mkdir()
        flipping.make_journal(sound)
        expected = flipping.held(sound)
        for at, to in flipping.places(sound, options.count, random.Random(options.seed)):
            flipping.flip(sound, path, at, to)
            if flipping.told(path):
                told += 1
            elif flipping.is_harmless(path, expected):
                harmless += 1
            else:
                silent.append((at, to))
    print(f"{options.count} changed bytes: {told} told, {harmless} harmless, {len(silent)} neither {silent or ''}")
    raise SystemExit(bool(silent))


if __name__ == "__main__":
    main()
