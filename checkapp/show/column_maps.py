"""What a person says of the columns of a list, kept under a name in the user's data folder."""

import json
import re
from collections.abc import Mapping, Sequence
from pathlib import Path

from checkapp.rig.errors import printable
from checkapp.rig.writing import not_written, replace_file
from checkapp.sheets.heading_words import FIELDS, Field
from checkapp.sheets.preview import MapRefused, read_map
from checkapp.show import places
from checkapp.tongue import tr

_NAME = re.compile(r"\w[\w -]{0,39}")
_FOLDER = "maps"


def asked_columns(given: Sequence[str]) -> dict[str, Field]:
    """The fields by folded heading that these words ask for: each is pairs of heading and field, or a kept map's name.

    A later one goes before an earlier one. `MapRefused`: neither of the two.
    """
    asked: dict[str, Field] = {}
    for words in given:
        asked.update(read_map(words) if "=" in words else _kept(words))
    return asked


def kept_names(home: Path) -> tuple[str, ...]:
    """Under which names fields are kept in the folder of a user's data."""
    return tuple(sorted(path.stem for path in (home / _FOLDER).glob("*.json") if _NAME.fullmatch(path.stem)))


def kept_columns(name: str, home: Path) -> dict[str, Field]:
    """The fields that are kept under a name. `MapRefused`: none are, or they cannot be read."""
    return _kept(name, home)


def keep_columns(name: str, asked: Mapping[str, Field], home: Path | None = None) -> Path:
    """Keep the fields under a name; the file that holds them. ``home`` is the folder of the user's data.

    `MapRefused`: no such name can be, or there is nothing to keep. `FileNotWritten`.
    """
    path = _path(name, home)
    if not asked:
        raise MapRefused(f'nothing to keep as "{printable(name, 40)}"; say what the columns are with --map')
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise not_written(path, error) from None
    replace_file(path, json.dumps({"format": 1, "columns": dict(asked)}, indent=1, ensure_ascii=False).encode())
    return path


def _path(name: str, home: Path | None = None) -> Path:
    if not _NAME.fullmatch(name):
        shown = printable(name, 60)
        raise MapRefused(
            tr('"{name}" is no name of a map; up to 40 letters, figures, spaces and hyphens are', name=shown)
        )
    return (home or places.home()) / _FOLDER / f"{name}.json"


def _kept(name: str, home: Path | None = None) -> dict[str, Field]:
    path = _path(name, home)
    try:
        columns = json.loads(path.read_text(encoding="utf-8"))["columns"]
        known: dict[str, Field] = {field: field for field in FIELDS}
        return {str(heading): known[field] for heading, field in columns.items()}
    except FileNotFoundError:
        others = ", ".join(sorted(other.stem for other in path.parent.glob("*.json")))
        kept = f"kept are {others}" if others else "none is kept yet: --save-map NAME keeps one"
        raise MapRefused(f'no map "{name}"; {kept}') from None
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        raise MapRefused(f"{printable(str(path))}: is no kept map; keep it anew with --save-map") from None
