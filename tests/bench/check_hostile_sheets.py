"""Each hostile spreadsheet in a process of its own: one clear answer in under 5 s and 300 MB; run by hand (Linux)."""

import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "sheets"))
import hostile_sheets

MOST_S = 5.0
MOST_MB = 300
READ = """
import sys
from pathlib import Path
from checkapp.rig.errors import CheckappError
from checkapp.sheets.reading import read_sheets
try:
    for sheet in read_sheets(Path(sys.argv[1])):
        print(f"read: {len(sheet.rows)} rows", *sheet.notes, sep="; ")
except CheckappError as error:
    print("refused:", *error.lines)
peak = next(line for line in Path("/proc/self/status").read_text().splitlines() if line.startswith("VmHWM"))
print(int(peak.split()[1]) / 1024)
"""


def answer(path: Path) -> tuple[str, float, float]:
    """What is said of the file, in how many seconds and with how many megabytes at the most."""
    begin = time.perf_counter()
    child = subprocess.run([sys.executable, "-c", READ, path], capture_output=True, text=True, check=False)
    took_s = time.perf_counter() - begin
    if child.returncode:
        return child.stderr, took_s, 0
    *said, used_mb = child.stdout.splitlines()
    return "\n".join(said), took_s, float(used_mb)


def main() -> None:
    wrong = 0
    only = sys.argv[1:]
    with tempfile.TemporaryDirectory() as folder:
        for name, file in hostile_sheets.hostile().items():
            if only and name not in only:
                continue
            path = Path(folder) / name
            file.make(path)
            said, took_s, used_mb = answer(path)
            begins = "read:" if file.is_read else "refused:"
            is_right = said.startswith(begins) and "\n" not in said and file.answer in said
            is_right = is_right and took_s < MOST_S and used_mb < MOST_MB
            wrong += not is_right
            short = said.replace(f"{path}:", "").strip()[:150]
            print(f"{'' if is_right else 'WRONG '}{name:32} {took_s:5.2f} s {used_mb:4.0f} MB  {short}", flush=True)
    print(f"{wrong} wrong")
    raise SystemExit(bool(wrong))


if __name__ == "__main__":
    main()
