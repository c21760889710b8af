"""How the figures of a history come about, and from which sources: said on the last page and in the last sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from checkapp.history.analysis import FAR_ABOVE, ODD, ODD_AND_WORSE, RETIRE
from checkapp.history.conclusions import NOTHING, WHAT_TO_DO, is_empty
from checkapp.history.printed import MOST_ROWS
from checkapp.history.rates import SPREAD
from checkapp.history.tables import Column, Table
from checkapp.history.trend import FEWEST, LEVEL
from checkapp.history.worsening import FALSE_PART

if TYPE_CHECKING:
    from checkapp.history.analysis import History

SOURCES: Final = (
    "D. P. Gaver and I. G. O'Muircheartaigh, Robust empirical Bayes analyses of event rates, Technometrics 29, 1987: "
    "items of a kind share a gamma prior.",
    "D. R. Cox and P. A. W. Lewis, The Statistical Analysis of Series of Events, 1966, chapter 3: the Laplace test.",
    "NIST/SEMATECH e-Handbook of Statistical Methods, 8.2.3.4 (trend tests) and 8.4.5.2 (power law).",
    "Y. Benjamini and Y. Hochberg, Controlling the false discovery rate, J. R. Statist. Soc. B 57, 1995: what gets "
    "worse.",
    "MIL-HDBK-189, Reliability Growth Management, 1981, appendix C: the power law over a tour.",
    "H. H. Panjer, Recursive evaluation of a family of compound distributions, ASTIN Bulletin 12, 1981: spares.",
)


def method(history: History) -> tuple[tuple[str, str], ...]:
    """What each figure is and how it was worked out: a topic and its words."""
    shows, level = next(((row.shows, row.level) for row in history.spares), (None, None))
    leg = f"for {shows} more shows with probability {100 * level:g} %" if shows and level else "for the next leg"
    return (
        ("exposure", "An item is exposed once in each check that marked at least one line through it."),
        ("fault", "A repair that named the item and cleared the fault. What no repair cleared is not counted as one."),
        (
            "rate",
            "Faults per check. Faults are taken to be Poisson; the rate of an item has a gamma prior whose shape and "
            "mean are those of its kind. Both are unknown and integrated over, so an item lies near its kind until it "
            "has earned its own rate. The rate is the posterior mean; low and high bound the central 90 %.",
        ),
        (
            "worst first",
            "By advice: retire, bench-test, keep; then what failed at all; then the highest rate, of whatever kind.",
        ),
        (
            "trend",
            "The Laplace test over the item's own checks; the k-th counts as the time k - 0.5. Two-sided p below "
            f"{LEVEL:g} is taken for a trend; under {FEWEST} faults nothing is said. An item that was pulled at its "
            "last fault is taken as watched until then.",
        ),
        (
            "gets worse",
            "Of many items some look worse by chance. The first page names those that do so taken alone and that the "
            "step-up rule of Benjamini and Hochberg tells of all with faults in "
            f"{FEWEST} checks or more, one-sided: of those that are named no more than {100 * FALSE_PART:g} % are "
            "expected to be there by chance. Kinds likewise, by themselves.",
        ),
        (
            "growth",
            "Faults of a kind up to the check number t are taken to be scale t ^ shape (Crow-AMSAA): a shape below 1 "
            "says that they get rarer, above 1 that they come more often.",
        ),
        (
            "advice",
            "Nearly all items of a kind are taken to be much alike, one in twenty to be bad. Bench-test: at least 2 "
            f"faults and as many as one that is not bad would have with at most {100 * ODD:g} % "
            f"({100 * ODD_AND_WORSE:g} % where it is getting worse), or pulled and not tested since. Retire: that "
            f"many faults and {100 * RETIRE:g} % sure of a rate above {FAR_ABOVE:g} times that of the kind, or failed "
            "on the bench. Keep: all else.",
        ),
        ("spares", f"The smallest count that is enough {leg}: demand adds up negative binomial over the items in use."),
        ("seconds per line", "From a check's first mark to its last, divided by the lines after the first."),
        (
            "choices without a source",
            "The prior of what a kind is like: its relative spread s with a density in proportion to "
            f"s/(1 + (s/{SPREAD:g})^2)^1.5, its mean log-normal about the chance that suspects start from by a factor "
            "of 4.5. The limits under advice, trend and gets worse, and 90 %.",
        ),
        ("times", "All times are in UTC."),
        (
            "rows left out",
            f"On paper a table has up to {MOST_ROWS} rows. The workbook (--xlsx FILE) and the CSV files (--csv DIR) "
            "have all of them.",
        ),
        *(("source", words) for words in SOURCES),
    )


def method_table(history: History) -> Table:
    """The same as a table; where nothing happened, that is said first."""
    empty = (("nothing to tell", f"{NOTHING} {WHAT_TO_DO}"),) if is_empty(history) else ()
    return Table("Method", (Column("topic", width=24), Column("words", width=120)), (*empty, *method(history)))
