"""What holds for every test.

Each solve of link power, wherever it happens, obeys Kirchhoff and Ohm. A skipped test counts as a failed one where CI
is set, so that nothing goes missing in silence.
"""

import os
from functools import wraps

import pytest
from hypothesis import HealthCheck, settings

from checkapp.review import power

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


@pytest.hookimpl(hookwrapper=True)
def pytest_runtest_makereport(item):
    outcome = yield
    report = outcome.get_result()
    if report.skipped and not hasattr(report, "wasxfail") and os.environ.get("CI"):
        report.outcome = "failed"
        report.longrepr = f"{item.nodeid} was skipped, which CI does not allow: {report.longrepr}"
