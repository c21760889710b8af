"""A dozen rigs as Bayesian networks, answered by pyAgrum's exact inference."""

from itertools import product

import pyagrum
import pytest
from random_rigs import drawn

from checkapp.diagnose.posterior import diagnose
from checkapp.rig.words import SYMPTOMS


def network(rig):
    """A node an item, and a node a mark with the outcomes ok and the eight symptoms."""
    net = pyagrum.BayesNet("rig")
    nodes = {item: net.add(pyagrum.LabelizedVariable(f"{item.name} {item.kind}", "", 2)) for item in rig.world.items}
    for item, node in nodes.items():
        prior = rig.chances.prior_of(item)
        net.cpt(node).fillWith([1 - prior, prior])
    evidence = {}
    for number, (path, verdict, symptom) in enumerate(rig.evidence):
        mark = net.add(pyagrum.LabelizedVariable(f"mark {number}", "", 9))
        for item in path:
            net.addArc(nodes[item], mark)
        for states in product((0, 1), repeat=len(path)):
            given = {f"{item.name} {item.kind}": state for item, state in zip(path, states, strict=True)}
            net.cpt(mark)[given] = outcomes(rig, [item for item, state in zip(path, states, strict=True) if state])
        if verdict == "ok":
            evidence[mark] = [1.0] + [0.0] * 8
        else:
            evidence[mark] = [0.0] + [1.0 if symptom in (None, one) else 0.0 for one in SYMPTOMS]
    return net, nodes, evidence


def outcomes(rig, faulty):
    dull = 1.0
    for item in faulty:
        dull *= rig.chances.miss[item.kind]
    ok = (1 - rig.chances.false_alarm) * dull
    hear = [rig.chances.hear[item.kind] for item in faulty]
    means = [sum(row.get(s, 0.0) for row in hear) / len(hear) if hear else 1 / 8 for s in SYMPTOMS]
    caught = rig.chances.false_alarm + (1 - rig.chances.false_alarm) * (1 - dull)
    return [ok, *(caught * mean for mean in means)]


@pytest.mark.independent
@pytest.mark.parametrize("seed", range(7000, 7012))
def test_posteriors_are_those_of_the_network(seed):
    rig = drawn(seed)
    net, nodes, evidence = network(rig)
    inference = pyagrum.LazyPropagation(net)
    inference.setEvidence(evidence)
    inference.makeInference()
    for suspect in diagnose(rig.paths, rig.heard, rig.chances).suspects:
        right = inference.posterior(nodes[suspect.item])[1]
        assert suspect.probability == pytest.approx(right, abs=1e-9)
