"""200 random chains against another method: Kirchhoff's equations in the hops' amps, solved by scipy.optimize.root."""

import random
from dataclasses import replace

import numpy
import pytest
from scipy.optimize import root

from checkapp.review.power import Ladder, collapse_watts, solve

SHARES = (0.3, 0.7, 0.95, 0.99, 0.999, 0.9999)


def random_chain(seed):
    """Up to twelve boxes, some without a load, hops of very different lengths."""
    chance = random.Random(seed)
    count = chance.randint(1, 12)
    hops = tuple(chance.choice([0.02, 0.3, 3.0]) * chance.uniform(0.5, 2.0) for _ in range(count))
    loads = tuple(chance.choice([0.0, 1.0, 1.0, 1.0]) * chance.uniform(0.5, 20.0) for _ in range(count))
    if not any(loads):
        loads = (*loads[:-1], 5.0)
    return Ladder(chance.choice([24.0, 33.0, 48.0, 57.0]), chance.choice([0.0, 0.15, 1.0]), hops, loads)


def nodes(amps, volts, ohms):
    return volts - numpy.cumsum(ohms * amps)


def residuals(amps, volts, ohms, loads):
    """At each node: volts times the amps that stay there, less the watts drawn."""
    return nodes(amps, volts, ohms) * (amps - numpy.append(amps[1:], 0.0)) - loads


def by_root(ladder):
    """Volts on the upper solution, followed from light loads up to the full ones."""
    ohms = numpy.array(ladder.hop_ohms)
    ohms[0] += ladder.source_ohm
    full = numpy.array(ladder.draws_w)
    amps = numpy.cumsum((full / ladder.volts)[::-1])[::-1] * 0.1
    for share in (0.1, 0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 0.995, 0.998, 0.999, 0.9995, 0.9999, 1.0):
        found = root(residuals, amps, args=(ladder.volts, ohms, share * full), tol=1e-14)
        amps = found.x
    volts = nodes(amps, ladder.volts, ohms)
    assert numpy.abs(residuals(amps, ladder.volts, ohms, full)).max() < 1e-10 * full.sum()
    assert is_upper(volts, ohms, full)
    return volts


def is_upper(volts, ohms, loads):
    """On the upper solution, and on no other, the matrix of node conductances and loads is positive definite."""
    conductances = 1 / ohms
    matrix = numpy.diag(conductances + numpy.append(conductances[1:], 0.0) - loads / volts**2)
    matrix -= numpy.diag(conductances[1:], 1) + numpy.diag(conductances[1:], -1)
    return numpy.linalg.eigvalsh(matrix).min() > 0


@pytest.mark.independent
@pytest.mark.parametrize("block", range(8))
def test_200_random_chains_agree_to_a_microvolt(block):
    for seed in range(25 * block, 25 * block + 25):
        ladder = random_chain(seed)
        factor = SHARES[seed % len(SHARES)] * collapse_watts(ladder) / sum(ladder.draws_w)
        ladder = replace(ladder, draws_w=tuple(factor * load for load in ladder.draws_w))
        assert solve(ladder).volts == pytest.approx(by_root(ladder), abs=1e-6), seed


@pytest.mark.independent
@pytest.mark.parametrize("seed", range(1000, 1030))
def test_the_limit_agrees_with_the_fold_of_the_equations(seed):
    """At the limit the equations have a null vector: currents, null vector and scale are found together."""
    ladder = random_chain(seed)
    count = len(ladder.draws_w)
    ohms = numpy.array(ladder.hop_ohms)
    ohms[0] += ladder.source_ohm
    loads = numpy.array(ladder.draws_w) / sum(ladder.draws_w)
    limit = collapse_watts(ladder)

    def fold(x):
        amps, null, scale = x[:count], x[count:-1], x[-1]
        volts = nodes(amps, ladder.volts, ohms)
        staying, changes = amps - numpy.append(amps[1:], 0.0), null - numpy.append(null[1:], 0.0)
        tilt = volts * changes - numpy.cumsum(ohms * null) * staying
        return numpy.concatenate([volts * staying - scale * limit * loads, tilt, [null[0] - 1.0]])

    start = solve(replace(ladder, draws_w=tuple(0.9 * limit * loads)))
    guess = numpy.array(start.hop_amps)
    found = root(fold, numpy.concatenate([guess, guess / guess[0], [0.97]]), tol=1e-13)
    assert numpy.abs(found.fun).max() < 1e-8
    assert found.x[-1] == pytest.approx(1.0, rel=1e-9)
    at_limit = solve(replace(ladder, draws_w=tuple(limit * loads)))
    assert at_limit.volts == pytest.approx(nodes(found.x[:count], ladder.volts, ohms), abs=1e-6)
