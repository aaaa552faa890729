import json
from pathlib import Path
from typing import Any

import pytest

from cringle.track.debrief.as_json import as_json, rounded
from cringle.track.debrief.debrief import debrief
from cringle.track.reading.read import read_log

UNITS = ("_kn", "_deg", "_s", "_m", "_nm", "_share")
PLAIN = {
    *("schema", "boat", "file", "format", "sha256", "date_source", "start", "end", "time_zone", "rows"),
    *("lines_read", "lines_skipped", "duplicates", "gap_count", "clock_repairs", "faulty_steps", "turns"),
    *("tacks", "gybes", "speed", "wind", "heel", "manoeuvres", "typical", "side_changes_refused"),
    *("turn_list", "origins", "unknown", "sog", "stw", "by_point_of_sail", "measured_by", "upwind"),
    *("reaching", "downwind", "sign_turned", "band_source", "tack", "gybe", "count", "time", "kind"),
    *("twd_deg", "wind_source", "legs", "ledger", "ledger_detail", "advice", "heel_discipline", "felt"),
    *("manoeuvre_summary", "structure", "mean", "sd", "metres_lost", "corrections"),
    *("day", "days", "heel_spotted"),
    *("motion", "true_wind", "wind_direction", "apparent_wind", "bow", "bad_checksum"),
}


@pytest.fixture(scope="module")
def values(examples: Path) -> dict[str, Any]:
    return as_json(debrief(read_log(examples / "evening.nmea"), name="evening.nmea"))


def keys(value: Any) -> set[str]:
    if isinstance(value, dict):
        return set(value) | {key for one in value.values() for key in keys(one)}
    return {key for one in value for key in keys(one)} if isinstance(value, list) else set()


def test_every_number_has_its_unit(values: dict[str, Any]) -> None:
    without = {key for key in keys(values) if not key.endswith(UNITS)}
    assert without <= PLAIN


def test_the_promised_keys_are_there(values: dict[str, Any]) -> None:
    promised = {"start", "end", "rows", "distance_nm", "tacks", "gybes", "lines_read", "lines_skipped"}
    assert promised <= set(values)
    assert (values["tacks"], values["gybes"]) == (8, 6)
    assert values["lines_skipped"] == {"bad_checksum": 4}
    assert values["start"] == "2026-06-17T17:30:00+00:00"


def test_it_is_json_without_nan(values: dict[str, Any]) -> None:
    assert json.loads(json.dumps(values, allow_nan=False)) == values


def test_rounding_reaches_into_containers() -> None:
    assert rounded({"a": [1.234567, None, (2, "x")]}) == {"a": [1.2346, None, [2, "x"]]}


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf")])
def test_what_is_not_known_is_null(value: float) -> None:
    told = rounded({"lat_deg": value, "rows": [value, 1.0]})
    assert told == {"lat_deg": None, "rows": [None, 1.0]}
    json.dumps(told, allow_nan=False)
