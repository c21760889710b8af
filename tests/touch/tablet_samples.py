"""View data of the tablets screens."""

from dataclasses import replace

from checkapp.show.tablet_views import (
    Dispute,
    HubView,
    LogRow,
    LogsView,
    MarkSaid,
    TabletNameView,
    TabletRow,
    TabletsView,
)

LEFT = TabletRow(
    device="3f9a00000001",
    name="tablet 3F9A, this one",
    mine=True,
    who="JD",
    done="41 entries, the last 3 May 2031, 20:14",
    last="last: in 18 Fiddle two, ok, Strings",
    has="17 lines have its marks: Drums 9, Strings 5, Keys 3",
)
RIGHT = TabletRow(
    device="b07c00000001",
    name="tablet B07C",
    mine=False,
    who="AB, KL",
    done="12 entries, the last 3 May 2031, 20:11",
    last="last: LD27 A into LEFT in 1",
    has="4 lines have its marks: Choir 4",
)
DISPUTE = Dispute(
    "in 18",
    "18",
    "Fiddle two",
    "Strings, STRINGS in 2",
    (
        MarkSaid("ok", "ok", "JD, tablet 3F9A, 20:02", "ok", ""),
        MarkSaid("faulty", "faulty, hum", "AB, tablet B07C, 20:09", "faulty", "hum"),
    ),
)
UNLIKE = replace(
    DISPUTE,
    marks=(
        MarkSaid("faulty", "faulty, crackle", "JD, tablet 3F9A, 20:02", "crackle", "crackle"),
        MarkSaid("faulty", "faulty, hum", "AB, tablet B07C, 20:09", "hum", "hum"),
    ),
)
TABLETS = TabletsView(
    show="Night 3",
    summary="2 tablets, 1 line to settle",
    tablets=(LEFT, RIGHT),
    disputes=(DISPUTE,),
    can_settle=True,
    hub="no hub is set up",
    has_hub=False,
    message="12 entries came in, 4 new marks of this show\n"
    "from checkapp log 2031-05-03 tablet B07C.jsonl; 0 there already",
)
SYNCED = replace(
    TABLETS,
    disputes=(),
    summary="2 tablets",
    hub="postgresql://left@hub.crew/hub",
    has_hub=True,
    message="Syncing. You can go on; it is said when it is done.",
    wrong=("entries 4 to 6 of tablet B07C are missing",),
)
EMPTY = TabletsView("", "No show yet. Start a set-up or a check first.", (), (), False, "no hub is set up", False)
GIVE = LogsView(
    "give",
    "Give my log",
    "Pick the stick or folder. The other tablet takes the file in from there.",
    (LogRow("/media/STICK", "STICK", "/media/STICK"), LogRow("/home/crew", "Home", "/home/crew")),
)
TAKE = LogsView(
    "take",
    "Take a log in",
    "Pick the other tablet's file. Nothing of yours is lost, and taking it in twice does no harm.",
    (LogRow("/media/STICK/a.jsonl", "checkapp log 2031-05-03 tablet B07C.jsonl", "STICK, 41 kB, 3 May 2031, 20:12"),),
)
HUB = HubView(
    "postgresql://left@hub.crew/hub",
    "The address of your crew's hub: postgresql://USER@HOST/DATABASE. Whoever set the hub up knows it.",
)
NAME = TabletNameView(
    "3f9a00000001",
    "Name of tablet 3F9A",
    "Desk left",
    "This tablet and the file of its log are called so. Name it on the other tablets too.",
)


def long_views(long):
    """Screens with more words than anybody has."""
    row = TabletRow("b07c00000001", long, True, long, long, long, long)
    marks = (MarkSaid("ok", long, long, "ok", ""), MarkSaid("faulty", long, long, "faulty", "hum"))
    dispute = Dispute("out 512", "out 512", long, long, marks)
    view = TabletsView(long, long, (row, row), (dispute, dispute), True, long, True, long, (long, long))
    logs = tuple(LogRow(str(n), long, long) for n in range(12))
    return {
        "tablets, long": ("tablets", view),
        "settle, long": ("settle", dispute),
        "tabletlogs, long": ("tabletlogs", LogsView("take", long, long, logs)),
    }


def views():
    """Screens as they mostly are."""
    return {
        "tablets": ("tablets", TABLETS),
        "tablets, with a hub": ("tablets", SYNCED),
        "tablets, no show": ("tablets", EMPTY),
        "settle": ("settle", DISPUTE),
        "settle, unlike": ("settle", UNLIKE),
        "tabletlogs": ("tabletlogs", TAKE),
        "tabletlogs, give": ("tabletlogs", GIVE),
        "hub": ("hub", HUB),
        "tabletname": ("tabletname", NAME),
    }
