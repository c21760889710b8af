"""What can be wrong with how a screen is laid out, found by looking at every widget that can be seen."""

SIZES = [(1280, 800), (800, 1280), (360, 640), (640, 360)]
"""Tablet and phone, each both ways, in dp."""
TROUBLE = (
    "in 17 silent is not saved yet: the journal cannot be written",
    "look whether its disk is full, shut or unplugged; it is kept and tried again. 11 more wait behind it.",
)
INKS = ("text", "quiet", "ok", "faulty", "look", "next")
"""The colours of words on the ground and on panels; their contrast on both is tested."""
LEAST_TYPE_DP = 10.0
"""Smaller than this nothing is read, whatever the type scale."""


def window_of(size, density, type_scale):
    """A window's size in pixels; a phone that lies down is larger where its type is."""
    wide, high = (740, 480) if size == (640, 360) and type_scale > 1 else size
    return int(wide * density), int(high * density)


def frames(count):
    """Let frames pass; nothing is drawn."""
    from kivy.clock import Clock
    from kivy.lang import Builder

    for _ in range(count):
        Clock.tick()
        Builder.sync()
        Clock.tick_draw()
        Builder.sync()


def lay_out(window, wide_and_high):
    """Give the window a size and let it lay out what it holds."""
    window.size = wide_and_high
    frames(2)


def begin(hand, look, density):
    """An empty window at a density; what is built from now on has this look. Nothing is drawn."""
    from kivy.metrics import Metrics

    from checkapp.touch.settings_moves import take_up

    hand.drawing = False
    hand.clear()
    Metrics.density = density
    take_up(look)


def pages_with(hand, moves, screen, view):
    """The window with a screen in it, and all that stands around it."""
    from checkapp.touch.pages import Pages

    pages = Pages()
    pages.moves = moves
    hand.show(pages)
    pages.show(screen, view)
    return pages


def put_over(pages, dialog):
    """Put the banner, the strip of what is not saved or the strip of places over what is shown; what was put there."""
    pages.say(TROUBLE if dialog == "banner" else ())
    pages.unsaved(" ".join(TROUBLE) if dialog == "strip" else "")
    if dialog == "places":
        pages.unfold()
    frames(4)
    return {"banner": pages.banner, "strip": pages.strip, "places": pages.guide.places}[dialog]


def seen(parent):
    """The children that can be seen."""
    return [child for child in parent.children if child.opacity > 0 and child.width > 0 and child.height > 0]


def shown(root):
    """The widgets under ``root`` that can be seen."""
    for child in seen(root):
        yield child
        yield from shown(child)


def scrolled(widget, root):
    """Whether a widget stands in something that scrolls."""
    from kivy.uix.scrollview import ScrollView

    while widget is not root and widget is not None:
        widget = widget.parent
        if isinstance(widget, ScrollView):
            return True
    return False


def shown_where(root, scrolls=False):
    """The same, each with whether it stands in something that scrolls."""
    from kivy.uix.scrollview import ScrollView

    scrolls = scrolls or isinstance(root, ScrollView)
    for child in seen(root):
        yield child, scrolls
        yield from shown_where(child, scrolls)


def overlap(one, other):
    wide = min(one.right, other.right) - max(one.x, other.x)
    high = min(one.top, other.top) - max(one.y, other.y)
    return wide > 1 and high > 1


def named(widget):
    """A widget with its words, its size and its place in dp, so that it is found again."""
    from kivy.metrics import Metrics

    words = getattr(widget, "text", "") or getattr(widget, "word", "") or getattr(widget, "title", "")
    x, y = (round(part / Metrics.density) for part in widget.pos)
    wide, high = (round(part / Metrics.density) for part in widget.size)
    return f"{type(widget).__name__} {words[:60]!r} {wide}x{high} at {x},{y}"


def sticking_out(parent):
    """Children that are not wholly inside their parent; of what scrolls only those that are wider than it."""
    from kivy.uix.relativelayout import RelativeLayout
    from kivy.uix.scrollview import ScrollView

    children = seen(parent)
    if isinstance(parent, ScrollView):
        wide = [child for child in children if not parent.do_scroll_x and child.width > parent.width + 1.5]
        return [f"{named(child)} is wider than {named(parent)}" for child in wide]
    x, y = (0, 0) if isinstance(parent, RelativeLayout) else parent.pos
    return [
        f"{named(child)} sticks out of {named(parent)}"
        for child in children
        if child.x < x - 1.5
        or child.y < y - 1.5
        or child.right > x + parent.width + 1.5
        or child.top > y + parent.height + 1.5
    ]


def lying_over(parent):
    """Children that lie over one another."""
    children = seen(parent)
    if len(children) < 2:
        return []
    boxes = sorted((child.y, child.top - 1, number) for number, child in enumerate(children))
    found = []
    for place, (_y, top, number) in enumerate(boxes):
        for y, _top, other in boxes[place + 1 :]:
            if y >= top:
                break
            if overlap(children[number], children[other]):
                found.append(f"{named(children[number])} over {named(children[other])}")
    return found


def letters(text):
    return "".join(text.split())


def drawn(label):
    """The letters that are drawn: fewer than there are where lines are left out or the text ends in dots."""
    return letters("".join(word.text for line in label._label._cached_lines for word in line.words))


def of_words(label, may_end_in_dots):
    """Faults of a label: words that do not fit or are cut, type too small."""
    from kivy.metrics import dp

    wide, high = label.texture_size
    if wide > label.width + 1 or high > label.height + 1:
        yield f"words of {round(wide)}x{round(high)} px in {named(label)}"
    if may_end_in_dots not in label.text and drawn(label) != letters(label.text):
        yield f"only {drawn(label)!r} is drawn of {named(label)}"
    if label.font_size < dp(LEAST_TYPE_DP) - 0.1:
        yield f"type of {label.font_size / dp(1):.1f} dp in {named(label)}"


def of_hint(field, may_be_cut):
    """Faults of an empty place to type: what stands there until something is typed is cut."""
    from checkapp.touch.measure import width_of

    room = field.width - field.padding[0] - field.padding[2]
    if not field.text and may_be_cut not in field.hint_text and width_of(field.hint_text, field.font_size) > room:
        yield f"the hint {field.hint_text!r} is cut in {named(field)}"


def of_colour(label):
    """Faults of a label's colour: it is not one of those whose contrast is known."""
    from checkapp.touch.theme import theme

    name = next((one for one in (*INKS, "ground", "ink") if getattr(theme, one) == label.color), "")
    if not name:
        yield f"colour {label.color} is not of the set: {named(label)}"
    if name == "ink" and not hasattr(label, "room_px"):
        yield f"ink that stands on no tape: {named(label)}"
    if name == "ground" and getattr(label, "state", "normal") != "down":
        yield f"the colour of the ground on what is not tapped: {named(label)}"


def of_target(widget):
    """Faults of what is tapped: 48 dp at least, 64 dp for gloves; a main action is 120 dp high, or 120 dp wide and as
    high as a row."""
    from kivy.metrics import dp

    from checkapp.touch.theme import theme
    from checkapp.touch.widgets.buttons import MainButton

    least = dp(64 if theme.gloves else 48) - 0.5
    if min(widget.size) < least:
        yield f"target too small: {named(widget)}"
    if isinstance(widget, MainButton) and (max(widget.size) < dp(120) - 0.5 or min(widget.size) < dp(64) - 0.5):
        yield f"main action too small: {named(widget)}"
    if widget.disabled and not getattr(widget, "why", "it is none of ours"):
        yield f"shut, and nobody says why: {named(widget)}"


def faults(root, may_end_in_dots, window):
    """Everything that is wrong with what is shown under ``root`` in the window.

    No text may be cut but for such as holds the words ``may_end_in_dots``, which are longer than any place.
    """
    from kivy.uix.behaviors.button import ButtonBehavior
    from kivy.uix.label import Label
    from kivy.uix.textinput import TextInput

    found = sticking_out(root) + lying_over(root)
    for widget, scrolls in shown_where(root):
        if isinstance(widget, Label) and widget.text:
            found += [*of_words(widget, may_end_in_dots), *of_colour(widget)]
        if isinstance(widget, TextInput):
            found += of_hint(widget, may_end_in_dots)
        if isinstance(widget, ButtonBehavior | TextInput):
            found += of_target(widget)
        if not scrolls:
            (x, y), (right, top) = widget.to_window(*widget.pos), widget.to_window(widget.right, widget.top)
            if x < -1 or y < -1 or right > window.width + 1 or top > window.height + 1:
                found.append(f"outside the window: {named(widget)}")
        if widget.children:
            found += sticking_out(widget) + lying_over(widget)
    return found


def settled_faults(root, may_end_in_dots, window):
    """The same, once what takes more frames to find its place has had them."""
    found = faults(root, may_end_in_dots, window)
    for _ in range(3):
        if not found:
            break
        frames(2)
        found = faults(root, may_end_in_dots, window)
    return found
