"""The shipped demo and small rigs, a session of one tablet with a journal of its own."""

from pathlib import Path

import pytest

from checkapp.rig.planfile import load_plan
from checkapp.show import places
from checkapp.show.session import Session


@pytest.fixture(scope="session")
def plans() -> Path:
    return places.shipped("plans")


@pytest.fixture(scope="session")
def demo(plans):
    return load_plan(plans / "demo.toml")


@pytest.fixture
def small_plan(plans) -> Path:
    return plans / "small.toml"


@pytest.fixture
def new_session(tmp_path):
    """Make sessions that share a journal and a home, as one tablet that is started again and again."""
    made = []

    def make() -> Session:
        made.append(Session(tmp_path / "journal.db", home=tmp_path / "home"))
        return made[-1]

    yield make
    for session in made:
        session.close()
