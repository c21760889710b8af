"""View data of set-up."""

from dataclasses import replace

from long_words import LONG
from rig_samples import DEMO

from checkapp.rig.connections import connections
from checkapp.show.setup_views import Answer, SetUpPlace, SetUpRow, SetUpView


def set_up_places(rig, done):
    """What there is to do in the set-up of a rig, the first ``done`` ends of it connected."""
    places = {}
    for box in rig.boxes.values():
        said = "JD, 10:04" if done else ""
        row = SetUpRow(box.code, "", "", box.code, f"{box.kind}; {box.cable}", "ok" if done else "open", said)
        places.setdefault(box.place, []).append(row)
    for number, one in enumerate(connections(rig)):
        status, said = ("ok", "JD, 10:12, by hand") if number < done else ("open", "")
        row = SetUpRow(one.cable, one.subject, one.ports[0], one.subject, f"into {one.into}", status, said)
        places.setdefault(one.place, []).append(row)
    return tuple(
        SetUpPlace(name, sum(row.status == "ok" for row in rows), len(rows), tuple(rows))
        for name, rows in places.items()
    )


def set_up_view(rig, done, **more):
    """A set-up as it stands after ``done`` ends."""
    places = set_up_places(rig, done)
    ends, boxes = len(connections(rig)), len(rig.boxes)
    row = next((row for place in places for row in place.rows if row.status != "ok"), None)
    known = {
        "title": rig.name,
        "show_title": "Night 3, Upper ledge, 2031-05-03",
        "boxes_placed": boxes if done else 0,
        "boxes": boxes,
        "ends_connected": done,
        "ends": ends,
        "progress": f"{boxes if done else 0} of {boxes} boxes placed, {done} of {ends} ends connected",
        "here": "At LEFT",
        "answer": Answer("ok", "Correct box. LD27 A goes into LEFT in 1", "in 37 Lead vocal"),
        "to_do": f"Plug {row.title} {row.detail}." if row else "Everything is placed and connected.",
        "next_row": row,
        "places": places,
        "can_undo": done > 0,
    }
    return SetUpView(**known | more)


WRONG = Answer(
    "faulty",
    "Wrong. HP02 B does not go into FAR",
    "HP02 B goes into LEFT link in, Downstage left, by the reading desk. Still open at FAR: HP03 B into FAR link in.",
    "HP02 B goes into LEFT link in, Downstage left, by the reading desk.",
)
SETUP_VIEW = set_up_view(DEMO, 20)
FOUND_WRONG = replace(
    SETUP_VIEW,
    answer=WRONG,
    here="At FAR",
    to_do="Pull HP02 B out of FAR, then plug it into LEFT link in.",
    next_row=SETUP_VIEW.places[0].rows[1],
    places=(
        replace(
            SETUP_VIEW.places[0],
            rows=tuple(
                replace(row, status="faulty", said="found at FAR, JD, 10:31") if number == 1 else row
                for number, row in enumerate(SETUP_VIEW.places[0].rows)
            ),
        ),
        *SETUP_VIEW.places[1:],
    ),
)
LONG_SETUP = replace(
    SETUP_VIEW,
    show_title=LONG,
    progress=LONG,
    here=f"At {LONG}",
    answer=Answer("look", LONG, f"{LONG} {LONG}"),
    to_do=f"Plug {LONG} into {LONG}.",
    places=tuple(
        replace(
            place,
            name=LONG,
            rows=tuple(replace(row, title=f"{row.title} {LONG}", detail=LONG, said=LONG) for row in place.rows),
        )
        for place in SETUP_VIEW.places
    ),
)
SWAP = replace(
    SETUP_VIEW,
    mode="swap",
    here="",
    answer=Answer("look", "HP22 for HP02: look first", "HP22 is 12 m long, HP02 is 20 m"),
    prompt="Scan what goes in for HP02.",
    confirm="swap HP22 in",
)


def full_views():
    """Screens with as much on them as there may be."""
    return {
        "setup, wrong": ("setup", FOUND_WRONG),
        "setup, long": ("setup", LONG_SETUP),
        "setup, swap": ("setup", SWAP),
    }


def views():
    """Screens that stand among those with more on them."""
    return {
        "setup": ("setup", SETUP_VIEW),
        "setup, begun": ("setup", set_up_view(DEMO, 0, here="", answer=None)),
        "setup, complete": ("setup", set_up_view(DEMO, 125)),
    }
