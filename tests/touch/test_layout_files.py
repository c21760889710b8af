"""The layout files: each parses, has its class beside it, speaks to root and self, leaves stock classes alone."""

import re
from pathlib import Path

import pytest

import checkapp.touch

ROOM = Path(checkapp.touch.__file__).parent
FILES = sorted(ROOM.rglob("*.kv"))


def name_of(path):
    return str(path.relative_to(ROOM))


@pytest.fixture(params=FILES, ids=name_of)
def layout(request):
    return request.param


def rules(layout):
    return re.findall(r"^<(.+)>:", layout.read_text(encoding="utf-8"), re.MULTILINE)


def test_there_is_a_layout_for_every_screen():
    screens = {path.stem for path in (ROOM / "screens").glob("*.py")} - {"__init__"}
    assert screens == {path.stem for path in (ROOM / "screens").glob("*.kv")}
    from checkapp.touch.pages import SCREENS

    assert set(SCREENS) == screens


def test_a_layout_lies_beside_the_module_that_loads_it(layout):
    module = layout.with_suffix(".py").read_text(encoding="utf-8")
    assert module.count('with_suffix(".kv")') == 1


def test_it_parses_without_a_window(layout, window):
    from kivy.lang import Parser

    parser = Parser(content=layout.read_text(encoding="utf-8"))
    assert len(parser.rules) == len(rules(layout)) > 0


def test_it_speaks_to_root_and_self_never_to_the_app(layout):
    text = layout.read_text(encoding="utf-8")
    assert not re.search(r"\bapp\.|get_running_app", text)


def test_it_has_no_rule_for_a_class_of_the_toolkit(layout):
    import kivy.factory_registers  # noqa: F401
    from kivy.factory import Factory

    for rule in rules(layout):
        for name in rule.split("@")[0].split(","):
            entry = Factory.classes.get(name.strip(), {})
            assert not (entry.get("module") or "").startswith("kivy."), f"{name} is a class of Kivy"


def test_a_screen_has_its_layout_once(build, views):
    screen = build("past", views["past"][1])
    assert len(screen.children) == 1
