"""From a plan file to a rig, or to all that is wrong with it at once."""

import hashlib
from pathlib import Path
from typing import Any

from checkapp.rig.chain_check import check_chains
from checkapp.rig.draft import Draft, read_draft
from checkapp.rig.errors import Fault, PlanRefused
from checkapp.rig.model import Diagnose, PlanFile
from checkapp.rig.names_check import check_names
from checkapp.rig.rig import Rig
from checkapp.rig.wiring_check import check_wiring


def load_plan(path: Path, content: bytes | None = None) -> Rig:
    """Read the plan file at ``path`` and the kinds that it uses; with ``content`` as if the file held that.

    `PlanRefused` holds every fault that was found, each with file, line, table, entry, field, what is wrong and
    what would be right. The file is never changed.
    """
    draft = read_draft(path, content)
    for check in (check_names, check_wiring, check_chains):
        check(draft)
    faults = [fault for sheet in (draft.sheet, *draft.used) for fault in sorted(sheet.faults, key=_place)]
    if faults:
        raise PlanRefused(faults)
    return Rig(_plan(draft), _digest(draft), str(path))


def _place(fault: Fault) -> tuple[str, int]:
    return fault.file, fault.line


def _plan(draft: Draft) -> PlanFile:
    tables: dict[str, Any] = {table: [entry for _, entry in rows] for table, rows in draft.entries.items()}
    tables.update(draft.kinds, rig=draft.rig, diagnose=draft.diagnose or Diagnose())
    return PlanFile.model_construct(None, format=1, use=draft.sheet.data.get("use", []), **tables)


def _digest(draft: Draft) -> str:
    """SHA-256, in hex, of the plan file's bytes followed by those of the files that it uses, in their order."""
    digest = hashlib.sha256()
    for sheet in (draft.sheet, *draft.used):
        digest.update(sheet.content)
    return digest.hexdigest()


def schema() -> dict[str, object]:
    """The JSON Schema of the plan format, for editors and other programs."""
    return PlanFile.model_json_schema(by_alias=True)
