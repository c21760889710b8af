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
from checkapp.tongue import later, shown_word, tr
from checkapp.tongue.numbers import with_sign

if TYPE_CHECKING:
    from checkapp.history.analysis import History

SOURCES: Final = (
    later(
        "D. P. Gaver and I. G. O'Muircheartaigh, Robust empirical Bayes analyses of event rates, Technometrics 29, "
        "1987: items of a kind share a gamma prior."
    ),
    later(
        "D. R. Cox and P. A. W. Lewis, The Statistical Analysis of Series of Events, 1966, chapter 3: the Laplace test."
    ),
    later("NIST/SEMATECH e-Handbook of Statistical Methods, 8.2.3.4 (trend tests) and 8.4.5.2 (power law)."),
    later(
        "Y. Benjamini and Y. Hochberg, Controlling the false discovery rate, J. R. Statist. Soc. B 57, 1995: what gets "
        "worse."
    ),
    later("MIL-HDBK-189, Reliability Growth Management, 1981, appendix C: the power law over a tour."),
    later("H. H. Panjer, Recursive evaluation of a family of compound distributions, ASTIN Bulletin 12, 1981: spares."),
)


def method(history: History) -> tuple[tuple[str, str], ...]:
    """What each figure is and how it was worked out: a topic and its words."""
    return (
        *_counting(),
        *_rates(),
        *_judging(),
        (tr("spares"), _spares(history)),
        (
            tr("seconds per line"),
            tr("From a check's first mark to its last, divided by the lines after the first."),
        ),
        (
            tr("choices without a source"),
            tr(
                "The prior of what a kind is like: its relative spread s with a density in proportion to "
                "s/(1 + (s/{spread})^2)^1.5, its mean log-normal about the chance that suspects start from by a factor "
                "of {factor}. The limits under advice, trend and gets worse, and 90 %.",
                spread=_figure(SPREAD),
                factor=_figure(4.5),
            ),
        ),
        (tr("times"), tr("All times are in UTC.")),
        (
            tr("rows left out"),
            tr(
                "On paper a table has up to {most} rows. The workbook (--xlsx FILE) and the CSV files (--csv DIR) "
                "have all of them.",
                most=MOST_ROWS,
            ),
        ),
        *((tr("source"), shown_word(words)) for words in SOURCES),
    )


def _counting() -> tuple[tuple[str, str], ...]:
    return (
        (
            tr("exposure"),
            tr("An item is exposed once in each check that marked at least one line through it."),
        ),
        (
            tr("fault"),
            tr("A repair that named the item and cleared the fault. What no repair cleared is not counted as one."),
        ),
    )


def _rates() -> tuple[tuple[str, str], ...]:
    return (
        (
            tr("rate"),
            tr(
                "Faults per check. Faults are taken to be Poisson; the rate of an item has a gamma prior whose shape "
                "and mean are those of its kind. Both are unknown and integrated over, so an item lies near its kind "
                "until it has earned its own rate. The rate is the posterior mean; low and high bound the central 90 %."
            ),
        ),
        (
            tr("worst first"),
            tr(
                "By advice: retire, bench-test, keep; then what failed at all; then the highest rate, of whatever kind."
            ),
        ),
        (
            tr("trend"),
            tr(
                "The Laplace test over the item's own checks; the k-th counts as the time k - 0.5. Two-sided p below "
                "{level} is taken for a trend; under {fewest} faults nothing is said. An item that was pulled at its "
                "last fault is taken as watched until then.",
                level=_figure(LEVEL),
                fewest=FEWEST,
            ),
        ),
        (
            tr("gets worse"),
            tr(
                "Of many items some look worse by chance. The first page names those that do so taken alone and that "
                "the step-up rule of Benjamini and Hochberg tells of all with faults in {fewest} checks or more, "
                "one-sided: of those that are named no more than {part} % are expected to be there by chance. Kinds "
                "likewise, by themselves.",
                fewest=FEWEST,
                part=_figure(100 * FALSE_PART),
            ),
        ),
        (
            tr("growth"),
            tr(
                "Faults of a kind up to the check number t are taken to be scale t ^ shape (Crow-AMSAA): a shape below "
                "1 says that they get rarer, above 1 that they come more often."
            ),
        ),
    )


def _judging() -> tuple[tuple[str, str], ...]:
    return (
        (
            tr("advice"),
            tr(
                "Nearly all items of a kind are taken to be much alike, one in twenty to be bad. Bench-test: at least "
                "2 faults and as many as one that is not bad would have with at most {odd} % ({worse} % where it is "
                "getting worse), or pulled and not tested since. Retire: that many faults and {sure} % sure of a rate "
                "above {far} times that of the kind, or failed on the bench. Keep: all else.",
                odd=_figure(100 * ODD),
                worse=_figure(100 * ODD_AND_WORSE),
                sure=_figure(100 * RETIRE),
                far=_figure(FAR_ABOVE),
            ),
        ),
    )


def _spares(history: History) -> str:
    shows, level = next(((row.shows, row.level) for row in history.spares), (None, None))
    if not shows or not level:
        return tr(
            "The smallest count that is enough for the next leg: demand adds up negative binomial over the items in "
            "use."
        )
    return tr(
        "The smallest count that is enough for {shows} more shows with probability {level} %: demand adds up negative "
        "binomial over the items in use.",
        shows=shows,
        level=_figure(100 * level),
    )


def _figure(value: float) -> str:
    return with_sign(f"{value:g}")


def method_table(history: History) -> Table:
    """The same as a table; where nothing happened, that is said first."""
    empty = ((tr("nothing to tell"), f"{shown_word(NOTHING)} {shown_word(WHAT_TO_DO)}"),) if is_empty(history) else ()
    return Table("Method", (Column("topic", width=24), Column("words", width=120)), (*empty, *method(history)))
