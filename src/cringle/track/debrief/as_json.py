"""A debrief as plain values for JSON: snake_case, the unit on every key, unknown is null."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import Any, Final

from cringle.track.debrief.debrief import Debrief
from cringle.track.debrief.race_as_json import loss_json, race_json
from cringle.track.debrief.summary import SpeedSummary
from cringle.track.sailing.heel import HeelPart, HeelSummary
from cringle.track.turns.tacks import Manoeuvre
from cringle.track.turns.turns import Turn

SCHEMA: Final = 1
DIGITS: Final = 4


def as_json(found: Debrief) -> dict[str, Any]:
    """Return the findings of a debrief as plain values."""
    log = found.log
    values = {
        "schema": SCHEMA,
        "boat": found.boat,
        "file": log.name,
        "format": log.format,
        "sha256": log.sha256,
        "date_source": log.date_source,
        "start": found.start.isoformat(),
        "end": found.end.isoformat(),
        "day": None if found.day is None else found.day.isoformat(),
        "days": [one.isoformat() for one in found.days],
        "duration_s": found.duration_s,
        "time_zone": found.time_zone,
        "rows": log.rows,
        "lines_read": log.lines_read,
        "lines_skipped": dict(log.lines_skipped),
        "duplicates": log.duplicates,
        "gap_count": log.gap_count,
        "clock_repairs": dict(log.clock_repairs),
        "magnetic_variation_deg": log.magnetic_variation_deg,
        "distance_nm": found.distance_nm,
        "gap_distance_nm": found.gap_distance_nm,
        "faulty_steps": found.faulty_steps,
        "turns": len(found.turns),
        "tacks": found.tacks,
        "gybes": found.gybes,
        "speed": _speed(found.speed),
        "wind": None if found.wind is None else asdict(found.wind),
        "heel": None if found.heel is None else _heel(found.heel),
        "manoeuvres": _manoeuvres(found),
        "typical": {kind: asdict(found.typical(kind)) for kind in ("tack", "gybe")},
        "side_changes_refused": None if found.refused is None else dict(found.refused),
        "turn_list": [_turn(one) for one in found.turns],
        "origins": asdict(found.origins),
        "unknown": list(found.unknown),
        "corrections": [one.to_json() for one in found.corrections],
        **race_json(found.race),
    }
    return {key: rounded(value) for key, value in values.items()}


def rounded(value: Any) -> Any:
    """Return the value with floats rounded to four decimals, null where not known, inside containers too."""
    if isinstance(value, float):
        return round(value, DIGITS) if math.isfinite(value) else None
    if isinstance(value, dict):
        return {key: rounded(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [rounded(one) for one in value]
    return value


def _speed(speed: SpeedSummary) -> dict[str, Any]:
    return {
        "sog": None if speed.sog is None else asdict(speed.sog),
        "stw": None if speed.stw is None else asdict(speed.stw),
        "by_point_of_sail": {
            name: {"mean_kn": mean, "measured_by": speed.measured_by}
            for name, mean in speed.mean_by_point_of_sail_kn.items()
        },
        "stopped_s": speed.stopped_s,
    }


def _heel(heel: HeelSummary) -> dict[str, Any]:
    parts = {name: None if part is None else _heel_part(part) for name, part in heel.by_point_of_sail.items()}
    return {
        "mean": heel.mean_deg,
        "sd": heel.sd_deg,
        "mean_deg": heel.mean_deg,
        "sd_deg": heel.sd_deg,
        "in_band_share": heel.in_band_share,
        "time_s": heel.time_s,
        "sign_turned": heel.sign_turned,
        "by_point_of_sail": parts,
    }


def _heel_part(part: HeelPart) -> dict[str, Any]:
    band = part.band
    return {
        "mean_deg": part.mean_deg,
        "sd_deg": part.sd_deg,
        "p10_deg": part.p10_deg,
        "p90_deg": part.p90_deg,
        "time_s": part.time_s,
        "band_low_deg": None if band is None else band.low_deg,
        "band_high_deg": None if band is None else band.high_deg,
        "band_source": None if band is None else band.source,
        "in_band_share": part.in_band_share,
    }


def _manoeuvres(found: Debrief) -> list[dict[str, Any]] | None:
    """Return tacks and gybes, each with what it cost where that is known."""
    if found.manoeuvres is None:
        return None
    if found.race is None:
        return [{**_manoeuvre(one), "metres_lost": None} for one in found.manoeuvres]
    both = zip(found.manoeuvres, found.race.manoeuvres, strict=True)
    return [{**_manoeuvre(one), **loss_json(cost)} for one, cost in both]


def _manoeuvre(one: Manoeuvre) -> dict[str, Any]:
    values = asdict(one)
    return {"time": values.pop("at").isoformat(), **values}


def _turn(one: Turn) -> dict[str, Any]:
    values = asdict(one)
    return {"time": values.pop("at").isoformat(), **values}
