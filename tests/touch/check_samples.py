"""View data of the number pad and of lists of some lines only."""

from checkapp.show.jump import Numbers
from checkapp.show.views import LineRow, LinesView
from checkapp.show.walk_only import Wanted, ZoneRow
from checkapp.touch.check_moves import JumpAsked

NUMBERS = Numbers({"1": "Kick", "18": "Fiddle two", "19": "Cello"}, {"2": "Side fill"}, "1, 18 to 19", "2")
JUMP = JumpAsked(NUMBERS, "in 18")
NEXT = JumpAsked(NUMBERS, "in 18", "1")
ZONES = (
    ZoneRow("Drums, riser left", "Drums, riser left", "12 lines, 3 open, 1 faulty"),
    ZoneRow("Strings", "Strings", "8 lines"),
    ZoneRow("", "no zone", "2 lines, 2 open"),
)


def listed(rows: tuple[LineRow, ...], wanted: Wanted) -> LinesView:
    """The lines that are wanted, in a list."""
    return LinesView(rows, "in 18", wanted=wanted, zones=ZONES, walk_words=f"Walk the {len(rows)} faulty lines only")


def long_views(long: str, rows: tuple[LineRow, ...]) -> dict[str, tuple[str, object]]:
    """Screens with as much on them as there may be."""
    which = ", ".join(f"{n} to {n + 1}" for n in range(1, 60, 3))
    return {
        "jump": ("jump", NEXT._replace(typed="18")),
        "jump, long": ("jump", JumpAsked(Numbers({"1024": long}, {}, which, ""), "in 1", "1024")),
        "jump, none": ("jump", JumpAsked(Numbers({"1": long}, {}, which, ""), "in 1", "777")),
        "lines, faulty": ("lines", listed(rows, Wanted("faulty"))),
        "lines, zone": ("lines", listed(rows[:3], Wanted("zone", long))),
    }
