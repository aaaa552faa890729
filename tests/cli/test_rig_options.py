from __future__ import annotations

import pytest
import typer

from cringle.cli.rig_options import (
    asked_turns,
    forecast_from,
    gauge_from,
    numbers,
    pairs,
    swing_from,
    targets_from,
    wires_from,
)
from cringle.workflows.rig.book import DEFAULT_WINDS_KN


def test_numbers():
    assert numbers("8, 10,12") == [8.0, 10.0, 12.0]
    assert numbers(None) == DEFAULT_WINDS_KN
    with pytest.raises(typer.BadParameter, match="no number"):
        numbers("8,wind")


def test_pairs_and_turns():
    assert wires_from(["cap=2600"]) == {"cap": 2600.0}
    assert asked_turns(1.0, None, 0.0, ["cap_port=1.5"]) == {
        "cap_shrouds": 1.0,
        "forestay": 0.0,
        "cap_port": 1.5,
    }
    with pytest.raises(typer.BadParameter, match="NAME=VALUE"):
        pairs(["cap"], "NAME=VALUE")


def test_targets():
    found = targets_from({"cap": 3000.0, "prebend": None}, 80.0, -5.0, ["lower_port_n=500"])
    assert [(one.name, one.sailing, one.kind) for one in found] == [
        ("cap_port_n", False, "absolute"),
        ("lower_port_n", False, "absolute"),
        ("sag_mm", True, "absolute"),
        ("sag_mm", True, "change"),
    ]
    with pytest.raises(typer.BadParameter, match="say what you want"):
        targets_from({}, None, None, None)


def test_forecast():
    assert min(forecast_from(8.0, 12.0, None).winds_kn) >= 8.0
    assert set(forecast_from(None, None, ["50=9"]).winds_kn) == {9.0}


def test_readings():
    assert gauge_from(None, None, None) is None
    assert gauge_from(300.0, 5.0, 170.0) == (300.0, 5.0, 170.0)
    assert swing_from(None, None) is None
    assert swing_from(30.0, 4.0) == (30.0, 4.0)
    with pytest.raises(typer.BadParameter):
        swing_from(30.0, None)
