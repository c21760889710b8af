"""Small plans as text, read as a user's file is read."""

import pytest

from checkapp.review.report import review
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
