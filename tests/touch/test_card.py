"""The card on the screen, in the app's real type: at one glance, the right thing largest, nothing cut."""

from dataclasses import replace
from itertools import combinations

import pytest

from checkapp.journal import kinds, setup_kinds
from checkapp.rig.connections import connections
from checkapp.rig.planfile import load_plan
from checkapp.show.card_lookup import find_card
from checkapp.show.recording import Recorder, open_journal
from checkapp.show.running import swap_draft
from checkapp.show.setup_views import Answer, ScanView
from checkapp.touch.colours import SETS

WIDE = (1280, 800)
SIZES = [WIDE, (800, 1280), (360, 640)]
RIGHT = Answer("ok", "Correct box. HP14 B goes into STRINGS link in", "Link in is the socket towards the desk.")
WRONG = Answer(
    "faulty",
    "Wrong. HP02 A does not go into RIGHT link in",
    "HP02 A goes into RIGHT link out, Downstage right. Still open at RIGHT: HP01 B into RIGHT link in.",
)


@pytest.fixture(scope="module")
def demo():
    from checkapp.show import places

    return load_plan(places.shipped("plans") / "demo.toml")


@pytest.fixture(scope="module")
def busy(demo, tmp_path_factory):
    """A journal of a night on which much went on at BRASS, an eight-way box on mains."""
    with open_journal(tmp_path_factory.mktemp("log") / "journal.db") as journal:
        minutes = iter(range(1_935_000_000_000, 1_936_000_000_000, 60_000))
        recorder = Recorder(journal, demo, lambda: next(minutes))
        recorder.write(kinds.show("Night 1", date="2031-05-02"), "Night 1", "JD")
        check = recorder.need_check("Night 1", "JD")
        faulty = kinds.mark("in 12", "faulty", plan=demo.digest, check=check, symptom="hum")
        for draft in (
            setup_kinds.placed("BRASS"),
            setup_kinds.set_on("BRASS", "Onward power", "on"),
            setup_kinds.connected("HP13 B", ["BRASS link in"], "right"),
            setup_kinds.connected("LD07 A", ["BRASS in 2"], "ticked"),
            setup_kinds.connected("LD06 A", ["BRASS in 3"], "wrong"),
            swap_draft(demo, "HP14", "HP22"),
            faulty,
            kinds.repair("BRASS in 1", "reseat", cleared=True),
        ):
            recorder.write(draft, "Night 1", "JD")
        yield journal


@pytest.fixture
def full(demo, busy):
    """BRASS with findings, settings, cautions, history, connections right and wrong, and a line on each input."""
    card = find_card(demo, "BRASS", busy)
    assert card.findings
    assert len(card.history) >= 5
    assert len(card.cautions) == 2
    assert {one.status for one in card.connectors} == {"ok", "faulty", "open"}
    return card


def all_lines(demo, box):
    """A copy of the rig in which every port of a box has a line."""
    from checkapp.rig.change import with_tables

    taken = {line.port for line in demo.lines}
    free = [port for port in demo.ports(demo.boxes[box]) if port not in taken]
    ins = [line for line in demo.plan.input if line.port.startswith("DRUM ")][: len(free)]
    outs = [line for line in demo.plan.output if line.port.startswith(("LEFT ", "RIGHT "))]
    moved = {}
    for port in free:
        these = ins if " in " in port else outs
        moved[these.pop().line] = port
    tables = {
        name: [
            line.model_copy(update={"port": moved[line.line]}) if line.line in moved else line
            for line in getattr(demo.plan, name)
        ]
        for name in ("input", "output")
    }
    return with_tables(demo, **tables)


def texts(root):
    from checkapp.touch.widgets.card_body import CardTape, CardText

    return [widget for widget in root.walk(restrict=True) if isinstance(widget, CardText | CardTape)]


def fits(screen):
    return screen.ids.held.height <= screen.ids.all.height


def shown_over(hand):
    hand.frames(8)


# -- at one glance


def test_an_eight_way_box_with_all_there_can_be_on_it_needs_no_scrolling(hand, build, full):
    from checkapp.touch.theme import theme

    hand.size(*WIDE)
    screen = build("card", full)
    assert fits(screen), f"{screen.ids.held.height} px in {screen.ids.all.height} px"
    assert min(widget.font_size for widget in texts(screen.ids.body)) >= theme.body_px
    words = {widget.text for widget in texts(screen)}
    assert {"set on it", "power", "findings", "before", "link in", "link out"} <= words


def test_an_eight_way_box_with_a_line_on_every_port_needs_no_scrolling(hand, build, demo, busy):
    rig = all_lines(demo, "BRASS")
    card = replace(find_card(rig, "BRASS", busy), history=find_card(demo, "BRASS", busy).history)
    assert sum(1 for one in card.connectors if one.line) == 12
    hand.size(*WIDE)
    screen = build("card", card)
    assert fits(screen), f"{screen.ids.held.height} px in {screen.ids.all.height} px"


@pytest.mark.parametrize("answer", [RIGHT, WRONG])
def test_nor_does_it_under_the_answer_to_a_scan(hand, build, full, answer):
    hand.size(*WIDE)
    screen = build("card", ScanView(answer, full))
    shown_over(hand)
    assert fits(screen), f"{screen.ids.held.height} px in {screen.ids.all.height} px"


def test_every_thing_of_the_demo_rig_is_on_one_screen(hand, demo, window):
    from checkapp.touch.measure import line_height, width_of
    from checkapp.touch.widgets import run_fit
    from checkapp.touch.widgets.card_body import card_type
    from checkapp.touch.widgets.card_compose import Page
    from checkapp.touch.widgets.card_lead import head

    hand.size(*WIDE)
    kind, high = card_type(), {}
    for code in (*demo.items, *(one.subject for one in connections(demo)), *(line.line for line in demo.lines), "DESK"):
        card = find_card(demo, code, None)

        def run_high(width, size, card=card):
            written = run_fit.Type((size,), width_of, line_height)
            rows = written.rows(card.run, size, width)
            return written.height(rows, size) if len(rows) <= 2 else 0.0

        led = head(card, 1145.0, kind)[1]
        high[code] = Page(card, 1232.0, kind, run_high, led=led).laid(688.0).height
    assert {code: px for code, px in high.items() if px > 688.0} == {}


# -- the right thing largest


def test_the_answer_is_the_largest_type_on_the_screen(hand, build, demo):
    from kivy.uix.label import Label

    for size in SIZES:
        hand.size(*size)
        for code in ("STRINGS", "HP02 A", "in 17"):
            for answer in (RIGHT, WRONG):
                screen = build("card", ScanView(answer, find_card(demo, code, None)))
                shown_over(hand)
                said = screen.ids.answer.unbroken(answer.words)
                (words,) = [w for w in screen.ids.answer.walk() if isinstance(w, Label) and w.text == said]
                assert words.font_size >= max(widget.font_size for widget in texts(screen))
                assert screen.ids.answer.status == answer.status


def test_a_card_without_a_scan_has_no_answer_and_one_after_a_scan_forgets_it(hand, build, demo):
    card = find_card(demo, "STRINGS", None)
    screen = build("card", ScanView(RIGHT, card))
    assert screen.ids.answer.words == RIGHT.words
    screen.view = card
    hand.frames(6)
    assert screen.ids.answer.words == ""
    assert screen.ids.answer.height == 0
    assert screen.ids.head.below_px == 0


def test_the_two_chain_sockets_can_be_seen_without_scrolling_on_every_screen(hand, build, demo):
    for size in SIZES:
        hand.size(*size)
        screen = build("card", find_card(demo, "LEFT", None))
        for word in ("link in", "link out", "HP02 B", "HP03 A"):
            (widget,) = [w for w in texts(screen) if w.text == word]
            for y in (widget.y + 2, widget.top - 2):
                assert screen.ids.all.collide_point(*screen.ids.all.parent.to_widget(*widget.to_window(widget.x, y)))


def test_on_a_phone_what_it_is_and_where_it_goes_come_first(hand, build, demo):
    hand.size(360, 640)
    for code, first in (
        ("LEFT", "Downstage left, by the reading desk"),
        ("HP02 B", "LEFT link in"),
        ("PWR2", "feeds LEFT"),
    ):
        screen = build("card", find_card(demo, code, None))
        (head,) = texts(screen.ids.head)
        assert head.text == code
        assert max(texts(screen.ids.body), key=lambda widget: widget.top).text == first


# -- nothing cut, in every theme, at every scale


@pytest.mark.parametrize("scale", [(1.0, 1.0), (1.0, 1.5), (2.0, 1.5)], ids=str)
@pytest.mark.parametrize("size", SIZES, ids=str)
def test_words_fit_and_nothing_lies_over_anything_else(hand, build, demo, full, size, scale):
    from kivy.metrics import Metrics

    Metrics.density, Metrics.fontscale = scale
    hand.drawing = False
    hand.size(int(size[0] * scale[0]), int(size[1] * scale[0]))
    for code in ("BRASS", "LEFT", "DROP", "HP02 B", "LM01", "FN01 A", "DESK", "chain BACK", "PWR2", "in 40", "DI01"):
        card = full if code == "BRASS" else find_card(demo, code, None)
        for view in (card, ScanView(WRONG, card)):
            screen = build("card", view)
            hand.frames(4)
            for part in (screen.ids.head, screen.ids.body):
                seen = [w for w in part.children if w.width > 0 and w.height > 0]
                for widget in texts(part):
                    assert widget.texture_size[0] <= widget.width + 1, (code, widget.text)
                    assert widget.texture_size[1] <= widget.height + 1, (code, widget.text)
                for widget in seen:
                    assert widget.x >= part.x - 1.5, (code, widget)
                    assert widget.right <= part.right + 1.5, (code, widget)
                    assert widget.y >= part.y - 1.5, (code, widget)
                    assert widget.top <= part.top + 1.5, (code, widget)
                for one, other in combinations(seen, 2):
                    across = min(one.right, other.right) - max(one.x, other.x)
                    down = min(one.top, other.top) - max(one.y, other.y)
                    assert across <= 1 or down <= 1, (code, one, other)


def test_a_card_is_drawn_in_every_theme_and_follows_it(hand, build, full):
    from kivy.graphics import Color

    from checkapp.touch.theme import theme

    hand.size(*WIDE)
    screen = build("card", full)
    plates = {}
    for name in SETS:
        theme.name = name
        hand.frames(6)
        plates[name] = {tuple(i.rgba) for i in screen.ids.body.canvas.before.children if isinstance(i, Color)}
        assert tuple(theme.panel) in {tuple(round(v, 4) for v in c) for c in plates[name]} | plates[name]
    assert len({frozenset(colours) for colours in plates.values()}) == len(SETS)


def test_how_connections_stand_is_told_by_shape_and_word(hand, build, full):
    from checkapp.touch.widgets.mark import StatusMark

    hand.size(*WIDE)
    screen = build("card", full)
    marks = [w.status for w in screen.ids.body.walk() if isinstance(w, StatusMark)]
    words = [w.text for w in texts(screen.ids.body)]
    ok = sum(one.status == "ok" for one in full.connectors)
    wrong = sum(one.status == "faulty" for one in full.connectors)
    assert words.count("ok") == ok
    assert words.count("wrong") == wrong
    assert marks.count("ok") >= ok
    assert marks.count("faulty") >= wrong
    for one in full.connectors:
        assert one.status != "faulty" or one.said in words


# -- the way back


def test_a_card_leads_back_to_what_it_was_opened_from(hand, build, calls, demo):
    screen = build("card", find_card(demo, "LEFT", None))
    hand.tap(hand.button(screen, "picture"))
    screen.came_from = "set-up"
    hand.frames(3)
    hand.tap(hand.button(screen, "set-up"))
    assert screen.key(27)
    assert calls.made == [("under",)] * 3


def test_another_card_begins_at_its_top(hand, build, demo):
    hand.size(360, 640)
    screen = build("card", find_card(demo, "LEFT", None))
    screen.ids.all.scroll_y = 0.3
    screen.view = find_card(demo, "DRUM", None)
    assert screen.ids.all.scroll_y == 1


def test_findings_and_history_that_are_gone_are_gone_from_the_screen(hand, build, full):
    hand.size(*WIDE)
    screen = build("card", full)
    assert full.findings[0].message in [w.text for w in texts(screen)]
    screen.view = replace(full, findings=(), history=())
    hand.frames(6)
    assert not {"findings", "before"} & {w.text for w in texts(screen)}
