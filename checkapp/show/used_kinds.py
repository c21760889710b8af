"""The kinds of a plan that other files hold: left there where a plan in its new place can still use them."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from checkapp.rig.draft import read_draft
from checkapp.rig.errors import printable
from checkapp.rig.model import PlanFile
from checkapp.rig.toml_text import KINDS, literal
from checkapp.tongue import tr


def with_used(data: Mapping[str, Any], plan: PlanFile, out: Path) -> tuple[dict[str, Any], list[str]]:
    """The data as the plan file will hold them: without the kinds that used files hold; and what is to be said."""
    kept: list[str] = []
    said: list[str] = []
    held: set[tuple[str, str]] = set()
    for name in data.get("use", []):
        kinds = _kinds_of(name, out)
        if kinds is not None and all(getattr(plan, table).get(kind) == value for (table, kind), value in kinds.items()):
            kept.append(name)
            held |= kinds.keys()
        else:
            shown = printable(name)
            if kinds is not None:
                said.append(tr("Kinds of {file} are written into the plan: that file says otherwise.", file=shown))
            else:
                said.append(
                    tr(
                        "Kinds of {file} are written into the plan: that file does not lie beside it, or cannot be"
                        " used.",
                        file=shown,
                    )
                )
    found: dict[str, Any] = {"format": 1, **({"use": kept} if kept else {})}
    for table, content in data.items():
        if table in KINDS:
            content = {kind: value for kind, value in content.items() if (table, kind) not in held}
        if table not in ("format", "use") and content:
            found[table] = content
    return found, said


def _kinds_of(name: str, out: Path) -> dict[tuple[str, str], Any] | None:
    """The kinds of a file that a plan at ``out`` would use; None when it cannot."""
    draft = read_draft(out, f"use = {literal([name])}".encode())
    if not draft.used or draft.used[0].faults:
        return None
    return {(table, kind): value for table, kinds in draft.kinds.items() for kind, value in kinds.items()}
