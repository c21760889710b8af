"""A new plan by flags or by questions; no file is overwritten unasked."""

import pytest

from checkapp.review.report import review
from checkapp.rig.errors import CheckappError
from checkapp.rig.planfile import load_plan
from checkapp.rig.starting import DEFAULT_SIZES, CannotStart, Size
from checkapp.rig.writing import FileNotWritten
from checkapp.show.new_plan import FileIsThere, NumbersMissing, Wanted, made_words, new_plan, wanted


class Person:
    """Answers what is asked, one word after another; asked again where the answer is wrong."""

    def __init__(self, *answers):
        self.answers = [*answers]
        self.asked = []
        self.told = []

    def __call__(self, question, default, read):
        self.asked.append((question, default))
        while True:
            try:
                return read(self.answers.pop(0) or default)
            except CheckappError as error:
                self.told.append(str(error))


def test_flags_ask_nobody(tmp_path):
    person = Person()
    out = tmp_path / "new.toml"
    asked = wanted("Mill", 40, None, ["16x8", "8x0"], out, person)
    assert asked == Wanted("Mill", 40, 0, (Size(16, 8), Size(8, 0)), out)
    assert wanted(None, None, 8, [], None, person) == Wanted("New rig", 0, 8, DEFAULT_SIZES, None)
    assert person.asked == []


def test_without_numbers_and_a_person_it_says_which_flags_are_needed():
    with pytest.raises(NumbersMissing, match=r"--inputs N, --outputs N or both; --box 16x8"):
        wanted("Mill", None, None, [], None, None)


def test_a_person_who_just_goes_on_gets_a_plan(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    asked = wanted(None, None, None, [], None, Person("", "", "", "", ""))
    made = new_plan(asked)
    rig = load_plan(tmp_path / "plan.toml")
    assert rig.name == "New rig"
    assert len(rig.lines) == 24
    assert review(rig).findings == ()
    assert made_words(asked, made) == (
        "plan.toml: 16 inputs, 8 outputs, 1 box on 1 chain. Put in names and gear, then: checkapp review plan.toml"
    )


def test_what_is_said_is_not_asked_and_wrong_answers_are_asked_again(tmp_path):
    there = tmp_path / "there.toml"
    there.write_text("mine", encoding="utf-8")
    person = Person(
        "many", "-3", "32", "99999", "0", "16", "16x0 12 x", "16x0, 4x0", str(there), str(tmp_path / "n.toml")
    )
    asked = wanted("Mill", None, None, [], None, person)
    assert asked == Wanted("Mill", 32, 0, (Size(16, 0), Size(4, 0)), tmp_path / "n.toml")
    assert [question for question, _ in person.asked] == [
        "How many inputs",
        "How many outputs",
        "Sizes of box, inputs x outputs",
        "File to write",
    ]
    assert len(person.told) == 6
    assert "is there already" in person.told[-1]


def test_a_file_that_is_there_stays_unless_forced(tmp_path):
    out = tmp_path / "new.toml"
    asked = Wanted("Mill", 8, 4, DEFAULT_SIZES, out)
    new_plan(asked)
    before = out.read_bytes()
    with pytest.raises(FileIsThere, match="--force"):
        new_plan(asked._replace(inputs=9))
    assert out.read_bytes() == before
    new_plan(asked._replace(inputs=9), force=True)
    assert len(load_plan(out).plan.input) == 9


def test_where_nothing_can_be_written_it_says_so(tmp_path):
    with pytest.raises(FileNotWritten):
        new_plan(Wanted("Mill", 8, 4, DEFAULT_SIZES, tmp_path / "none" / "new.toml"))
    with pytest.raises(FileIsThere):
        new_plan(Wanted("Mill", 8, 4, DEFAULT_SIZES, tmp_path))


def test_what_cannot_be_leaves_no_file(tmp_path):
    out = tmp_path / "new.toml"
    with pytest.raises(CannotStart):
        new_plan(Wanted("Mill", 0, 0, DEFAULT_SIZES, out))
    assert not out.exists()


def test_without_a_file_the_plan_is_the_text(tmp_path):
    made = new_plan(Wanted("Mill", 8, 4, DEFAULT_SIZES, None))
    assert load_plan(tmp_path / "x.toml", made.text.encode()).name == "Mill"
    assert list(tmp_path.iterdir()) == []
