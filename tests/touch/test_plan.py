"""The picture under real fingers: taps at every zoom, pinch, drag, wheel, keys, the way back to the whole."""

import pytest


@pytest.fixture(params=[(1280, 800), (800, 1280), (360, 640)], ids=lambda size: f"{size[0]}x{size[1]}")
def screen(request, hand, build, views):
    hand.size(*request.param)
    return build("picture", views["picture"][1])


@pytest.fixture
def plan(screen):
    return screen.ids.plan


def place_of(plan, item):
    """The middle of an item in the window."""
    spot = next(spot for spot in plan.view.drawing.spots if spot.item == item)
    x, y = plan.look.at(spot.rect.middle)
    return plan.x + x, plan.y + y


def bring(plan, hand, item):
    """Drag an item to the middle of the plan, as far as it goes, and give its place."""
    x, y = place_of(plan, item)
    drag(plan, hand, plan.center, (plan.center_x * 2 - x, plan.center_y * 2 - y))
    return place_of(plan, item)


def same(one, other):
    return (one.scale, one.right, one.up) == pytest.approx((other.scale, other.right, other.up))


def finger(x, y):
    from kivy.tests.common import UnitTestTouch

    return UnitTestTouch(x, y)


def drag(plan, hand, start, end):
    touch = finger(*start)
    touch.touch_down()
    for step in range(1, 9):
        touch.touch_move(*(a + (b - a) * step / 8 for a, b in zip(start, end, strict=True)))
    touch.touch_up()
    hand.frames(2)


def rest(hand, seconds=0.4):
    """Wait until a tap can no longer become the first of two."""
    from kivy.clock import Clock

    end = Clock.get_time() + seconds
    hand.until(lambda: Clock.get_time() > end, "time to pass")


BOXES = ("RIGHT", "LEFT", "FAR", "DROP", "KEYS", "DRUM", "BRASS", "STRINGS")


@pytest.mark.parametrize("steps", [0, 1, 3])
def test_a_tap_on_a_box_opens_its_card_at_every_zoom(plan, hand, calls, steps):
    for _ in range(steps):
        plan.zoom(1.5)
    boxes = BOXES if not steps else BOXES[steps::3]
    for box in boxes:
        x, y = bring(plan, hand, box)
        hand.tap_at(plan, x, y)
        rest(hand, 0.32 if steps else 0.0)
    assert calls.made == [("card", box) for box in boxes]


def test_every_box_of_the_whole_picture_is_a_target_of_48_dp(plan, hand, calls):
    """Right beside the middle, 20 dp up, down, left and right, where no other thing lies."""
    from checkapp.page.rect import Rect

    rects = [spot.rect.moved(plan.look.scale, plan.look.right, plan.look.up) for spot in plan.view.drawing.spots]
    boxes = {spot.item: rect for spot, rect in zip(plan.view.drawing.spots, rects, strict=True) if spot.item in BOXES}
    asked = []
    for box, rect in boxes.items():
        for right, up in ((20, 0), (-20, 0), (0, 20), (0, -20)):
            x, y = rect.middle[0] + right, rect.middle[1] + up
            crowded = any(other is not rect and other.overlaps(Rect(x - 24, y - 24, x + 24, y + 24)) for other in rects)
            if not crowded:
                asked.append(("card", box))
                hand.tap_at(plan, plan.x + x, plan.y + y)
    assert asked
    assert calls.made == asked


def test_cables_and_supplies_have_cards_too_and_bare_stage_has_none(plan, hand, calls):
    for item in ("HP11", "PWR2"):
        hand.tap_at(plan, *place_of(plan, item))
    hand.tap_at(plan, plan.x + 2, plan.y + 2)
    assert calls.made == [("card", "HP11"), ("card", "PWR2")]


def test_two_fingers_zoom_about_their_middle(plan, hand, calls):
    whole = plan.look
    x, y = place_of(plan, "LEFT")
    one, other = finger(x - 20, y), finger(x + 20, y)
    one.touch_down()
    other.touch_down()
    for step in range(1, 11):
        one.touch_move(x - 20 - 2 * step, y)
        other.touch_move(x + 20 + 2 * step, y)
    one.touch_up()
    other.touch_up()
    hand.frames(2)
    assert plan.look.scale == pytest.approx(min(2 * whole.scale, plan.most), rel=0.01)
    assert place_of(plan, "LEFT") == pytest.approx((x, y), abs=plan.width / 4)
    rest(hand)
    assert calls.made == []


def test_what_is_painted_is_where_it_is_looked_for_while_fingers_move_and_after(plan, hand):
    """The painted plate of a box and its spot are the same place on the screen, before and after it is painted anew."""

    def painted(x, y):
        sx, sy = plan._stretch.xyz[:2]
        return plan._shift.x + x * sx, plan._shift.y + y * sy

    plan.zoom(1.7)
    spot = next(spot for spot in plan.view.drawing.spots if spot.item == "DRUM")
    for wait in (0.0, 0.4):
        rest(hand, wait)
        assert painted(*plan._painted.at(spot.rect.middle)) == pytest.approx(place_of(plan, "DRUM"), abs=0.01)
    assert plan._painted == plan.look


def test_a_finger_drags_the_picture_and_opens_nothing(plan, hand, calls):
    plan.zoom(2.0)
    x, y = bring(plan, hand, "LEFT")
    before = plan.look
    drag(plan, hand, (x, y), (x - 30, y + 24))
    assert (plan.look.right, plan.look.up) != (before.right, before.up)
    assert plan.look.scale == before.scale
    rest(hand)
    assert calls.made == []


def test_the_whole_cannot_be_dragged_away(plan, hand):
    whole = plan.look
    drag(plan, hand, plan.center, (plan.center_x + 90, plan.center_y + 90))
    assert same(plan.look, whole)


def test_two_taps_bring_back_the_whole_and_open_nothing(plan, hand, calls):
    whole = plan.look
    plan.zoom(2.0)
    for _ in range(2):
        touch = finger(*place_of(plan, "LEFT") if plan.collide_point(*place_of(plan, "LEFT")) else plan.center)
        touch.touch_down()
        touch.touch_up()
    hand.frames(2)
    assert same(plan.look, whole)
    rest(hand)
    assert calls.made == []


def test_the_wheel_zooms_about_the_pointer(plan, hand):
    whole = plan.look
    x, y = place_of(plan, "LEFT")
    for button, larger in (("scrolldown", True), ("scrollup", False)):
        before = plan.look.scale
        wheel = finger(x, y)
        wheel.profile = ["pos", "button"]
        wheel.button = button
        wheel.touch_down()
        wheel.touch_up()
        assert (plan.look.scale > before) == larger
    assert plan.look.scale == pytest.approx(whole.scale)


def test_buttons_and_keys_zoom_and_bring_back_the_whole(screen, plan, hand):
    whole = plan.look
    hand.tap(screen.ids.closer)
    assert plan.look.scale > whole.scale
    closer = plan.look.scale
    assert screen.key(ord("+"))
    assert plan.look.scale > closer
    assert screen.key(ord("-"))
    hand.tap(screen.ids.farther)
    assert plan.look.scale == pytest.approx(whole.scale)
    hand.tap(screen.ids.closer)
    hand.tap(screen.ids.whole)
    assert same(plan.look, whole)


def test_zoom_ends_where_codes_are_large(plan):
    for _ in range(20):
        plan.zoom(1.5)
    assert plan.look.scale == pytest.approx(max(plan.most, plan.place.whole().scale))


def test_the_picture_follows_the_colour_set(plan, hand):
    from checkapp.touch.theme import theme

    def seen():
        return plan.export_as_image().texture.pixels

    drawn = []
    for name in ("dark", "light", "dim"):
        theme.name = name
        hand.frames(6)
        drawn.append(seen())
    assert len(set(drawn)) == 3


def test_another_rig_is_shown_whole(plan, screen, hand, views):
    plan.zoom(3.0)
    screen.view = views["picture, many"][1]
    hand.frames(4)
    assert plan.place.is_whole(plan.look)


def test_the_list_beside_it_has_findings_by_number_and_what_strokes_mean(screen, views):
    from checkapp.touch.widgets.rows import RowList

    (listed,) = [w for w in screen.walk() if isinstance(w, RowList)]
    view = views["picture"][1]
    assert [row["word"][0] for row in listed.data if row["kind"] == "ListedFinding"] == list("12345")
    assert [row["text"].split()[0] for row in listed.data if row["kind"] == "ListedKey"] == [
        "FRONT",
        "BACK",
        "multicore",
    ]
    assert view.caution.startswith("Mains")
    (line,) = [w for w in screen.walk() if getattr(w, "text", "") == view.caution and hasattr(w, "status")]
    assert line.status == "look"
