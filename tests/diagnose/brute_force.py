"""The model written out over every set of faulty items: slow, plain, and shares no code with the package."""

from itertools import product

import numpy as np

ORDER = ["silent", "hum", "crackle", "low", "distorted", "polarity", "wrong line", "noisy"]
OUTCOMES = [("ok", None), *(("faulty", symptom) for symptom in ORDER)]


class World:
    """Every set of faulty ``items`` ((name, kind) each), a row a set.

    ``prior`` is by name, ``miss`` and ``hear`` by kind.
    """

    def __init__(self, items, false_alarm, prior, miss, hear):
        self.items = list(items)
        self.false_alarm, self.miss, self.hear = false_alarm, miss, hear
        self.sets = np.array(list(product((False, True), repeat=len(self.items))))
        chances = np.array([prior[name] for name, _ in self.items])
        self.weight = np.where(self.sets, chances, 1 - chances).prod(axis=1)

    def mark(self, path, verdict, symptom):
        """Chance of one mark, for every set."""
        on_path = np.array([item in set(path) for item in self.items])
        faulty = self.sets & on_path
        miss = np.array([self.miss[kind] for _, kind in self.items])
        ok = (1 - np.longdouble(self.false_alarm)) * np.where(faulty, miss, 1.0).prod(axis=1)  # 1 - ok may be 1e-9
        if verdict == "ok":
            return ok.astype(float)
        if symptom is None:
            return (1 - ok).astype(float)
        hear = np.array([self.hear[kind].get(symptom, 0.0) for _, kind in self.items])
        count = faulty.sum(axis=1)
        mean = np.where(count > 0, (faulty * hear).sum(axis=1) / np.maximum(count, 1), 1 / 8)
        return (1 - ok).astype(float) * mean

    def joint(self, evidence):
        """Weight of every set together with the evidence: (path, verdict, symptom) each."""
        weight = self.weight.copy()
        for path, verdict, symptom in evidence:
            weight = weight * self.mark(path, verdict, symptom)
        return weight

    def posterior(self, evidence):
        weight = self.joint(evidence)
        return dict(zip(self.items, (weight @ self.sets) / weight.sum(), strict=True))

    def none(self, evidence, wanted):
        """Probability that every item of ``wanted`` is good."""
        weight = self.joint(evidence)
        bad = self.sets[:, [item in wanted for item in self.items]].any(axis=1)
        return weight[~bad].sum() / weight.sum()

    def bits(self, evidence, kept, test_path, targets):
        """Expected drop of the targets' binary entropies by one more mark, on ``test_path``.

        ``kept`` is the evidence that still counts once that mark is made: a re-mark replaces the mark before it.
        """
        now, then = self.joint(evidence), self.joint(kept)
        columns = [item in targets for item in self.items]
        drop = entropies((now @ self.sets / now.sum())[columns])
        for outcome in OUTCOMES:
            mark = self.mark(test_path, *outcome)
            after = then * mark
            if after.sum() > 0:
                drop -= (now @ mark / now.sum()) * entropies((after @ self.sets / after.sum())[columns])
        return drop


def entropies(chances):
    chances = np.clip(chances, 0.0, 1.0)
    inner = chances[(chances > 0) & (chances < 1)]
    return float(-(inner * np.log2(inner) + (1 - inner) * np.log2(1 - inner)).sum())
