"""For all tests: a skipped test counts as a failed one where CI is set, so that nothing goes missing in silence."""

import os

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile("house", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("house")


@pytest.hookimpl(hookwrapper=True)
def pytest_runtest_makereport(item, call):
    outcome = yield
    report = outcome.get_result()
    if report.skipped and not hasattr(report, "wasxfail") and os.environ.get("CI"):
        report.outcome = "failed"
        report.longrepr = f"{item.nodeid} was skipped, which CI does not allow: {report.longrepr}"
