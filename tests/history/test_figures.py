"""Figures: what they show is what happened, all words lie within, and nothing is told by colour alone."""

import itertools
import subprocess
import sys
from collections import Counter
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgb
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle
from matplotlib.text import Text

from checkapp import tongue
from checkapp.history import figures
from checkapp.history.analysis import analysed
from checkapp.history.figure_drawing import drawing_of
from checkapp.history.figure_parts import LIGHT, NARROW, whole_ticks
from checkapp.history.lives import CheckDone, FaultMade, Life, Tally, Unconfirmed
from checkapp.page.drawing import Words

ROOT = Path(__file__).parents[2]
ALL = (figures.pareto_by_kind, figures.pareto_by_item, figures.rates, figures.by_show, figures.lives)


def words_of(figure):
    return [text for text in figure.findobj(Text) if text.get_text() and text.get_visible()]


def bars_of(figure):
    return [patch for patch in figure.axes[0].patches if isinstance(patch, Rectangle)]


@pytest.mark.parametrize("draw", ALL, ids=lambda draw: draw.__name__)
@pytest.mark.parametrize("which", ["tour", "nothing", "huge"])
def test_all_that_is_drawn_lies_within_and_no_words_overlap(draw, which, request):
    drawing = drawing_of(draw(request.getfixturevalue(which)))
    assert all(drawing.extent.holds(shape.rect, 0.3) for shape in drawing.shapes)
    words = [shape.rect.grown(-0.3) for shape in drawing.shapes if isinstance(shape, Words)]
    assert len(words) > 1
    assert not any(one.overlaps(other) for number, one in enumerate(words) for other in words[:number])


@pytest.mark.parametrize("draw", ALL, ids=lambda draw: draw.__name__)
def test_title_unit_and_type(draw, tour):
    figure = draw(tour)
    title = figure.texts[0]
    assert title.get_text()
    assert "Bold" in title.get_fontproperties().get_file()
    label = figure.axes[0].get_xlabel()
    assert any(unit in label for unit in ("faults per check", "faults per show", "confirmed faults", "checks of the"))
    assert all(text.get_fontsize() >= 6.5 for text in words_of(figure))


def test_pareto_counts_what_happened(tour):
    counts = Counter(fault.item for fault in tour.tally.faults)
    drawn = [bar.get_width() for bar in bars_of(figures.pareto_by_item(tour))]
    assert drawn == sorted(counts.values(), reverse=True)[: len(drawn)]
    kinds = Counter(fault.kind for fault in tour.tally.faults)
    assert [bar.get_width() for bar in bars_of(figures.pareto_by_kind(tour))] == sorted(kinds.values(), reverse=True)


def test_pareto_says_what_part_of_all(tour):
    said = [text.get_text() for text in words_of(figures.pareto_by_kind(tour))]
    assert "100 %" in said
    assert any(f"of the {len(tour.tally.faults)} faults" in text for text in said)


def test_rates_are_those_of_the_items(tour):
    figure = figures.rates(tour)
    dots = [line for line in figure.axes[0].lines if line.get_marker() == "o"]
    worst = tour.items[: figures.WORST]
    assert [line.get_xdata()[0] for line in dots] == [row.rate for row in worst]
    ends = [tuple(line.get_xdata()) for line in figure.axes[0].lines if line.get_linewidth() == 1.2]
    assert ends[0] == (worst[0].low, worst[0].high)
    labels = [text.get_text() for text in figure.axes[0].get_yticklabels()]
    assert labels == [row.life.item for row in worst]


@pytest.mark.closed_form
def test_axis_of_rates_is_level_for_rates_near_each_other_else_logarithmic():
    near = analysed(Tally(tuple(Life(f"A.{n}", "cable", 50, (1,) * 10) for n in range(4))))
    assert figures.rates(near).axes[0].get_xscale() == "linear"
    apart = (Life("A.1", "cable", 1000, (1,)), Life("A.2", "box", 20, (1,) * 15))
    assert figures.rates(analysed(Tally(apart))).axes[0].get_xscale() == "log"


def test_lives_show_each_check_and_each_fault(tour):
    figure = figures.lives(tour)
    rows = [row.life for row in tour.items if row.life.faults][:12]
    marks = [line for line in figure.axes[0].lines if line.get_marker() == "D"]
    assert len(marks) == sum(len(set(life.faults)) for life in rows)
    ticks = sum(len(one.get_segments()) for one in figure.axes[0].collections)
    assert ticks == sum(life.exposures for life in rows)


@pytest.mark.parametrize("shows", [30, 400])
def test_in_grey_confirmed_and_never_confirmed_are_told_apart(shows):
    """Pixels of the picture in grey: full bars are dark, hollow ones bright inside, however many shows there are."""
    checks = tuple(_check("A", f"N{number}", f"{2000 + number:04}-03-01") for number in range(shows))
    faults = tuple(_fault(f"{one.date}T20:00:00.000Z", one.show) for one in checks[: shows // 2])
    lines = tuple(Unconfirmed("in 1", f"{one.date}T14:00:00.000Z", "A", one.show, None, "JD") for one in checks[-8:])
    figure = figures.by_show(analysed(Tally((), faults, lines, checks)))
    figure.set_dpi(200)
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    grey = np.asarray(canvas.buffer_rgba())[..., :3] @ (0.299, 0.587, 0.114) / 255

    def inside(bar):
        box = bar.get_window_extent()
        return grey[round(len(grey) - (box.y0 + box.y1) / 2), round((box.x0 + box.x1) / 2)]

    first, last = bars_of(figure)[0], bars_of(figure)[-1]
    assert inside(first) < 0.4
    assert inside(last) > 0.9
    assert sum(bar.get_height() for bar in bars_of(figure)) == len(faults) + len(lines)


def test_many_shows_share_bars_and_it_is_said():
    checks = tuple(_check("A", f"N{number}", f"{2000 + number:04}-03-01") for number in range(401))
    figure = figures.by_show(analysed(Tally((), (_fault("2000-03-01T20:00:00.000Z", "N0"),), (), checks)))
    said = " ".join(text.get_text() for text in words_of(figure))
    assert "Faults in every 5 shows, in the order of the tour" in said
    assert "The last bar is of 1 only." in said
    assert "faults per 5 shows" in said


def _check(rig, show, date):
    return CheckDone(rig, show, "Hall", date, f"{date}T13:00:00.000Z", 10, 1, 9.0, ("JD",))


def _fault(at, show="Night", rig="A"):
    return FaultMade("A.1", "cable", at, rig, show, "", "JD", "swapped", None, (), (), None, False)


def test_a_fault_counts_for_the_show_before_it():
    checks = tuple(_check("A", "Night", f"2031-03-{day:02}") for day in (1, 2, 3))
    faults = (
        _fault("2031-03-02T20:00:00.000Z"),
        _fault("2031-03-03T01:00:00.000Z"),
        _fault("2031-02-01T01:00:00.000Z"),
    )
    open_line = Unconfirmed("in 1", "2031-03-03T14:00:00.000Z", "A", "Night", None, "JD")
    shows = figures.shows_of(Tally((), faults, (open_line,), checks))
    assert [(one.date, one.confirmed, one.unconfirmed) for one in shows] == [
        ("2031-03-01", 1, 0),
        ("2031-03-02", 2, 0),
        ("2031-03-03", 0, 1),
    ]


def test_a_fault_at_a_show_without_a_check_is_not_lost():
    shows = figures.shows_of(Tally((), (_fault("2031-03-02T20:00:00.000Z", "Rehearsal"),), (), ()))
    assert [(one.show, one.date, one.confirmed) for one in shows] == [("Rehearsal", "2031-03-02", 1)]


def test_shows_add_up_to_all_faults(tour):
    shows = figures.shows_of(tour.tally)
    assert sum(one.confirmed for one in shows) == len(tour.tally.faults)
    assert sum(one.unconfirmed for one in shows) == len(tour.tally.unconfirmed)
    height = sum(bar.get_height() for bar in bars_of(figures.by_show(tour)))
    assert height == len(tour.tally.faults) + len(tour.tally.unconfirmed)


def test_colours_differ_in_grey():
    def grey(colour):
        return sum(part * weight for part, weight in zip(to_rgb(colour), (0.299, 0.587, 0.114), strict=True))

    assert grey(LIGHT.ground) - grey(LIGHT.quiet) > 0.6
    assert grey(LIGHT.ground) - grey(LIGHT.faulty) > 0.6


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("name", ["A.$x$_{1}^2", "A." + "W" * 80, "A.電線", "A.\n\t"])
def test_a_name_of_any_kind_is_shown_as_it_is(name):
    life = Life(name, "cable", 5, (1, 2))
    figure = figures.lives(analysed(Tally((life,))))
    drawing = drawing_of(figure)
    assert all(drawing.extent.holds(shape.rect, 0.3) for shape in drawing.shapes)
    said = [shape.text for shape in drawing.shapes if isinstance(shape, Words)]
    assert any(text.startswith("A.") for text in said)
    assert "$" not in name or name in said


def test_one_item_and_one_fault(tour):
    life = Life("A.1", "cable", 1, (1, 1))
    history = analysed(Tally((life,)))
    assert all(drawing_of(draw(history)).shapes for draw in ALL)
    assert "2" in [text.get_text() for text in words_of(figures.lives(history))]


def test_matplotlib_is_used_by_its_objects_only():
    program = "import sys; from checkapp.history import figures; print('matplotlib.pyplot' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, cwd=ROOT)
    assert done.stdout.strip() == "False"


def test_other_inks(tour):
    inks = replace(LIGHT, ground="#0F1214")
    assert figures.rates(tour, inks).get_facecolor()[:3] == to_rgb("#0F1214")
    assert all(isinstance(line, Line2D) for line in figures.rates(tour, inks).axes[0].lines)


@pytest.mark.parametrize(
    ("most", "ticks"),
    [(1, [0, 1]), (6, [0, 1, 2, 3, 4, 5, 6]), (9, [0, 2, 4, 6, 8]), (10171, [0, 2000, 4000, 6000, 8000, 10000])],
)
def test_whole_ticks(most, ticks):
    assert whole_ticks(most) == ticks


def test_names_from_right_to_left_come_turned_to_the_screen(monkeypatch):
    from matplotlib.backends.backend_agg import RendererAgg
    from matplotlib.figure import Figure

    from checkapp.history.figure_pixels import pixels_of

    handed = []
    monkeypatch.setattr(
        RendererAgg, "draw_text", lambda _self, _gc, _x, _y, words, *_more, **_named: handed.append(words)
    )
    figure = Figure(figsize=(2, 1))
    figure.text(0.1, 0.3, "QN.\u05d0\u05d1\u05d2")
    width, height, pixels = pixels_of(figure, 4.0)
    assert handed == ["QN.\u05d2\u05d1\u05d0"]
    assert (width, height, len(pixels)) == (203, 102, 4 * 203 * 102)


@pytest.mark.parametrize("width", [80.0, 120.0, 186.0, 250.0])
def test_all_words_of_a_figure_lie_within_it_whatever_its_width(tour, width):
    for figure in figures.all_figures(tour, replace(LIGHT, width=width)):
        figure.draw_without_rendering()
        within = figure.bbox.padded(2)
        for text in figure.findobj(Text):
            if text.get_visible() and text.get_text():
                box = text.get_window_extent()
                assert within.x0 <= box.x0 and box.x1 <= within.x1, (width, text.get_text())


@pytest.mark.parametrize("width", [80.0, 186.0])
def test_the_advice_is_whole_in_german_too(tour, width):
    with tongue.speaking("de"):
        figure = figures.rates(tour, replace(LIGHT, width=width))
    said = [text for text in words_of(figure) if " von " in text.get_text()]
    assert len(said) == min(len([row for row in tour.items if row.rate is not None]), figures.WORST)
    ends = ("ausmustern", "auf die Werkbank", "behalten")
    assert all(text.get_text().replace("\n", " ").endswith(ends) for text in said)
    assert any("\n" in text.get_text() for text in said) == (width < NARROW)
    figure.draw_without_rendering()
    boxes = sorted((text.get_window_extent() for text in said), key=lambda box: box.y0)
    assert all(low.y1 <= high.y0 + 1 for low, high in itertools.pairwise(boxes))
    assert all(box.x1 <= figure.bbox.x1 + 2 for box in boxes)
