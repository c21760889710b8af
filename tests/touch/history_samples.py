"""View data of the history and of an item's life."""

from dataclasses import replace

from checkapp.show.history_views import HistoryRow, HistoryView, LifeView

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
    kind="cable",
    rows=(WORST, GOOD),
    totals=("cable: 31 items, 8 faults, 0.9 faults in 100 checks of one", "spares, cable: 9 for 20 shows are enough"),
    left_out=12,
)
LIFE = LifeView(
    title="SM.XL90, cable",
    status="faulty",
    lines=("retire: 7 faults in 30 checks", "20 faults in 100 checks; surely (90 %) between 11 and 33"),
    events=(("2031-05-30 20:05", "again, hum, in 1, swap for XL99, Night 30, JD"),),
)


def long_views(long):
    """Screens with more words than anybody has."""
    row = replace(WORST, title=f"SM.XL90 {long}", faults="17 of 1000", reason=f"{long} {long}", trend=long)
    return {
        "history, long": ("history", replace(HISTORY, summary=long, rows=(row, GOOD), totals=(long,))),
        "life, long": ("life", replace(LIFE, title=long, lines=(long, long), events=((long, long),))),
    }
