"""The history and an item's life: what is shown, and where each tap leads."""

import history_samples


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
    assert calls.made == [("history", "box"), ("rigs",)]


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
