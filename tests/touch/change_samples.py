"""View data of the changeover list and of the choice of the rig before."""

from dataclasses import replace

from checkapp.show.beginning import RigRow
from checkapp.show.changeover_views import ChangeGroup, ChangeoverView, ChangeRow, OldRigsView
from checkapp.show.views import LineRow, RigView

RIG = RigView(
    "Second Act", "version 1, 24 inputs", "nothing found", (), (), "", "start a check", "Night 3", "2031-05-03"
)
OLD_RIGS = OldRigsView(
    "The changeover goes from it to Second Act.",
    "plans/second.toml",
    (RigRow("First Act", "version 2, 24 inputs", "plans/first.toml"), RigRow("Barn", "version 1", "plans/barn.toml")),
)
PLUGS = (
    ChangeRow("in 5 Accordion", "", "STOVE in 5", "STOVE in 4", "Behind the stove", "in 5"),
    ChangeRow("in 4 Fiddle vocal", "cable", "LD04, STOVE in 4", "LD09, STOVE in 6", "Behind the stove", "in 4"),
)
AGAIN = (
    LineRow("in 4", "4", "Fiddle vocal", "STOVE in 6", "Music", "open", "LD09, not LD04; STOVE in 6, not STOVE in 4"),
    LineRow("in 5", "5", "Accordion", "STOVE in 4", "Music", "ok", "JD"),
)
CHANGEOVER = ChangeoverView(
    title="From First Act to Second Act",
    headline="2 lines to check again, 1 of them still open, 2 re-plugs, 1 line gone",
    cautions=("Mute the channel before re-plugging, and mind phantom power with microphones that do not take it.",),
    groups=(
        ChangeGroup("Unplug first", (ChangeRow("in 3 Fiddle", "gone", "STOVE in 3, LD03", "", "Behind the stove"),)),
        ChangeGroup("Re-plug", PLUGS),
        ChangeGroup("In the plan alone", (ChangeRow("the rig", "name", "First Act", "Second Act"),)),
    ),
    again=AGAIN,
    again_title="Check these 2 lines again",
    check_words="check this line",
    can_check=True,
    rig=RIG,
)
WITH_CAUTIONS = replace(
    CHANGEOVER,
    cautions=(
        *CHANGEOVER.cautions,
        "Mains distribution is for qualified people and local codes decide.",
        "Walk with a light and both hands free; a cable is not worth a fall.",
    ),
)
NOTHING = replace(
    CHANGEOVER,
    headline="Nothing has changed.",
    cautions=(),
    groups=(),
    again=(),
    again_title="",
    check_words="no line to check again",
    can_check=False,
)


def long_views(long):
    """Screens with more words than anybody has."""
    row = ChangeRow(f"in 48 {long}", f"cable, source, {long}", f"LD04, STOVE in 4, {long}", f"STOVE in 6, {long}", long)
    line = LineRow("in 48", "48", long, "STOVE in 6", long, "open", f"{long}; {long}")
    return {
        "changeover, long": (
            "changeover",
            replace(
                CHANGEOVER,
                title=long,
                headline=f"512 lines to check again, {long}",
                groups=(ChangeGroup(long, (row, replace(row, was=""), replace(row, becomes="")) * 12),),
                again=(line,) * 30,
                check_words="check these 512 lines",
            ),
        ),
        "oldrigs, long": ("oldrigs", replace(OLD_RIGS, title=long, rigs=(RigRow(long, long, "a.toml"),) * 20)),
    }


def views():
    """Screens as they mostly are."""
    return {
        "changeover": ("changeover", CHANGEOVER),
        "changeover, nothing": ("changeover", NOTHING),
        "changeover, cautions": ("changeover", WITH_CAUTIONS),
        "oldrigs": ("oldrigs", OLD_RIGS),
        "oldrigs, none": ("oldrigs", replace(OLD_RIGS, title="There is no other plan to come from.", rigs=())),
    }
