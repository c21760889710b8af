"""The history and an item's life: what is shown, and where each tap leads."""

from dataclasses import replace

import history_samples

from checkapp.show.history_views import Chosen


def listed(screen):
    from checkapp.touch.widgets.rows import RowList

    (found,) = [w for w in screen.walk() if isinstance(w, RowList)]
    return found


def test_the_worst_item_stands_first_and_leads_to_its_life(build, hand, calls, views):
    for size in ((1280, 800), (800, 1280), (360, 640)):
        hand.size(*size)
        screen = build(*views["history"])
        rows = [row for row in listed(screen).data if row["kind"] == "ListedSuspect"]
        assert [(row["title"], row["percent"]) for row in rows] == [
            ("SM.XL90, retire", "7 of 30"),
            ("SM.XL01", "0 of 30"),
        ]
        hand.tap(next(b for b in hand.buttons(screen) if getattr(b, "title", "") == "SM.XL90, retire"))
        assert calls.made.pop() == ("life", "SM.XL90")


def test_a_kind_is_chosen_and_the_way_back_leads_to_the_rigs(build, hand, calls, views):
    screen = build(*views["history"])
    assert hand.button(screen, "cable").status == "next"
    hand.tap(hand.button(screen, "box"))
    hand.tap(hand.button(screen, "rigs"))
    assert calls.made == [("history_of", Chosen("box")), ("rigs",)]


def test_periods_and_a_show_are_one_tap_away_on_every_size(build, hand, calls, views):
    for size in ((1280, 800), (360, 640)):
        hand.size(*size)
        screen = build(*views["history"])
        assert hand.button(screen, "all time").status == "next"
        for word in ("30 days", "a show"):
            hand.tap(hand.button(screen, word))
        assert calls.made == [("history_of", Chosen("cable", period="30 days")), ("history_shows", "cable")]
        calls.made.clear()


def test_on_a_telephone_all_kinds_are_in_sight_or_a_bar_says_that_there_are_more(build, hand, views):
    hand.size(360, 640)
    screen = build(*views["history"])
    kinds = history_samples.HISTORY.kinds
    assert len({round(hand.reach(hand.button(screen, kind))[1]) for kind in kinds}) == 2
    screen.view = replace(history_samples.HISTORY, kinds=tuple(f"{kind} of all" for kind in kinds))
    hand.frames(4)
    strip = hand.button(screen, "cable of all").parent.parent.parent
    assert strip.viewport_size[0] > strip.width
    assert strip.hbar[1] < 1
    assert strip.bar_width > 0
    assert all(hand.button(screen, f"{kind} of all").height >= 48 for kind in kinds)


def test_the_show_that_is_looked_at_stands_at_the_top_and_a_kind_keeps_it(build, hand, calls, views):
    of_show = replace(history_samples.HISTORY, chosen=Chosen("cable", "Night 30"))
    screen = build("history", of_show)
    assert [hand.button(screen, word).status for word in ("all time", "a show")] == ["open", "next"]
    assert any(getattr(widget, "text", "") == "History, Night 30" for widget in screen.walk())
    hand.tap(hand.button(screen, "box"))
    assert calls.made == [("history_of", Chosen("box", "Night 30"))]


def test_a_show_of_the_list_is_chosen_for_the_same_kind(build, hand, calls, views):
    screen = build(*views["shows"])
    hand.tap(next(b for b in hand.buttons(screen) if getattr(b, "title", "") == "Night 29"))
    hand.tap(hand.button(screen, "history"))
    assert calls.made == [("history_of", Chosen("cable", "Night 29")), ("history_again",)]


def test_figures_are_asked_for_at_the_size_of_the_screen_in_its_colours(build, hand, calls, views):
    hand.size(360, 640)
    hand.tap(hand.button(build(*views["history"]), "figures"))
    hand.tap(hand.button(build(*views["life"]), "figures"))
    (history, chosen, look), (life, item, _) = calls.made
    assert (history, chosen, life, item) == ("history_figures", Chosen("cable"), "life_figure", "SM.XL90")
    assert look.width_mm * look.per_mm <= 344.5
    assert look.ground == "0F1214"


def test_figures_stand_pixel_for_pixel_and_lead_back_to_where_they_came_from(build, hand, calls, views):
    screen = build(*views["figures"])
    shown = screen.ids.pictures.children
    assert (
        [tuple(figure.texture.size) for figure in shown] == [tuple(figure.size) for figure in shown] == [(340, 150)] * 3
    )
    hand.tap(hand.button(screen, "history"))
    screen.view = replace(history_samples.FIGURES, item="SM.XL90", pictures=history_samples.FIGURES.pictures[:1])
    hand.frames(3)
    assert len(screen.ids.pictures.children) == 1
    hand.tap(hand.button(screen, "life"))
    assert calls.made == [("history_again",), ("life_again",)]


def test_figures_that_could_not_be_drawn_anew_say_so_and_are_tried_again_by_a_tap(build, hand, calls, views):
    screen = build(*views["figures"])
    title = history_samples.FIGURES.title
    assert (screen.ids.head.title, screen.ids.again.height) == (title, 0)
    screen.view = views["figures, missing"][1]
    hand.frames(3)
    assert screen.ids.head.title == "not drawn"
    hand.tap(hand.button(screen, "draw again"))
    ((name, view, _look),) = calls.made
    assert (name, view.missing, view.chosen) == ("figures_again", False, history_samples.FIGURES.chosen)
    assert screen.ids.head.title == "drawing"


def test_what_is_not_listed_is_told(build, views):
    words = [row["text"] for row in listed(build(*views["history"])).data if row["kind"] == "ListedWords"]
    assert "12 more items are in the report." in words
    assert history_samples.HISTORY.totals[0] in words


def test_a_life_says_what_is_advised_then_what_happened(build, hand, calls, views):
    screen = build(*views["life"])
    first, *others = listed(screen).data
    assert (first["kind"], first["words"], first["status"]) == (
        "ListedNotice",
        "retire: 7 faults in 30 checks",
        "faulty",
    )
    assert others[-1]["text"].startswith("2031-05-30 20:05")
    hand.tap(hand.button(screen, "history"))
    assert calls.made == [("history_again",)]
