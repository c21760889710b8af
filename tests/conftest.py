"""What holds for every test.

Each solve of link power, wherever it happens, obeys Kirchhoff and Ohm. A skipped test counts as a failed one where CI
is set, so that nothing goes missing in silence.
"""

import importlib.util
import json
import os
import re
import tomllib
from copy import deepcopy
from functools import wraps
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from checkapp.review import power
from checkapp.rig import change as changes

settings.register_profile("house", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("house")

_FREE_OF_ERROR = 2e-9  # a load that passes as equal to its limit may lie 1e-9 above it


def _checked(solve):
    @wraps(solve)
    def solve_and_check(ladder):
        flow = solve(ladder)
        if flow is not None:
            assert power.imbalance(ladder, flow) < _FREE_OF_ERROR, (ladder, flow)
        return flow

    return solve_and_check


def pytest_configure():
    if not hasattr(power.solve, "__wrapped__"):
        power.solve = _checked(power.solve)


@pytest.fixture(scope="session", autouse=True)
def a_home_of_its_own(tmp_path_factory):
    """No test reads or writes the folder of whoever runs it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("CHECKAPP_HOME", str(tmp_path_factory.mktemp("home")))
        yield


HUB_TESTS = ("journal/test_hub", "journal/test_sync", "show/test_syncing", "show/test_tablets")
TOGETHER = {
    **{f"tests/{name}.py": "hub" for name in HUB_TESTS},
    "tests/show/test_demo.py": "demo",
    "tests/history/test_tours.py": "tours",
}


def pytest_xdist_make_scheduler(config, log):
    """Some tests all in one process: those of the hub, so that one server does for them, and dies only where it should;
    those that share what takes long to make.

    The mark that pytest-xdist 3.8 has for that does nothing under pytest 9.2.
    """
    from xdist.scheduler import LoadGroupScheduling

    class Scheduling(LoadGroupScheduling):
        def _split_scope(self, nodeid):
            return TOGETHER.get(nodeid.partition("::")[0]) or super()._split_scope(nodeid)

    return Scheduling(config, log)


@pytest.hookimpl(hookwrapper=True)
def pytest_runtest_makereport(item):
    outcome = yield
    report = outcome.get_result()
    if report.skipped and not hasattr(report, "wasxfail") and os.environ.get("CI"):
        report.outcome = "failed"
        report.longrepr = f"{item.nodeid} was skipped, which CI does not allow: {report.longrepr}"


@pytest.fixture(scope="session")
def hub_module():
    """What the tests of the hub share."""
    spec = importlib.util.spec_from_file_location("hub_server", Path(__file__).with_name("hub_server.py"))
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def hub_server(hub_module):
    """A real PostgreSQL, once in a test run: whoever uses it is named in `HUB_TESTS`."""
    server = hub_module.HubServer()
    yield server
    server.end()


@pytest.fixture
def hub(hub_server):
    """A hub of its own."""
    return hub_server.new()


_ENGLISH = re.compile(
    r"\b(the|and|of|to|is|are|it|its|this|that|with|from|for|not|no|yet|at|by|be|been|has|have|or|if|than|where|"
    r"what|which|then|put|use|move|scan|type|plug|open|faulty|silent|box|boxes|cable|lines|port|desk|supply)\b"
)
"""Words that only English has."""


@pytest.fixture(scope="session")
def texts_of():
    """All texts of a plan file, longest first, and their longer words: they are shown as they are."""

    def texts(value):
        inner = [*value, *value.values()] if isinstance(value, dict) else value if isinstance(value, list) else []
        return [value] if isinstance(value, str) else [text for one in inner for text in texts(one)]

    def found(plan):
        own = sorted(set(texts(tomllib.loads(plan.read_text(encoding="utf-8")))), key=len, reverse=True)
        return own + [word for text in own for word in text.split() if len(word) > 5]

    return found


@pytest.fixture(scope="session")
def english_left():
    """Those of the texts that have an English word, besides the texts that are shown as they are."""

    def left(texts, own):
        for text in sorted(set(texts)):
            rest = text
            for word in own:
                rest = rest.replace(word, "")
            part_of_a_name = any(text.rstrip("…") in name for name in own)  # cut, or on more lines
            if _ENGLISH.search(rest) and not part_of_a_name:
                yield text

    return left


@pytest.fixture(scope="session")
def plan_text():
    """A plan's data as TOML; JSON's strings, numbers, lists and booleans are TOML's too."""

    def fields(entry):
        return [f"{key} = {json.dumps(value)}" for key, value in entry.items()]

    def text(data):
        lines = [f"{key} = {json.dumps(value)}" for key, value in data.items() if not isinstance(value, (dict, list))]
        for table, value in data.items():
            if table.endswith("_kind"):
                lines += [row for name, entry in value.items() for row in (f"[{table}.{name}]", *fields(entry))]
            elif isinstance(value, dict):
                lines += [f"[{table}]", *fields(value)]
            elif isinstance(value, list):
                lines += [row for entry in value for row in (f"[[{table}]]", *fields(entry))]
        return "\n".join(lines)

    return text


@pytest.fixture(scope="session")
def written_into():
    """Changes of a rig written into its plan's data, by a hand that checks nothing: a copy of the data."""

    def write(data, way):
        data = deepcopy(data)
        for change in way:
            _write(data, change)
        return data

    return write


def _write(data, change):
    match change:
        case changes.OnSupply(box, supply):
            _entry(data, "box", box)["supply"] = supply
        case changes.OtherCable(box, cable):
            _give(data, box, cable)
        case changes.OtherChain(boxes, chain):
            _entry(data, "box", boxes[0])["fed_from"] = _end(data, chain)
        case changes.OtherPort(line, port):
            direction, number = line.split()
            _entry(data, f"{direction}put", int(number), "number")["port"] = port
        case changes.OtherLoad(supply, watts):
            _entry(data, "supply", supply)["other_load_w"] = watts
        case changes.NewCable(box, cable):
            _add(data, "cable", cable)
            _give(data, box, cable.code)
        case changes.NewSupply(supply):
            _add(data, "supply", supply)
        case changes.NewChain(chain):
            _add(data, "chain", chain)


def _entry(data, table, code, key="code"):
    return next(one for one in data[table] if one[key] == code)


def _give(data, box, cable):
    old = _entry(data, "box", box).get("cable")
    if old:
        _entry(data, "cable", old)["spare"] = True
    _entry(data, "cable", cable)["spare"] = False
    _entry(data, "box", box)["cable"] = cable


def _end(data, chain):
    fed = {box["fed_from"]: box["code"] for box in data["box"]}
    while chain in fed:
        chain = fed[chain]
    return chain


def _add(data, table, new):
    data.setdefault(table, []).append(new.model_dump(by_alias=True, exclude_none=True))
