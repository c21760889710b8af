"""The smallest set of boxes to put on supplies of their own, against trying every set."""

import random
from itertools import combinations

import pytest

from checkapp.review.link import LinkLimits, Station, sources_of
from checkapp.review.remedy.sets import sets_of, smallest_set

LIMITS = LinkLimits(48.0, 1.4, 0.5)
KINDS = [(8.0, 30.0), (14.0, 36.0), (14.0, None), (25.0, 40.0)]


def random_source(seed, most=7):
    """A source of up to seven boxes of a few kinds, some of which would repower, some on a supply already."""
    chance = random.Random(seed)
    stations = []
    for k in range(chance.randint(1, most)):
        draw_w, min_volts = chance.choice(KINDS)
        may_start, supplied = chance.random() < 0.25, chance.random() < 0.15
        if supplied or chance.random() < 0.1:
            draw_w = 0.0
        ohm = chance.choice([0.5, 2.0, 6.0])
        stations.append(Station(f"SB{k + 1}", ohm, draw_w, min_volts, supplied and may_start, may_start))
    return sources_of("chain A", LIMITS, stations)[0]


def works(source, chosen):
    stations = [station.on_supply() if station.code in chosen else station for station in source.stations]
    return all(part.is_clean() for part in sources_of("", source.limits, stations))


def fewest(source):
    """Every set, smallest first."""
    codes = [station.code for station in source.stations if not station.starts]
    return next(
        count for count in range(len(codes) + 1) if any(works(source, chosen) for chosen in combinations(codes, count))
    )


@pytest.mark.independent
@pytest.mark.parametrize("block", range(6))
def test_no_smaller_set_works_and_this_one_does(block):
    failing = 0
    for seed in range(60 * block, 60 * block + 60):
        source = random_source(seed)
        remedy = smallest_set(source)
        assert remedy.smallest
        assert works(source, remedy.boxes), seed
        assert len(remedy.boxes) == fewest(source), seed
        failing += not source.is_clean()
    assert failing > 15


@pytest.mark.closed_form
def test_a_clean_source_needs_nothing():
    (source,) = sources_of("chain A", LIMITS, [Station("SB1", 0.5, 8.0, 30.0)])
    assert smallest_set(source).boxes == ()


@pytest.mark.closed_form
def test_of_boxes_alike_the_farthest_goes_first():
    stations = [Station(f"SB{k}", 2.0, 22.0, 30.0) for k in (1, 2, 3, 4, 5)]
    (source,) = sources_of("chain A", LIMITS, stations)
    assert smallest_set(source).boxes == ("SB3", "SB4", "SB5")


@pytest.mark.closed_form
def test_one_box_that_repowers_may_be_enough():
    stations = [Station("SB1", 1.0, 28.0), Station("SB2", 1.0, 28.0)]
    hub = Station("HUB", 1.0, 0.0, None, may_start=True)
    far = [Station("SB3", 1.0, 28.0), Station("SB4", 1.0, 28.0)]
    (source,) = sources_of("chain A", LIMITS, [*stations, hub, *far])
    assert not source.is_clean()
    assert smallest_set(source).boxes == ("HUB",)


@pytest.mark.independent
def test_when_the_search_is_cut_short_the_set_works_and_is_not_called_smallest():
    cut_short = 0
    for seed in range(120):
        source = random_source(seed)
        remedy = smallest_set(source, most_work=10)
        assert works(source, remedy.boxes), seed
        if remedy.smallest:
            assert len(remedy.boxes) == fewest(source), seed
        cut_short += not remedy.smallest
    assert cut_short > 20


def test_a_chain_of_very_many_kinds_is_answered():
    stations = [Station(f"SB{k}", 0.2, 2.0 + k / 100, 30.0) for k in range(60)]
    (source,) = sources_of("chain A", LIMITS, stations)
    remedy = smallest_set(source)
    assert works(source, remedy.boxes)
    assert not remedy.smallest
    assert remedy.boxes == tuple(f"SB{k}" for k in range(60 - len(remedy.boxes), 60))


@pytest.mark.independent
@pytest.mark.parametrize("block", range(4))
def test_of_every_size_a_set_works_if_any_works(block):
    """Also when only some of the boxes may be chosen, and beyond the smallest size."""
    passed_over = 0
    for seed in range(60 * block, 60 * block + 60):
        source = random_source(seed)
        chance = random.Random(seed)
        alike = {one.code: (one.draw_w, one.min_volts) for one in source.stations if chance.random() < 0.8}
        free = [one for one in source.stations if one.code in alike and not one.starts]
        worth = [one.code for one in free if one.draw_w or one.may_start]
        for size in range(len(worth) + 1):
            sets = list(sets_of(source.stations, size, alike))
            every = list(combinations(worth, size))
            assert {frozenset(one) for one in sets} <= {frozenset(one) for one in every}, seed
            assert any(works(source, one) for one in sets) == any(works(source, one) for one in every), seed
            passed_over += len(every) - len(sets)
    assert passed_over > 20


@pytest.mark.closed_form
def test_a_box_that_starts_a_source_parts_what_is_before_it_from_what_is_behind():
    """1.4 A at 48 V are 67 W: of five boxes of 28 W two remain on each side, so one before the hub has to go."""
    near, far = ([Station(f"SB{k}", 0.1, 28.0) for k in numbers] for numbers in ((1, 2, 3), (4, 5)))
    (source,) = sources_of("chain A", LIMITS, [*near, Station("HUB", 0.1, 0.0, None, may_start=True), *far])
    alike = {station.code: "alike" for station in source.stations}
    assert [one for one in sets_of(source.stations, 2, alike) if works(source, one)] == [("HUB", "SB3")]
    assert smallest_set(source).boxes == ("SB3", "HUB")
