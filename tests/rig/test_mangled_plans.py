"""Good plans, mangled: what comes out is a rig that can be walked and reviewed, or a refusal that names the file."""

import json
import re
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checkapp.review.report import review, to_json
from checkapp.rig.errors import PlanRefused
from checkapp.rig.planfile import load_plan
from checkapp.rig.words import ITEM_KINDS

PLANS = Path(__file__).parents[2] / "plans"
KINDS = (PLANS / "kinds.toml").read_bytes()
GOOD = {name: (PLANS / f"{name}.toml").read_bytes() for name in ("small", "demo", "wrong")}
# the large plan takes ten times as long to read, so it is drawn less often
_PLAN = st.sampled_from(["small", "small", "wrong", "wrong", "demo"])
_VALUES = [
    b"0",
    b"-1",
    b"1",
    b"7.5",
    b"nan",
    b"-inf",
    b"1e308",
    b"1e12",
    b"1e-12",
    b"1e-300",
    b"1000",
    b"9" * 30,
    b"9" * 400,
    b"true",
    b'""',
    b'"LEFT"',
    b'"STOVE in 1"',
    b'"DESK in 1"',
    b'"GATE"',
    b'"kinds.toml"',
    b"[]",
    b"[[1.0, 2.0]]",
    b"{}",
    b"{ a = 1 }",
    b"2031-05-02",
    b"07:32:00",
    b"",
]
_BYTES = [b"\0", b"\xff", b"\xc3", b'"', b"'", b"[", b"]", b"=", b"#", b".", b"\r", b"\n", b"\\", b"-"]
_QUANTITY = re.compile(rb"(?!number|way)\w+ = [0-9.]+( |$)")
_QUICK = settings(
    deadline=None,
    database=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


def rig_or_refusal(folder: Path, content: bytes, kinds: bytes = KINDS) -> bool:
    """True when the plan made a rig."""
    plan = folder / "plan.toml"
    plan.write_bytes(content)
    (folder / "kinds.toml").write_bytes(kinds)
    try:
        rig = load_plan(plan)
    except PlanRefused as refused:
        assert refused.faults
        for message in refused.lines:
            assert str(folder) in message
            assert message.isprintable()
        return False
    for line in rig.lines:
        path = rig.path(line.line)
        assert len(path) >= 2
        assert len(set(path)) == len(path)
        assert path[-1].kind in ("desk", "port")
        assert path[0].kind == "source"
        assert all(item.kind in ITEM_KINDS and rig.items[item.name] == item.kind for item in path)
    assert len({tag.text for tag in rig.tags}) == len(rig.tags)
    assert json.dumps(to_json(review(rig)), allow_nan=False)
    return True


@st.composite
def edits(draw: st.DrawFn, rows: list[bytes]) -> list[bytes]:
    """One change to the lines of a file, of the kind that a tired hand makes."""
    rows = list(rows)
    at = draw(st.integers(0, len(rows) - 1))
    other = draw(st.integers(0, len(rows) - 1))
    what = draw(st.sampled_from(["drop", "double", "swap", "copy", "cut", "value", "byte", "key", "block"]))
    key, equals, value = rows[at].partition(b"=")
    if what == "drop":
        del rows[at]
    elif what == "double":
        rows.insert(at, rows[at])
    elif what == "swap":
        rows[at], rows[other] = rows[other], rows[at]
    elif what == "copy":
        rows.insert(at, rows[other])
    elif what == "cut":
        rows = rows[: max(at, 1)]
    elif what == "value" and equals:
        rows[at] = key + b"= " + draw(st.sampled_from(_VALUES))
    elif what == "key" and equals:
        rows[at] = rows[other].partition(b"=")[0] + b"=" + value
    elif what == "block":
        low, high = sorted((at, other))
        rows = rows[:low] + rows[low : min(high, low + 12)] * 2 + rows[high:]
    else:
        place = draw(st.integers(0, len(rows[at])))
        rows[at] = rows[at][:place] + draw(st.sampled_from(_BYTES)) + rows[at][place + 1 :]
    return rows or [b""]


@st.composite
def mangled(draw: st.DrawFn, content: bytes) -> bytes:
    rows = content.split(b"\n")
    for _ in range(draw(st.integers(1, 4))):
        rows = draw(edits(rows))
    return b"\n".join(rows)


@settings(_QUICK, max_examples=250)
@given(data=st.data())
def test_a_plan_with_a_few_changes(tmp_path_factory, data):
    content = data.draw(_PLAN.flatmap(lambda name: mangled(GOOD[name])))
    rig_or_refusal(tmp_path_factory.getbasetemp(), content)


@settings(_QUICK, max_examples=100)
@given(kinds=mangled(KINDS))
def test_kinds_with_a_few_changes(tmp_path_factory, kinds):
    rig_or_refusal(tmp_path_factory.getbasetemp(), GOOD["small"], kinds)


@settings(_QUICK, max_examples=100)
@given(data=st.data())
def test_a_plan_whose_references_are_shuffled(tmp_path_factory, data):
    """Every code and port stays one that exists, at another place: loops, double use, wrong directions."""
    rows = GOOD[data.draw(_PLAN)].split(b"\n")
    keys = (b"fed_from ", b"cable ", b"port ", b"outputs_from ", b"repeats ", b"supply ", b"from ", b"kind ")
    spots = [at for at, row in enumerate(rows) if row.startswith(keys)]
    for _ in range(data.draw(st.integers(1, 6))):
        at, other = data.draw(st.sampled_from(spots)), data.draw(st.sampled_from(spots))
        key, _, value = rows[at].partition(b"=")
        other_key, _, other_value = rows[other].partition(b"=")
        rows[at], rows[other] = key + b"=" + other_value, other_key + b"=" + value
    rig_or_refusal(tmp_path_factory.getbasetemp(), b"\n".join(rows))


@settings(_QUICK, max_examples=60)
@given(data=st.data())
def test_numbers_at_the_ends_of_what_is_allowed(tmp_path_factory, data):
    """Everything that is computed from numbers that are allowed is a number."""
    ends = st.sampled_from([b"1e12", b"1e-12", b"1e9", b"1e-9", b"60.0", b"1000000000000", b"1"])
    rows = GOOD[data.draw(st.sampled_from(["small", "wrong", "demo"]))].split(b"\n")
    kinds = KINDS.split(b"\n")
    for file in (rows, kinds):
        spots = [at for at, row in enumerate(file) if _QUANTITY.match(row)]
        for at in data.draw(st.lists(st.sampled_from(spots), max_size=4)):
            file[at] = file[at].partition(b"=")[0] + b"= " + data.draw(ends)
    rig_or_refusal(tmp_path_factory.getbasetemp(), b"\n".join(rows), b"\n".join(kinds))


@settings(_QUICK, max_examples=40)
@given(content=st.binary(max_size=300))
def test_random_bytes(tmp_path_factory, content):
    assert not rig_or_refusal(tmp_path_factory.getbasetemp(), content)


@settings(_QUICK, max_examples=20)
@given(cut=st.integers(0, len(GOOD["small"])), tail=st.binary(max_size=4))
def test_a_plan_cut_off_anywhere(tmp_path_factory, cut, tail):
    rig_or_refusal(tmp_path_factory.getbasetemp(), GOOD["small"][:cut] + tail)


def test_the_unmangled_plans_are_rigs(tmp_path):
    assert all(rig_or_refusal(tmp_path, content) for content in GOOD.values())
