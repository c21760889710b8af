"""How likely each line is faulty, from a journal: marks, earlier checks, what was plugged again since."""

import pytest

from checkapp.diagnose.chances import chances_of
from checkapp.diagnose.likely import faulty_chances
from checkapp.journal import kinds, setup_kinds
from checkapp.journal.journal import Journal
from checkapp.rig.codes import known_port
from checkapp.rig.planfile import load_plan
from checkapp.show import places
from checkapp.show.likely_lines import evidence_of, likely_lines, open_lines
from checkapp.show.recording import Recorder, open_journal
from checkapp.show.suspecting import paths_of

DEMO = load_plan(places.shipped("plans") / "demo.toml")
NAMES = [line.line for line in DEMO.lines]
NEW = faulty_chances(paths_of(DEMO), (), chances_of(DEMO.plan.diagnose))
"""With nothing heard."""


class Told:
    """A journal with a few things in it."""

    def __init__(self, journal):
        self.now_ms = 1_900_000_000_000
        self.recorder = Recorder(journal, DEMO, self._tick)

    def _tick(self):
        self.now_ms += 1000
        return self.now_ms

    def tell(self, draft, show="Night 1"):
        return self.recorder.write(draft, show, "JD").id

    def begin(self, show="Night 1"):
        self.tell(kinds.show(show, date="2031-05-02"), show)
        self.check = self.tell(kinds.check_opened(), show)

    def mark(self, line, verdict="ok", symptom=None, show="Night 1"):
        self.tell(kinds.mark(line, verdict, plan=DEMO.digest, check=self.check, symptom=symptom), show)

    def sign_off(self, left=(), show="Night 1"):
        self.tell(kinds.check_signed_off((self.check,), left), show)

    def check_all(self, show="Night 1"):
        self.begin(show)
        for line in NAMES:
            self.mark(line, show=show)
        self.sign_off(show=show)

    def likely(self, show="Night 1"):
        return likely_lines(self.recorder, self.recorder.state(show))


@pytest.fixture
def told(tmp_path):
    with open_journal(tmp_path / "journal.db", home=tmp_path / "home") as journal:
        assert isinstance(journal, Journal)
        yield Told(journal)


def on_box(code):
    return [line.line for line in DEMO.lines if known_port(line.port).code == code]


def test_without_a_show_every_line_is_open_and_as_new(told):
    assert likely_lines(told.recorder, None) == NEW
    assert open_lines(DEMO, None) == tuple(NAMES)


def test_only_open_lines_are_told_and_a_faulty_one_makes_its_box_likely(told):
    told.begin()
    told.mark("in 17", "faulty", "silent")
    told.mark("in 1")
    found = told.likely()
    assert list(found) == [name for name in NAMES if name not in ("in 1", "in 17")]
    box = known_port(DEMO.line("in 17").port).code
    assert sorted(found, key=found.get)[-1] in on_box(box)
    assert found["in 18"] > 5 * NEW["in 18"]
    assert found["in 2"] < NEW["in 2"]


def test_after_a_sign_off_all_lines_are_open_for_the_next_check_and_proved_ones_are_unlikely(told):
    told.check_all()
    state = told.recorder.state("Night 1")
    assert open_lines(DEMO, state) == tuple(NAMES)
    found = told.likely()
    assert all(found[name] < NEW[name] / 2 for name in NAMES)
    told.begin()
    assert told.likely() == pytest.approx(found, abs=1e-12)


def test_what_was_plugged_again_since_comes_first_and_a_mark_clears_it(told):
    told.check_all()
    before = told.likely()
    cable = DEMO.line("in 5").cable
    told.tell(setup_kinds.connected(f"{cable} B", [DEMO.line("in 5").port], "right"))
    found = told.likely()
    assert max(found, key=found.get) == "in 5"
    assert {name for name in NAMES if found[name] > before[name] + 1e-12} == {"in 5"}
    told.begin()
    told.mark("in 5")
    told.sign_off([name for name in NAMES if name != "in 5"])
    then = told.likely()
    assert then["in 5"] < found["in 5"] / 3
    assert then["in 6"] == pytest.approx(before["in 6"], abs=1e-12)


def test_a_box_that_was_placed_again_puts_its_lines_and_those_behind_it_in_doubt(told):
    told.check_all()
    before = told.likely()
    told.tell(setup_kinds.placed("LEFT"))
    found = told.likely()
    through = {name for name in NAMES if any(item.name == "LEFT" for item in DEMO.path(name))}
    assert {name for name in NAMES if found[name] > before[name] + 1e-12} == through
    assert set(on_box("LEFT")) < through


def test_plugs_before_and_during_the_first_check_are_as_new(told):
    told.tell(kinds.show("Night 1", date="2031-05-02"))
    for box in DEMO.boxes:
        told.tell(setup_kinds.placed(box))
    told.begin()
    told.tell(setup_kinds.placed("LEFT"))
    assert told.likely() == pytest.approx(NEW, abs=1e-15)


def test_another_show_is_as_new(told):
    told.check_all()
    told.begin("Night 2")
    assert told.likely("Night 2") == pytest.approx(NEW, abs=1e-15)


def test_a_fault_that_was_left_comes_first_until_it_is_mended(told):
    told.begin()
    for name in NAMES:
        told.mark(name, *(("faulty", "hum") if name == "in 9" else ()))
    told.sign_off()
    assert told.likely()["in 9"] > 0.5
    told.tell(kinds.repair(DEMO.line("in 9").cable, "mend", cleared=True))
    assert 0.02 < told.likely()["in 9"] < 0.1


def test_what_failed_at_an_earlier_show_is_a_little_likelier(told):
    told.begin()
    told.tell(kinds.repair(DEMO.line("in 9").cable, "reseat", cleared=True))
    told.sign_off(NAMES)
    told.begin("Night 2")
    found = told.likely("Night 2")
    assert found["in 9"] == pytest.approx(1 - (1 - NEW["in 9"]) * (1 - 0.0298 * 0.9) / (1 - 0.01 * 0.9), abs=1e-12)
    assert {name: chance for name, chance in found.items() if chance != NEW[name]}.keys() == {"in 9"}


def test_all_ports_of_a_box_that_came_in_are_plugged_again(told):
    told.check_all()
    told.tell(setup_kinds.swap("BRASS", "SPARE"))
    names = {
        item.name for path in evidence_of(told.recorder, told.recorder.state("Night 1")).paths.values() for item in path
    }
    plugged = {name for name in names if ", " in name}
    assert {"SPARE, plugged before check 2", "SPARE in 1, plugged before check 2"} <= plugged
    assert all(name.startswith("SPARE") for name in plugged)
    found = told.likely()
    assert set(sorted(NAMES, key=found.get)[-len(on_box("BRASS")) :]) == set(on_box("BRASS"))
