"""Options of a simulated race: their limits and their record."""

from __future__ import annotations

import json
from datetime import datetime

import pytest

from cringle.errors import CringleError, InputError, OutOfRangeError
from cringle.track.simulator.options import SimOptions, SimSensors, SimWeather


@pytest.mark.parametrize(
    "wrong",
    [
        {"boats": 0},
        {"laps": 99},
        {"leg_m": 10.0},
        {"weather": SimWeather(wind_kn=1.0)},
        {"sensors": SimSensors(rate_hz=100.0)},
        {"lat_deg": 90.0},
    ],
)
def test_numbers_beyond_their_range_are_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(OutOfRangeError, match="accepted"):
        SimOptions(**wrong)


def test_words_that_are_none_list_the_right_ones() -> None:
    with pytest.raises(InputError, match="reversed"):
        SimOptions(sensors=SimSensors(clock="late"))
    with pytest.raises(InputError, match="waves"):
        SimOptions(sea="rough")
    with pytest.raises(CringleError, match="time zone"):
        SimOptions(start=datetime(2026, 6, 17))


def test_every_option_is_in_the_record() -> None:
    kept = json.loads(json.dumps(SimOptions().to_json()))
    assert kept["weather"]["swing_deg"] == 10.0
    assert kept["crew"]["tack_loss_m"] == [8.0, 20.0]
    assert kept["sensors"]["gps_drift_m"] == 1.5
    assert kept["start"].endswith("+00:00")
