"""View data of the fault sheet, of what can be done about a suspect, and of the list of faults."""

from dataclasses import replace

from checkapp.show.fault_views import FaultListView, FaultView, NextRow, OutRow, StepView, SuspectRow, WorkRow
from checkapp.show.setup_views import Answer
from checkapp.show.views import LineRow, RunItem

RUN = (
    RunItem("source in 40", "source", "source"),
    RunItem("LD30", "cable", "LD30", share=0.02, share_words="2 %"),
    RunItem("DROP in 1", "port", "DROP in 1"),
    RunItem("DROP", "box", "DROP", share=0.34, share_words="34 %"),
    RunItem("LM01", "hop", "LM01", share=0.62, share_words="62 %"),
    RunItem("LEFT in 5", "port", "LEFT in 5"),
    RunItem("LEFT", "box", "LEFT", share=0.01, share_words="1 %"),
    RunItem("PWR2", "supply", "PWR2", share=0.01, share_words="1 %"),
    RunItem("HP02", "hop", "HP02"),
    RunItem("chain FRONT", "chain", "chain FRONT"),
    RunItem("desk in 40", "desk", "desk"),
)


def works(item, *kinds):
    """What can be done about an item."""
    return tuple(WorkRow(work, item, f"{work.capitalize()} {item}", "Then listen.") for work in kinds)


SUSPECTS = (
    SuspectRow(
        ("LM01", "DROP"),
        "hop cable LM01",
        0.62,
        "62 %",
        "all 3 faulty lines run through it: in 40 to 42, each silent",
        "or DROP (34 %), on the same lines",
        (*works("LM01", "reseat", "swap", "mend"), *works("DROP", "reseat", "swap", "mend")),
    ),
    SuspectRow(
        ("LEFT in 5",),
        "port LEFT in 5",
        0.03,
        "3 %",
        "1 of 3 faulty lines runs through it: in 40, silent",
        "",
        works("LEFT in 5", "reseat", "bypass", "mend"),
    ),
)
NEXT = NextRow("listen", "", "in 38", "", "Listen to 38 Lead vocal spare", "0.3 min. If ok: then LM01, 65 %.")
SWAP = NextRow("swap", "LM01", "in 40", "", "Swap LM01 for a good one", "6 min. If ok: it is LM01, 98 %.")
FAULTY = tuple(LineRow(f"in {n}", str(n), f"Choir {n}", "DROP in 1", "Choir", "faulty", "silent, JD") for n in (40, 41))
AGAIN = (LineRow("in 42", "42", "Choir high left", "DROP in 3", "Choir", "open", "was silent"),)
SHEET = FaultView(
    show_title="Night 1",
    heading="Faulty: in 40 to 41; still to hear: in 42",
    faulty=FAULTY,
    again=AGAIN,
    run_title="40 Choir low left",
    run=RUN,
    suspects=SUSPECTS,
    nothing="That nothing on these lines is to blame: under 1 %.",
    confirmed=("LD25: swap for LD70 cleared it, JD 21:41",),
    next=NEXT,
    others=(SWAP,),
    look_first="Look first: muted? half latched? in the right socket?",
)
LISTEN = StepView(
    title=NEXT.title,
    steps=("Have somebody speak, play or scratch 38 Lead vocal spare at the stage.", "Listen to it, alone."),
    caution="",
    line="in 38",
    number="38",
    name="Lead vocal spare",
    asks="",
    ready=True,
    symptom=True,
)
ASKS = replace(
    LISTEN,
    title=SWAP.title,
    steps=("Mute all 7 lines through LM01.", "Take LM01 out and lay it aside.", "Put a good one in and scan it."),
    caution="Mute the channel before re-plugging. Phantom power is never switched as a guess.",
    line="in 40",
    asks="Scan what goes in",
    ready=False,
    symptom=False,
)
READY = replace(ASKS, asks="", ready=True)
LISTENING = replace(SHEET, step=LISTEN)
SWAPPING = replace(SHEET, step=ASKS)
SWAPPED = replace(SHEET, step=READY)
CLEARED = replace(
    SHEET,
    answer=Answer("ok", "40 is ok: it was LM01", "LM01 is faulty: tag it and pull it. Still to hear: in 42."),
    asks_pulled="LM01",
    can_undo=True,
)
NOT_CLEARED = replace(
    SHEET, answer=Answer("faulty", "40 is still faulty with LM02 in", ""), puts_back="LM01", can_undo=True
)
OVER = replace(SHEET, heading="No line is faulty", faulty=(), again=(), suspects=(), nothing="", next=None, others=())
LIST = FaultListView(
    title="All faults",
    summary="2 open faults, 1 known, 1 item to be tagged and pulled",
    open=FAULTY,
    known=(replace(FAULTY[0], line="in 9", number="9", status="look", said="hum, JD, Night 0, known"),),
    around=(replace(FAULTY[0], line="in 8", number="8", status="look", said="round LEFT in 1, JD"),),
    pull=(OutRow("LD25", "swapped for LD70, Night 1, JD", False),),
    pulled=(OutRow("LM01", "tagged and pulled, JD", True),),
)


def long_views(long):
    """Screens with more words than anybody has."""
    suspect = replace(SUSPECTS[0], title=f"hop cable {long}", speaks_for=long, speaks_against=f"{long} {long}")
    wide = replace(
        CLEARED,
        show_title=long,
        heading=f"Faulty: {long}",
        run_title=long,
        suspects=(suspect, *SUSPECTS),
        nothing=long,
        look_first=long,
        confirmed=(long,),
        next=replace(NEXT, title=f"Listen to {long}", more=f"{long} {long}"),
        others=(replace(SWAP, title=long, more=long),),
        answer=Answer("ok", long, long),
    )
    step = replace(ASKS, title=f"Swap {long}", steps=(long, long, long), caution=long, asks=long, name=long)
    listed = replace(LIST, title=long, summary=long, pull=(OutRow("MULTICORE1", long, False),))
    return {
        "fault": ("fault", SHEET),
        "fault, long": ("fault", wide),
        "fault, step, long": ("fault", replace(wide, step=step)),
        "fault, answer": ("fault", replace(SWAPPED, answer=Answer("faulty", long, long))),
        "blame, long": ("blame", suspect),
        "faults, long": ("faults", listed),
    }


def views():
    """Screens as they mostly are."""
    return {
        "fault, listening": ("fault", LISTENING),
        "fault, swapping": ("fault", SWAPPING),
        "fault, cleared": ("fault", CLEARED),
        "fault, not cleared": ("fault", NOT_CLEARED),
        "fault, over": ("fault", OVER),
        "blame": ("blame", SUSPECTS[0]),
        "faults": ("faults", LIST),
    }
