from __future__ import annotations

import json

from cringle.rig.choose import forecast_of
from cringle.rig.fit import RigFit
from cringle.rig.inverse import Target
from cringle.rig.model import RigFactors
from cringle.workflows.rig import as_json as rig_json
from cringle.workflows.rig.backstay import BackstayRequest, rig_backstay, rig_loads
from cringle.workflows.rig.choose import rig_choose
from cringle.workflows.rig.measure import MeasureRequest, rig_check, rig_measure
from cringle.workflows.rig.rig import SolveRequest, rig_base, rig_sheet, rig_solve, rig_turns

UNITS = ("_n", "_mm", "_kn", "_pct", "_s_per_mile", "_hz", "_low", "_high")


def told(data: dict[str, object]) -> dict[str, object]:
    """Return the document after a trip through JSON: nothing in it is NaN or unknown to JSON."""
    return json.loads(json.dumps(data, allow_nan=False))


def test_turns(book_folder):
    found = told(rig_json.turns_json(rig_turns(book_folder, {"cap_shrouds": 1.0, "lower_shrouds": 0.5})))
    assert {"tensions_n", "prebend_mm", "sag_mm", "rake_mm", "slack"} <= set(found)
    assert set(found["tensions_n"]) == {
        "cap_port",
        "cap_starboard",
        "lower_port",
        "lower_starboard",
        "forestay",
        "backstay",
    }
    assert found["slack"] == []
    assert found["sag_mm"] == found["sailing"]["sag_mm"] > 0.0
    assert found["per_turn"]["cap_port"]["cap_port_n"] > 100.0
    assert found["per_turn"]["cap_port"]["sag_mm"] < 0.0
    assert found["cautions"]


def test_base(book_folder):
    found = told(rig_json.base_json(rig_base(book_folder)))
    assert (found["source"], found["sag_mm"]) == ("entered", None)
    assert found["unstressed_mm"]["forestay"] > 8000.0


def test_solve(book_folder):
    request = SolveRequest((Target("cap_port_n", 3000.0), Target("prebend_mm", 28.0)))
    found = told(rig_json.solve_json(rig_solve(book_folder, request)))
    assert [one["wanted"] for one in found["targets"]] == [3000.0, 28.0]
    for role, exact in found["turns_exact"].items():
        assert found["turns_low"][role] <= exact <= found["turns_high"][role]


def test_sheet(book_folder):
    found = told(rig_json.sheet_json(rig_sheet(book_folder, winds_kn=[8.0, 14.0])))
    assert [row["wind_kn"] for row in found["rows"]] == [8.0, 14.0]
    assert all(row["sag_mm_low"] <= row["sag_mm"] <= row["sag_mm_high"] for row in found["rows"])
    assert found["rule_state"]["forestay"] == "ashore"


def test_choose(book_folder):
    found = told(
        rig_json.choose_json(rig_choose(book_folder, forecast_of({0.5: 10.0}), winds_kn=[8.0, 12.0]))
    )
    assert found["candidates"][0]["behind_s_per_mile"] == 0.0
    assert "no source" in found["costs_source"]


def test_backstay(book_folder):
    found = told(rig_json.backstay_json(rig_backstay(book_folder, BackstayRequest(points=4, wind_kn=12.0))))
    wanted = {"travel_pct", "take_up_mm", "load_n", "hand_load_n", "tip_aft_mm", "sag_mm"}
    assert all(wanted <= set(row) for row in found["rows"])
    assert found["half_travel_advice"]["words"]
    assert {one["compared_at"] for one in found["upper_leg"]} == {"equal pull", "equal height"}


def test_loads_keep_the_factors_source(book_folder):
    found = told(rig_json.loads_json(rig_loads(book_folder, winds_kn=[10.0])))
    assert found["design_factor_source"]
    assert next(row for row in found["rows"] if row["part"] == "jib_sheet")["break_load_n"] is None


def test_measure_check_and_fit(book_folder):
    request = MeasureRequest("cap_port", tension_n=2500.0)
    found = told(rig_json.measure_json(rig_measure(book_folder, request, keep=True)))
    assert (found["frequency_hz"], found["kept"]) == (None, True)
    assert told(rig_json.check_json(rig_check(book_folder)))["pairs"] == []
    fit = RigFit(RigFactors(), {"wire": 0.1, "mast": 0.1, "sag": 0.3}, (1.0,), (0.5,), 1)
    assert told(rig_json.fit_json(fit, kept=False))["factors_low"]["wire"] == 0.9


def test_unknown_is_null_and_zero_has_no_sign():
    assert rig_json.plain(None) is None
    assert rig_json.plain(float("nan")) is None
    assert rig_json.plain(float("inf")) is None
    assert str(rig_json.plain(-0.001)) == "0.0"
