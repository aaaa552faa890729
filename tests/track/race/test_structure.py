"""The structure as plain values."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

from cringle.track.simulator.options import SimOptions


def test_plain_values_with_units(simulated: Callable[..., Any]) -> None:
    structure = simulated(SimOptions(), 1).structure
    kept = json.loads(json.dumps(structure.to_json(), allow_nan=False))
    assert [one["kind"] for one in kept["legs"]] == ["up", "reach", "run"] * 2
    assert {"duration_s", "made_good_m", "confidence", "mark"} <= set(kept["legs"][0])
    assert kept["roundings"][0]["mark"] == "windward"
    assert len(kept["starts"]) == len(kept["finishes"]) == 1


def test_the_leg_of_a_row(simulated: Callable[..., Any]) -> None:
    structure = simulated(SimOptions(), 1).structure
    second = structure.legs[1]
    assert structure.leg_at(second.first) is second
    assert structure.leg_at(0) is None
    assert second.seconds == second.end - second.first
