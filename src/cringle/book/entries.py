"""What one line of the history says, before it is written (`NewEntry`) and after (`Entry`).

A value keeps its provenance: the payload of a number is ``{"value": ..., "source": ..., "low": ...,
"high": ..., "by": ...}``; other kinds keep a plain JSON object.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum
from typing import Any, Final, TypedDict
from uuid import UUID

from cringle.errors import InputError
from cringle.findings import Number, Source

Payload = Mapping[str, Any]

EVENT_KINDS: Final = frozenset(
    {
        "outing_wind",
        "outing_sea",
        "outing_crew",
        "outing_sail",
        "outing_rig",
        "outing_setting",
        "outing_end",
        "observation",
        "log",
        "toml_edit",
        "refused",
        "rig_measurement",
        "gauge_study",
        "play_run",
    }
)
"""Kinds of which every entry counts by itself: they happened, so nothing can conflict with them.

All other kinds are states: only the newest entry of a key counts, and a write must have seen it.
"""

FILE_KINDS: Final = ("log", "observation", "visit_photo")
"""Kinds whose payload may name a file kept in the book: ``file`` (relative to it) and its ``sha256``."""

KEY_FIELDS: Final = ("kind", "subject", "sail_set", "sea", "wind_kn", "gear", "role")


class Base(Enum):
    """The base of a write that does not depend on what stood there before."""

    REGARDLESS = "regardless"


REGARDLESS: Final = Base.REGARDLESS


@dataclass(frozen=True)
class Key:
    """Which cell of the records an entry belongs to; unused parts are None."""

    kind: str
    subject: str
    sail_set: str | None = None
    sea: str | None = None
    wind_kn: float | None = None
    gear: str | None = None
    role: str | None = None

    def __str__(self) -> str:
        wind = None if self.wind_kn is None else f"{self.wind_kn:g} kn"
        parts = (self.subject, self.sail_set, self.sea, wind, self.gear, self.role)
        return " ".join([self.kind, *(part for part in parts if part)])


class CellFilter(TypedDict, total=False):
    """Parts of a key besides kind and subject."""

    sail_set: str | None
    sea: str | None
    wind_kn: float | None
    gear: str | None
    role: str | None


class KeyFilter(CellFilter, total=False):
    """Parts of a key to look for; a part left out matches everything, None matches an unused part."""

    subject: str


@dataclass(frozen=True)
class NewEntry:
    """One line to be written.

    Parameters
    ----------
    kind, subject : str
        What sort of fact, and about what: ``setting``/``table``, ``mark_stage``/control id, ...
    payload : mapping
        The JSON object kept as the value. Use `number_payload` for a number with its provenance.
    unit : str or None
        Unit of a number: ``mark``, ``turn``, ``deg``, ``kg`` ...
    sail_set, sea, wind_kn, gear, role
        The rest of the key, where the kind uses them.
    base_id : int, None or `REGARDLESS`
        Id of the entry the writer had seen in this cell; None when the cell was empty. Event kinds
        are always written regardless.
    uid : UUID or None
        Given by a device that wrote this earlier while alone; a second arrival changes nothing.
    """

    kind: str
    subject: str
    payload: Payload
    unit: str | None = None
    sail_set: str | None = None
    sea: str | None = None
    wind_kn: float | None = None
    gear: str | None = None
    role: str | None = None
    base_id: int | Base | None = None
    uid: UUID | None = None

    def __post_init__(self) -> None:
        for part in (self.kind, self.subject, self.sail_set, self.sea, self.gear, self.role):
            if part is not None and (not part.strip() or not part.isprintable()):
                raise InputError(
                    f"{part!r} is no part of a key", next_step="use a short printable name, or leave it out"
                )
        if self.wind_kn is not None and not (math.isfinite(self.wind_kn) and self.wind_kn >= 0.0):
            raise InputError(f"wind {self.wind_kn} kn: accepted is a finite number, not negative")

        _check_provenance(self.payload)

    @property
    def key(self) -> Key:
        """The cell this belongs to."""
        wind_kn = None if self.wind_kn is None else float(self.wind_kn)
        return Key(self.kind, self.subject, self.sail_set, self.sea, wind_kn, self.gear, self.role)


def _check_provenance(payload: Payload) -> None:
    """Refuse a value whose source nobody knows, or whose interval ends are no numbers."""
    source = payload.get("source") if "value" in payload else None
    if source is not None and source not in list(Source):
        raise InputError(
            f"source {source!r}; accepted: {', '.join(Source)}", next_step="say where it comes from"
        )
    for name in ("low", "high") if source is not None else ():
        end = payload.get(name)
        if end is not None and (isinstance(end, bool) or not isinstance(end, int | float)):
            raise InputError(
                f"{name} {end!r}: accepted is a number", next_step="leave it out, or give a number"
            )


@dataclass(frozen=True)
class Entry:
    """One line of the history as it stands in the book; never changed, never deleted.

    Parameters
    ----------
    id : int
        Order of writing in this book; an entry with a larger id is newer.
    uid, batch_uid : UUID
        The same on every device; entries written together share `batch_uid`.
    at : datetime
        When it was written, UTC.
    who, why : str
        Who wrote it and for what reason.
    key : Key
        Which cell it belongs to.
    payload : mapping
        The value as a JSON object.
    unit : str or None
        Unit of a number.
    base_id : int or None
        Id of the entry the writer had seen.
    device : str or None
        Which device wrote it.
    """

    id: int
    uid: UUID
    batch_uid: UUID
    at: datetime
    who: str
    why: str
    key: Key
    payload: Payload = field(hash=False)
    unit: str | None = None
    base_id: int | None = None
    device: str | None = None

    @property
    def value(self) -> Any:
        """The bare value: the number or text of the payload; None when the cell was emptied."""
        return self.payload.get("value")

    @property
    def is_blank(self) -> bool:
        """Whether this entry empties its cell."""
        return "value" in self.payload and self.payload["value"] is None

    @property
    def number(self) -> Number | None:
        """The value as a number with its provenance, or None when it is not a number."""
        value = self.payload.get("value")
        if isinstance(value, bool) or not isinstance(value, int | float) or "source" not in self.payload:
            return None
        source = Source(self.payload["source"])
        low, high, by = (self.payload.get(name) for name in ("low", "high", "by"))
        return Number(
            float(value), self.unit or "", source, low=low, high=high, by=by or self.who, at=self.at
        )


def number_payload(number: Number) -> dict[str, Any]:
    """Return the payload that keeps a number with its provenance.

    Raises
    ------
    InputError
        The value is not finite, or lies outside its own interval.
    """
    if not math.isfinite(number.value):
        raise InputError(f"value {number.value}: accepted is a finite number", next_step="enter it again")
    low = number.value if number.low is None else number.low
    high = number.value if number.high is None else number.high
    if not low <= number.value <= high:
        raise InputError(f"value {number.value:g} is outside its own interval {low:g} to {high:g}")
    kept = {"value": number.value, "source": str(number.source), "low": number.low, "high": number.high}
    return {
        **{name: part for name, part in kept.items() if part is not None},
        **({"by": number.by} if number.by else {}),
    }


def blank_payload() -> dict[str, Any]:
    """Return the payload that empties a cell."""
    return {"value": None}


def payload_text(payload: Payload) -> str:
    """Return a payload as the JSON text kept in the book: sorted keys, no NaN, UTF-8 letters kept.

    Raises
    ------
    InputError
        The payload holds something JSON cannot say.
    """
    try:
        text = json.dumps(
            dict(payload), sort_keys=True, ensure_ascii=False, allow_nan=False, separators=(",", ":")
        )
        text.encode("utf-8")
    except (TypeError, ValueError) as error:
        raise InputError(
            f"this value cannot be kept: {error}", next_step="use numbers, texts and lists"
        ) from error
    return text


def said(payload: Payload, unit: str | None = None) -> str:
    """Return a payload as a person would say it, for a conflict or a history line."""
    if "value" not in payload:
        return payload_text(payload)
    value = payload["value"]
    if value is None:
        return "(blank)"
    text = f"{value:g}" if isinstance(value, int | float) and not isinstance(value, bool) else str(value)
    return f"{text} {unit}" if unit else text
