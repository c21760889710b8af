"""Small plans as text, read as a user's file is read."""

import runpy
from itertools import combinations
from pathlib import Path
from random import Random

import pytest

from checkapp.page.drawing import Mark, Plate, Words
from checkapp.page.fonts import measure
from checkapp.review.report import review
from checkapp.review.stage.plan import stage
from checkapp.rig.planfile import load_plan

HEAD = """
format = 1
[rig]
name = "Test rig"
owner = "TR"
"""


@pytest.fixture
def rig_of(tmp_path):
    """Write a plan and load it; the text begins after the plan's ``[rig]`` name and owner."""

    def read(text):
        path = tmp_path / "plan.toml"
        path.write_text(HEAD + text, encoding="utf-8")
        return load_plan(path)

    return read


@pytest.fixture
def found_in(rig_of):
    """The findings of a plan's text, of one rule or of all."""

    def find(text, rule=None):
        findings = review(rig_of(text)).findings
        return [finding for finding in findings if rule in (None, finding.rule)]

    return find


@pytest.fixture(scope="session")
def plan_of():
    """Texts of plans of any size: chains, boxes, lines, and what part of the boxes has a place; seeded."""
    plan_text = runpy.run_path(str(Path(__file__).parents[1] / "bench" / "big_rig.py"))["plan_text"]

    def text(chains, boxes, lines, placed=0.0, seed=1):
        random = Random(seed)
        rows = []
        for row in plan_text(chains, boxes, lines).splitlines():
            rows.append(row)
            if row == 'kind = "unit"' and random.random() < placed:
                rows.append(f"at = [{random.uniform(-6, 6):.1f}, {random.uniform(0, 9):.1f}]")
            if row == 'link = "wire"' and placed == 1.0:
                rows.append("at = [0.0, -25.0]")
        return "\n".join(rows)

    return text


@pytest.fixture(scope="session")
def clashes():
    """What overlaps in a drawing: words and marks with each other, and with plates that they are not wholly in."""

    def find(drawing):
        said = [shape for shape in drawing.shapes if isinstance(shape, Words | Mark)]
        plates = [shape for shape in drawing.shapes if isinstance(shape, Plate)]
        by = drawing.extent.width * 1e-7
        found = [(one, other) for one, other in combinations(said, 2) if one.rect.grown(-by).overlaps(other.rect)]
        found += [(one, other) for one, other in combinations(plates, 2) if one.rect.grown(-by).overlaps(other.rect)]
        return found + [
            (shape, plate)
            for shape in said
            for plate in plates
            if shape.rect.grown(-by).overlaps(plate.rect) and not plate.rect.holds(shape.rect, by)
        ]

    return find


@pytest.fixture(scope="session")
def drawn(tmp_path_factory):
    """A rig, its review and its stage plan, from a whole plan's text or a shipped plan's name."""

    def draw(plan):
        path = Path(__file__).parents[2] / "plans" / f"{plan}.toml"
        if "\n" in plan:
            path = tmp_path_factory.mktemp("plan") / "plan.toml"
            path.write_text(plan, encoding="utf-8")
        rig = load_plan(path)
        found = review(rig)
        return rig, found, stage(rig, found, measure)

    return draw


@pytest.fixture(scope="session")
def demo(drawn):
    """The shipped demo rig."""
    return drawn("demo")[0]
