"""View data of the walk, of the symptoms, of the list of lines and of the check as a whole."""

from dataclasses import replace

from long_words import LONG

from checkapp.show.jump import Numbers
from checkapp.show.views import CheckView, LineRow, LinesView, RunItem, WalkView

RUN = (
    RunItem("DI02", "source", "DI02"),
    RunItem("LD12", "cable", "LD12"),
    RunItem("DROP1 in 3", "port", "DROP1 in 3"),
    RunItem("DROP1", "box", "DROP1"),
    RunItem("MC03", "hop", "MC03"),
    RunItem("STRINGS in 3", "port", "STRINGS in 3", "faulty"),
    RunItem("STRINGS", "box", "STRINGS"),
    RunItem("PWR2", "supply", "PWR2"),
    RunItem("HP14", "hop", "HP14"),
    RunItem("BRASS", "box", "BRASS"),
    RunItem("PWR3", "supply", "PWR3", "look"),
    RunItem("HP13", "hop", "HP13"),
    RunItem("chain BACK", "chain", "chain BACK"),
    RunItem("desk in 18", "desk", "desk"),
)
WALK = WalkView(
    show_title="Night 3, Upper ledge",
    line="in 18",
    number="18",
    name="Fiddle two",
    facts=("LD12", "mic", "phantom"),
    caution="Mute the channel before re-plugging, and mind phantom power with microphones that do not take it.",
    run=RUN,
    status="open",
    said="",
    then=("19  Cello", "20  Double bass"),
    marked=17,
    total=60,
    ok=15,
    faulty=2,
    open=43,
    progress="18 of 60",
    counts="15 ok, 2 faulty, 43 open",
    message="in 17 ok, saved",
    can_undo=True,
    complete=False,
    say="Strings, STRINGS in 2",
    left="about 9 min left",
    pace="12 s a line",
    short_caution="Phantom power: mute before you plug.",
    numbers=Numbers({"18": "Fiddle two", "19": "Cello"}, {"2": "Side fill"}, "18 to 19", "2"),
)
LONG_WALK = replace(
    WALK,
    name=LONG,
    say=f"{LONG}, STRINGS in 2",
    only=f"Only {LONG}, 12 left. Walk all lines",
    left="about 12 h 40 min left",
    facts=("MULTICORE1 way 12", "instrument", "phantom", "tall boom stand", LONG),
    status="faulty",
    said=f"wrong line, {LONG}, JD",
    then=(f"19  {LONG}", f"20  {LONG}"),
    message=f"{LONG}, saved",
    show_title=LONG,
)
UNSAVED_WALK = replace(
    WALK,
    status="look",
    said="faulty, not saved yet, silent, JD",
    ok=12,
    waiting=3,
    message="in 17 silent, not saved yet, 3 wait",
)
PLAIN_WALK = replace(
    WALK, facts=(), say="", left="", pace="", caution="", run=(), then=(), message="", can_undo=False, complete=True
)
LINES = tuple(
    LineRow(f"in {n}", str(n), LONG if n % 7 == 3 else f"Line {n}", "STRINGS in 2", "Strings, riser left", status, said)
    for n, (status, said) in enumerate([("ok", "JD"), ("faulty", f"hum, {LONG}, JD"), ("open", "")] * 30, 1)
)
CHECK = CheckView(
    title="Night 3, Upper ledge, 2031-05-03",
    detail="signed off by JD",
    counts="30 ok, 30 faulty, 30 open",
    signed_off=False,
    can_sign_off=True,
    sign_off_words="sign off with 30 faulty, 30 open",
    faulty=tuple(row for row in LINES if row.status == "faulty"),
    open=tuple(row for row in LINES if row.status == "open"),
    ok=tuple(row for row in LINES if row.status == "ok"),
)


def full_views():
    """Screens with as much on them as there may be."""
    return {
        "walk": ("walk", WALK),
        "walk, long": ("walk", LONG_WALK),
        "walk, plain": ("walk", PLAIN_WALK),
        "walk, not saved": ("walk", UNSAVED_WALK),
        "symptom": ("symptom", WALK),
        "symptom, long": ("symptom", LONG_WALK),
        "lines": ("lines", LinesView(LINES, "in 18")),
        "lines, likeliest": ("lines", LinesView(LINES, "in 18", "likely", 10.0, f"33 of 60 lines in 10 min; {LONG}")),
        "lines, changed": ("lines", LinesView(LINES, "in 18", "changed", changed=True)),
        "summary": ("summary", CHECK),
        "summary, long": ("summary", replace(CHECK, title=LONG, sign_off_words="sign off with 250 faulty, 500 open")),
        "past": ("past", replace(CHECK, signed_off=True, sign_off_words="signed off with 30 faulty, 30 open")),
    }
