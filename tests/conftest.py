"""What holds for every test: each solve of link power, wherever it happens, obeys Kirchhoff and Ohm."""

from functools import wraps

from checkapp.review import power

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
