"""The demo rig, and what can happen to a scanner's keys on their way."""

import importlib.util
from pathlib import Path

import pytest

from checkapp.rig.planfile import load_plan

HERE = Path(__file__).parent


@pytest.fixture(scope="session")
def demo():
    return load_plan(HERE.parents[1] / "plans" / "demo.toml")


@pytest.fixture(scope="session")
def garbling():
    spec = importlib.util.spec_from_file_location("garbling", HERE / "garbling.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
