"""One entry of the journal, its digest and its detail as text."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from itertools import product
from operator import attrgetter
from types import NoneType

from checkapp.journal.clock import ZERO, at_text
from checkapp.journal.errors import NotStorable

NO_ENTRY = "0" * 64
"""What a device's first entry carries as the digest of the one before."""

_ID = re.compile(r"[0-9a-z-]{16,}", re.ASCII)

Order = tuple[str, str, int, str]


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that happened. The fields are the columns of the table, in their order.

    ``seq`` counts a device's entries from 1; ``at`` is UTC by the device, ``clock`` what orders entries across
    devices; ``rig`` and ``show`` are names; ``detail`` is the very JSON text that is stored and hashed; ``previous`` is
    the digest of the same device's entry before, ``digest`` its own (both 64 hex digits).
    """

    id: str
    device: str
    seq: int
    at: str
    clock: str
    kind: str
    rig: str | None
    show: str | None
    subject: str | None
    by: str | None
    detail: str | None
    previous: str
    digest: str = ""

    @property
    def order(self) -> Order:
        """The place in the story: by clock, device and number; the id decides between the two sides of a fork."""
        return (self.clock, self.device, self.seq, self.id)

    @property
    def details(self) -> dict[str, object]:
        """The detail as an object; empty when there is none or it is not a JSON object."""
        return read_detail(self.detail)

    @property
    def values(self) -> tuple[str | int | None, ...]:
        """All fields in the order of the columns."""
        return _VALUES(self)

    def chained(self, device: str, seq: int, clock: str, previous: str) -> Entry:
        """The same as entry ``seq`` of a device, after the entry with the digest ``previous``. Errors: as below."""
        _, _, _, at, _, kind, rig, show, subject, by, detail, _, _ = self.values
        values = (self.id, device, seq, at, clock, kind, rig, show, subject, by, detail, previous)
        return Entry(*values, digest_of_values(values))  # type: ignore[arg-type]

    def computed_digest(self) -> str:
        """The digest that belongs to the other fields. `NotStorable`: a text that has no UTF-8 form."""
        return digest_of_values(self.values[:-1])

    def to_dict(self) -> dict[str, object]:
        """The fields as an exported line names them, with the detail as an object."""
        return dict(zip(COLUMNS, self.values, strict=True)) | {"detail": self.details}


COLUMNS: tuple[str, ...] = tuple(field.name for field in fields(Entry))
"""The columns of the table and the keys of an exported line, in their order."""


COLUMN_NAMES = ", ".join(f'"{column}"' for column in COLUMNS)
"""The same as a statement names them."""

_VALUES: Callable[[Entry], tuple[str | int | None, ...]] = attrgetter(*COLUMNS)

OPTIONAL = frozenset({"rig", "show", "subject", "by", "detail"})
"""The columns that may have no value."""

_SHAPES = frozenset(
    product(*((int,) if column == "seq" else (str, NoneType) if column in OPTIONAL else (str,) for column in COLUMNS))
)


def is_readable(values: Iterable[object]) -> bool:
    """Whether ``values``, in the order of the columns, are of the types that an entry's fields have."""
    return tuple(map(type, values)) in _SHAPES


def digest_of(texts: Iterable[bytes | None]) -> str:
    """SHA-256 in hex over UTF-8 texts: each as its byte length, a colon and the text, an absent one as ``-``."""
    parts = (b"-" if text is None else b"%d:%b" % (len(text), text) for text in texts)
    return hashlib.sha256(b"".join(parts)).hexdigest()


def digest_of_texts(values: Sequence[str | int | None]) -> str:
    """The same of texts and numbers, in a third of the time. UnicodeEncodeError: a text that has no UTF-8 form."""
    texts = ["-" if value is None else f"{len(text := str(value))}:{text}" for value in values]
    joined = "".join(texts)
    if joined.isascii():  # then lengths in letters are lengths in bytes
        return hashlib.sha256(joined.encode()).hexdigest()
    return digest_of(None if value is None else str(value).encode() for value in values)


def digest_of_values(values: Sequence[str | int | None]) -> str:
    """The same of an entry that is to be stored. `NotStorable`: a text that has no UTF-8 form."""
    try:
        return digest_of_texts(values)
    except UnicodeEncodeError as error:
        raise NotStorable("the text has characters that cannot be stored") from error


def detail_text(detail: Mapping[str, object]) -> str:
    """``detail`` as JSON with sorted keys and no spaces. `NotStorable`: a value that JSON does not have."""
    try:
        return json.dumps(detail, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)
    except (TypeError, ValueError) as error:
        raise NotStorable(f"the detail cannot be stored: {error}") from error


def read_detail(text: str | None) -> dict[str, object]:
    """The object that a detail's text holds; empty when it holds none."""
    try:
        found = json.loads(text or "{}")
    except (ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def drafted(  # noqa: PLR0913 - one argument a column
    kind: str,
    *,
    now_ms: int,
    new_id: str,
    rig: str | None = None,
    show: str | None = None,
    subject: str | None = None,
    by: str | None = None,
    detail: Mapping[str, object] | None = None,
) -> Entry:
    """An entry of the moment ``now_ms`` (milliseconds since 1970) that no device has numbered yet.

    Errors: `NotStorable`; ValueError: ``kind`` is empty, or ``new_id`` is not 16 or more of ``0-9 a-z -``.
    """
    if not kind or not _ID.fullmatch(new_id):
        raise ValueError(f"no kind or not an id: {kind!r}, {new_id!r}")
    draft = Entry(
        id=new_id,
        device="",
        seq=0,
        at=at_text(now_ms),
        clock=ZERO,
        kind=kind,
        rig=rig,
        show=show,
        subject=subject,
        by=by,
        detail=detail_text(detail or {}),
        previous=NO_ENTRY,
    )
    if any("\0" in text for text in draft.values if isinstance(text, str)):
        raise NotStorable("a text has a zero character; leave it out")
    return draft
