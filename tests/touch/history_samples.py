"""View data of the history and of an item's life."""

from dataclasses import replace

from checkapp.show.history_pictures import FiguresView, Picture
from checkapp.show.history_views import Chosen, HistoryRow, HistoryView, LifeView, ShowChoice
from checkapp.touch.fault_moves import ShowsAsked

WORST = HistoryRow(
    item="SM.XL90",
    title="SM.XL90, retire",
    faults="7 of 30",
    bad=0.99,
    advice="retire",
    status="faulty",
    reason="7 faults in 30 checks, about 8.1 times as often as its kind",
    trend="getting worse, pulled, not back",
)
GOOD = replace(WORST, item="SM.XL01", title="SM.XL01", faults="0 of 30", bad=0.02, advice="keep", trend="")
HISTORY = HistoryView(
    summary="30 checks of 30 shows, 7 confirmed faults",
    kinds=("all", "source", "cable", "hop", "port", "box", "chain", "supply", "desk"),
    chosen=Chosen("cable"),
    rows=(WORST, GOOD),
    totals=("cable: 31 items, 8 faults, 0.9 faults in 100 checks of one", "spares, cable: 9 for 20 shows are enough"),
    left_out=12,
)
LIFE = LifeView(
    item="SM.XL90",
    title="SM.XL90, cable",
    status="faulty",
    lines=("retire: 7 faults in 30 checks", "20 faults in 100 checks; 11 to 33 with a chance of 90 %"),
    events=(("2031-05-30 20:05", "again, hum, in 1, swap for XL99, Night 30, JD"),),
)

SHOWS = ShowsAsked(
    "cable", (ShowChoice("Night 30", "2031-05-30, Barn, 2 checks, 1 confirmed fault"), ShowChoice("Night 29", ""))
)
FIGURES = FiguresView("Figures, cable", (Picture(340, 150, b"\x70\x80\x90\xff" * (340 * 150)),) * 3)


def long_views(long):
    """Screens with more words than anybody has."""
    row = replace(WORST, title=f"SM.XL90 {long}", faults="17 of 1000", reason=f"{long} {long}", trend=long)
    return {
        "history, long": ("history", replace(HISTORY, summary=long, rows=(row, GOOD), totals=(long,))),
        "shows, long": ("shows", ShowsAsked("cable", (ShowChoice(long, long),) * 3)),
        "life, long": ("life", replace(LIFE, title=long, lines=(long, long), events=((long, long),))),
    }


def views():
    """Screens as they mostly are."""
    return {
        "history": ("history", HISTORY),
        "life": ("life", LIFE),
        "shows": ("shows", SHOWS),
        "figures": ("figures", FIGURES),
        "figures, missing": ("figures", replace(FIGURES, pictures=(), missing=True)),
    }
