"""Each hostile spreadsheet in a process of its own: one clear answer in under 5 s and 300 MB; run by hand (Linux).

Seconds are those of the processor, start of Python included; on a machine with nothing else to do they are those of
the clock, which are given in brackets. What a child opens, starts or calls is listened to: only the file itself and
the modules of Python and ours.
"""

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
import time
from pathlib import Path
from checkapp.rig.errors import CheckappError
from checkapp.sheets.reading import read_sheets
path = sys.argv[1]
ours = (path, sys.base_prefix, sys.prefix, str(Path(sys.modules["checkapp"].__file__).parent))
touched = []
def listen(event, given):
    if event.startswith(("socket", "subprocess", "os.", "urllib", "http", "ctypes", "shutil", "tempfile")):
        if event not in ("os.listdir", "os.scandir"):
            touched.append(event)
    elif event == "open" and isinstance(given[0], str) and not given[0].startswith(ours):
        touched.append(given[0])
sys.addaudithook(listen)
try:
    for sheet in read_sheets(Path(path)):
        print(f"read: {len(sheet.rows)} rows", *sheet.notes, sep="; ")
except CheckappError as error:
    print("refused:", *error.lines)
if touched:
    print("touched:", *touched)
peak = next(line for line in Path("/proc/self/status").read_text().splitlines() if line.startswith("VmHWM"))
print(int(peak.split()[1]) / 1024)
print(time.process_time())
"""


def answer(path: Path) -> tuple[str, float, float, float]:
    """What is said of the file; seconds of the processor and of the clock; megabytes at the most."""
    begin = time.perf_counter()
    child = subprocess.run([sys.executable, "-c", READ, path], capture_output=True, text=True, check=False)
    took_s = time.perf_counter() - begin
    if child.returncode:
        return child.stderr, took_s, took_s, 0
    *said, used_mb, worked_s = child.stdout.splitlines()
    return "\n".join(said), float(worked_s), took_s, float(used_mb)


def main() -> None:
    wrong = 0
    only = sys.argv[1:]
    with tempfile.TemporaryDirectory() as folder:
        for name, file in (hostile_sheets.small() | hostile_sheets.large()).items():
            if only and name not in only:
                continue
            path = Path(folder) / name
            file.make(path)
            said, worked_s, took_s, used_mb = answer(path)
            begins = "read:" if file.is_read else "refused:"
            is_right = said.startswith(begins) and "\n" not in said and file.answer in said
            is_right = is_right and worked_s < MOST_S and used_mb < MOST_MB
            wrong += not is_right
            short = said.replace(f"{path}:", "").strip()[:150]
            took = f"{worked_s:5.2f} s ({took_s:5.2f} s) {used_mb:4.0f} MB"
            print(f"{'' if is_right else 'WRONG '}{name:32} {took}  {short}", flush=True)
    print(f"{wrong} wrong")
    raise SystemExit(bool(wrong))


if __name__ == "__main__":
    main()
