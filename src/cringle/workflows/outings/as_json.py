"""An outing as plain JSON data: units in the names, UTC, unknown is null."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from datetime import datetime
from typing import Any

from cringle.book.outings import Outing
from cringle.book.rows import time_text

RENAMED = {"hours": "used_h", "row_kn": "row_wind_kn"}
HIDDEN = frozenset({"entry_id"})


def outing_as_json(outing: Outing) -> dict[str, Any]:
    """Return everything an outing records."""
    return {
        "schema": 1,
        "id": outing.id,
        "day": outing.day.isoformat(),
        "place": outing.place,
        "time_zone": outing.zone.key,
        "started_utc": time_text(outing.started),
        "ended_utc": None if outing.ended is None else time_text(outing.ended),
        "wind": [record_as_json(one) for one in outing.winds],
        "sea": [record_as_json(one) for one in outing.seas],
        "crew": [record_as_json(one) for one in outing.crews],
        "sails": [record_as_json(one) for one in outing.sails],
        "used_h": outing.hours_by_sail,
        "rig": [record_as_json(one) for one in outing.rigs],
        "settings": [record_as_json(one) for one in outing.settings],
        "observations": [record_as_json(one) for one in outing.observations],
        "logs": [record_as_json(one) for one in outing.logs],
        "goals": [record_as_json(one) for one in outing.goals],
        "actions": [record_as_json(one) for one in outing.actions],
    }


def record_as_json(record: Any) -> dict[str, Any]:
    """Return a frozen record of an outing, its instant as ``at_utc``."""
    found: dict[str, Any] = {}
    for one in fields(record):
        if one.name in HIDDEN:
            continue
        value = getattr(record, one.name)
        name = "at_utc" if one.name == "at" else RENAMED.get(one.name, one.name)
        found[name] = _plain(value)
    return found


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return time_text(value)
    if isinstance(value, Mapping):
        return dict(value)
    return list(value) if isinstance(value, tuple) else value
