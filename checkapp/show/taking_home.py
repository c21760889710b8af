"""The user's folder of plans: what a new plan in it is called, and a plan from elsewhere copied into it."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Final

from checkapp.rig.draft import read_draft
from checkapp.rig.errors import printable
from checkapp.rig.planfile import load_plan
from checkapp.rig.rewrite import rewritten
from checkapp.rig.rig import Rig
from checkapp.rig.toml_text import data_of
from checkapp.rig.writing import not_written, replace_files
from checkapp.show.new_plan import check_new
from checkapp.show.used_kinds import with_used
from checkapp.tongue import tr

_NOT_IN_NAMES: Final = re.compile(r'[\x00-\x1f\x7f/\\:*?"<>|]+')
_TAKEN_BY_SYSTEMS: Final = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
_LONGEST_BYTES: Final = 120


@dataclass(frozen=True, slots=True)
class Packed:
    """A plan as it goes into a folder: its bytes, the files of kinds that go with it, what is to be said of it."""

    rig: Rig
    content: bytes
    beside: Mapping[Path, bytes]
    said: tuple[str, ...] = ()


def plans_folder(home: Path) -> Path:
    """The folder of the user's plans; made where it is not there. `FileNotWritten`: it cannot be."""
    folder = home / "plans"
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise not_written(folder, error) from None
    return folder


def file_of(folder: Path, name: str) -> Path:
    """The plan file for a name that a person gave: what no system takes in a file name is left out."""
    plain = " ".join(_NOT_IN_NAMES.sub(" ", name).split()).strip(". ")
    while len(plain.encode(errors="replace")) > _LONGEST_BYTES:
        plain = plain[:-1].rstrip(". ")
    plain = plain.encode(errors="replace").decode()
    if not plain or _TAKEN_BY_SYSTEMS.fullmatch(plain):
        plain = f"{plain} rig".strip()
    return folder / f"{plain}.toml"


def free_name(folder: Path, name: str, taken: Collection[str] = ()) -> str:
    """The name, else with the first number from 2 on that makes it free in the folder and of what is ``taken``.

    Small and capital letters are the same in both.
    """
    held = {path.name.casefold() for path in folder.glob("*.toml")}
    others = {one.casefold() for one in taken}
    ways = (name if number == 1 else f"{name} {number}" for number in count(1))
    return next(
        way for way in ways if way.casefold() not in others and file_of(folder, way).name.casefold() not in held
    )


def packed(plan: Path, out: Path) -> Packed:
    """A plan from elsewhere as it would lie at ``out``, where it says the same.

    Files of kinds that it uses go with it; where a file of that name lies there and says otherwise, their kinds are
    written into the plan. `PlanRefused`: the plan has faults.
    """
    draft = read_draft(plan)
    content = draft.sheet.content
    rig = load_plan(plan, content)
    beside: dict[Path, bytes] = {}
    for name, used in zip(rig.plan.use, draft.used, strict=True):
        there = out.parent / name
        if not there.exists():
            beside[there] = used.content
        elif _content_of(there) != used.content:
            data, _ = with_used(data_of(rig.plan), rig.plan, out)
            return Packed(rig, rewritten(content, data), {}, (_written_in(name),))
    return Packed(rig, content, beside)


def same_plan(folder: Path, plan: Packed) -> Path | None:
    """The plan of the folder that says the same to the byte; None: none does, or kinds that it uses are not there."""
    if plan.beside:
        return None
    return next((path for path in sorted(folder.glob("*.toml")) if _content_of(path) == plan.content), None)


def _content_of(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except OSError:
        return None


def put_in(out: Path, content: bytes, beside: Mapping[Path, bytes]) -> None:
    """Write a new plan, and the files that go with it. `FileIsThere`; `FileNotWritten`: nothing is written then."""
    check_new(out)
    put_beside({**beside, out: content})


def put_beside(contents: Mapping[Path, bytes]) -> None:
    """Write files that belong together, the folders that they lie in made first. `FileNotWritten`."""
    for path in contents:
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise not_written(path, error) from None
    replace_files(contents)


def _written_in(name: str) -> str:
    return tr(
        "The kinds of {file} are written into the plan: a file of that name is there and says otherwise.",
        file=printable(name, 60),
    )
