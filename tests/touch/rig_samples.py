"""View data of the rigs, of the open one, of its picture and of its cards, and of what a check is asked for."""

from dataclasses import replace
from pathlib import Path

from long_words import LONG

from checkapp.rig.planfile import load_plan
from checkapp.show.beginning import FirstView, RigRow
from checkapp.show.card import Connector, Section, sockets
from checkapp.show.card_lookup import find_card
from checkapp.show.picturing import picture_view
from checkapp.show.setup_views import Answer, ScanView
from checkapp.show.views import CheckRow, FindingRow, RigView
from checkapp.touch import asking

PLANS = Path(__file__).parents[2] / "plans"
RIG = RigView(
    title="Quarry Nights, Ledge Stage",
    detail="version 7, 48 inputs, 12 outputs, 8 boxes",
    summary="1 stop, 1 caution, 1 note",
    findings=(
        FindingRow("stop", "chain-length", "chain FRONT", f"66 m, at most 60 m. {LONG}", "Take 6 m out of it."),
        FindingRow("caution", "cable-impedance", "HP12", "75 ohm, the link takes 88 to 132 ohm.", LONG),
        FindingRow("note", "unused", "XL99", "Nothing uses it.", ""),
    ),
    checks=(
        CheckRow("k1", "Night 2, Upper ledge", "going on, 41 ok, 2 faulty", False),
        CheckRow("k0", LONG, "signed off by JD, 60 ok", True),
    ),
    caution="Mains distribution is for qualified people and local codes decide.",
    start_words="1 stop: check anyway",
    suggested_show="Night 3",
    suggested_date="2031-05-03",
)
RIGS = (RigRow("Quarry Nights, Ledge Stage", "version 7, 48 inputs", "a.toml"), RigRow(LONG, LONG, "b.toml"))
DEMO = load_plan(PLANS / "demo.toml")
PICTURE = picture_view(DEMO)
STRINGS = find_card(DEMO, "STRINGS", None)
LONG_SOCKETS = (
    *tuple(find_card(DEMO, "LEFT", None).connectors)[:2],
    *(
        Connector(
            port=f"LEFT in {n}",
            word=f"LEFT in {n}",
            end="MULTICORE1 A",
            way=f"way {n}",
            far=LONG,
            line=f"in {n}",
            number=str(n),
            name=LONG,
            facts="instrument, phantom",
            status=("open", "ok", "faulty")[n % 3],
            said=f"MULTICORE2 B was found here, {LONG}",
        )
        for n in range(1, 33)
    ),
)
WIDEST_CARD = replace(
    find_card(DEMO, "LEFT", None),
    title=LONG,
    what=LONG,
    goes=LONG,
    hint=LONG,
    instead=f"in place of HP02 since {LONG}",
    tags=("QN.LEFT.Y", LONG),
    sections=(
        sockets("ports", LONG_SOCKETS, note=f"free: {LONG}", caution=LONG),
        Section("set on it", ((LONG, LONG), ("Lamps", "dim")), status=("ok", "open")),
    ),
    findings=RIG.findings,
    history=tuple(("2031-05-03 21:04", LONG, "in 3 faulty: hum") for _ in range(8)),
)
LONG_END = replace(
    find_card(DEMO, "FN01 A", None),
    code="MULTICORE1 B",
    goes=LONG,
    hint=LONG,
    sections=(
        sockets("end A, nearer the desk", LONG_SOCKETS[2:9], "end", note=LONG),
        sockets("end B, farther from the desk", [replace(LONG_SOCKETS[2], end="MULTICORE1 B")], "end", note=LONG),
    ),
)


def full_views():
    """Screens with as much on them as there may be."""
    return {
        "first": ("first", FirstView(RIGS[0].plan)),
        "rigs": ("rigs", RIGS),
        "rigs, none read yet": ("rigs", None),
        "rig": ("rig", RIG),
        "rig, long": ("rig", replace(RIG, title=LONG, detail=LONG, summary=LONG, suggested_show=LONG)),
        "rig, no stop": ("rig", replace(RIG, findings=RIG.findings[1:], start_words="start a check")),
        "rig, set up": ("rig", replace(RIG, findings=RIG.findings[1:], start_words="start a check", is_set_up=True)),
        "picture": ("picture", PICTURE),
        "picture, many": ("picture", picture_view(load_plan(PLANS / "wrong.toml"))),
        "card": ("card", STRINGS),
        "card, long": ("card", WIDEST_CARD),
        "card, long end": ("card", LONG_END),
        "card, long answer": ("card", ScanView(Answer("faulty", LONG, f"{LONG} {LONG}"), WIDEST_CARD)),
        "card of a cable": ("card", find_card(DEMO, "HP01", None)),
        "newcheck": ("newcheck", asking.Asking(asking.CHECK, RIG.title, "Night 3", "2031-05-03")),
        "newcheck, long": ("newcheck", asking.Asking(asking.CHECK, LONG, LONG, "2031-05-03", LONG, LONG)),
    }


def views():
    """Screens that stand among those with more on them."""
    return {
        "newcheck for set-up": (
            "newcheck",
            asking.Asking(asking.SETUP, RIG.title, "Night 3", "2031-05-03", "Upper ledge", "JD"),
        ),
        "newcheck, one going on": (
            "newcheck",
            asking.Asking(asking.CHECK, LONG, "Night 3", "2031-05-03", going=replace(RIG.checks[0], title=LONG)),
        ),
        "rig, set up with a stop": ("rig", replace(RIG, is_set_up=True)),
    }
