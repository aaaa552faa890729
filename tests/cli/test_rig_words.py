"""Every answer about the rig in words, from answers made by hand: what is said, in which order."""

from __future__ import annotations

from types import SimpleNamespace

from cringle.cli import rig_text as text
from cringle.findings import Source
from cringle.rig.backstay import CoarseRow, HalfTravelAdvice, TravelRow, WindPlace
from cringle.rig.bridle_choice import LegComparison
from cringle.rig.choose import Candidate, Costs, Forecast
from cringle.rig.loads import DesignFactor, LoadRow
from cringle.rig.measure import MiddleCheck, PairCheck, TensionReading
from cringle.rig.sheet import SheetRow
from cringle.rig.state import RigState
from cringle.workflows.rig.backstay import LoadsAnswer
from cringle.workflows.rig.choose import ChooseAnswer
from cringle.workflows.rig.measure import CheckAnswer, MeasureAnswer
from cringle.workflows.rig.rig import SheetAnswer
from cringle.workflows.rig.shape import ShapeAnswer, ShapeRow

STATES = {"cap_shrouds": "between races", "forestay": "ashore"}
TENSIONS = {"cap_port": 2600.0, "cap_starboard": 2590.0, "forestay": 1380.0}
DOCK = RigState(TENSIONS, 25.0, 0.4, 0.0, 0.0, {}, {}, 7000.0, ())
UNDERWAY = RigState({**TENSIONS, "cap_port": 0.0}, 40.0, 30.0, 88.0, 60.0, {}, {}, 9000.0, ("cap_port",))


def sheet_row(wind: float, turns: float, *notes: str) -> SheetRow:
    return SheetRow(wind, {"cap_shrouds": turns}, {}, 0.0, DOCK, UNDERWAY, 36.0, Source.MEASURED, notes)


def test_sheet_in_columns():
    rows = (sheet_row(8.0, -0.5, "backstay slack"), sheet_row(14.0, 2.0, "backstay slack"))
    found = text.sheet_text(SheetAnswer("Brindle", rows, STATES, {}, ("open",), True))
    assert found[0].startswith("Tune sheet, Brindle")
    assert found[1].split() == [
        "wind",
        "cap",
        "shrouds",
        "forestay",
        "cap",
        "forestay",
        "prebend",
        "sag",
        "from",
    ]
    assert found[2].split() == [
        "8",
        "kn",
        "−½",
        "0",
        "2600",
        "N",
        "1380",
        "N",
        "25",
        "mm",
        "88",
        "±",
        "36",
        "mm",
        "measured",
    ]
    assert len({len(line) for line in found[1:4]}) == 1
    assert found[4:6] == ["Notes:", "  8, 14 kn: backstay slack."]
    assert "Warning: open." in found


def test_sheet_without_notes_has_no_empty_heading():
    found = text.sheet_text(SheetAnswer("Brindle", (sheet_row(8.0, 0.0),), STATES, {}, (), True))
    assert "Notes:" not in found


def test_choice_names_the_winner_first():
    best = Candidate(12.0, {"cap_shrouds": 1.0}, 0.4, 1.1, 0.0, 0.2, 0.6)
    other = Candidate(14.0, {"cap_shrouds": 2.0}, 0.9, 2.0, 0.5, 0.4, 1.3)
    answer = ChooseAnswer((best, other), Forecast((8.0, 15.0), (0.5, 0.5)), Costs(3.0, 1.0), STATES, ())
    found = text.choose_text(answer)
    assert found[0] == "For 8 to 15 kn set the 12 kn row: cap shrouds +1."
    assert found[1] == "Expected loss 0.4 s a mile (0.2 to 0.6); at worst 1.1."
    assert found[2] == "  the 14 kn row loses 0.5 s a mile more (at worst 2.0)"
    assert "20 mm of sag 3, 10 mm of bend 1" in found[3]


def test_choice_by_the_coachs_own_table_says_nothing_of_costs():
    best = Candidate(12.0, {}, 0.4, 1.1, 0.0, 0.4, 0.4)
    found = text.choose_text(ChooseAnswer((best,), Forecast((9.0,), (1.0,)), None, STATES, ()))
    assert not any("assumed" in line for line in found)


def advice(at: float | None) -> HalfTravelAdvice:
    coarse = (CoarseRow(-20.0, None, 12.0, False), CoarseRow(40.0, 50.0, 9.0, True))
    return HalfTravelAdvice(1200.0, at, 40.0, 50.0, 9.0, 33.0, "Shorten the coarse part by 40 mm.", coarse)


def backstay_answer(**change: object) -> SimpleNamespace:
    row = TravelRow(50.0, 625.0, 49.0, 608.0, 66.0, 18.0, 9.2, 51.0, 78.0, 76.0)
    legs = (
        LegComparison(0.0, "equal pull", 500.0, 36.0, 370.0, 10.0, 0.9, 2040.0, 1077.0, 1200.0, 77.0),
        LegComparison(900.0, "equal height", 1400.0, 73.0, None, None, 0.9, 2940.0, None, 1200.0, None),
    )
    plain = {
        "boat": "Brindle",
        "backstay": SimpleNamespace(kind="ring"),
        "wind_kn": 12.0,
        "rows": (row,),
        "advice": advice(86.0),
        "winds": (WindPlace(8.0, 75.0, 6.0, 0.0, 0.0, True),),
        "legs": legs,
        "top_load_source": "entered",
        "warnings": (),
    }
    return SimpleNamespace(**{**plain, **change})


def test_backstay_says_the_advice_before_the_table():
    found = text.backstay_text(backstay_answer())
    assert found[0] == "Backstay of Brindle (ring), upwind in 12 kn:"
    assert found[1] == "Shorten the coarse part by 40 mm."
    assert found[2] == "33 % of the travel only removes slack."
    assert found[4] == "  20 mm longer: top load beyond the travel, lightest setting at 12 %; at an end"
    assert found[5] == "  40 mm shorter: top load at 50 %, lightest setting at 9 %; off both ends"
    assert "608 N" in found[7]
    assert "  8 kn: 6 % of the travel, 0 N (slack)" in found


def test_backstay_legs_say_what_the_rig_does_not_stand():
    found = "\n".join(text.backstay_text(backstay_answer()))
    assert "as it is, equal pull (500 mm): take-up 36 mm, 370 N" in found
    assert "top load after 1077 mm, 77 N in the hand" in found
    assert "900 mm shorter, equal height (1400 mm): take-up 73 mm, more than the rig stands" in found
    assert "the travel ends before the top load" in found


def test_backstay_without_a_table_names_no_winds():
    assert not any("settings table" in line for line in text.backstay_text(backstay_answer(winds=())))


def test_loads_with_and_without_a_break_load():
    rows = (
        LoadRow("cap", 2600.0, 4600.0, 6900.0, 14.0, 4249.0, 12600.0, 1.83),
        LoadRow("main_sheet", None, 1461.0, 2192.0, None, None, None, None),
    )
    found = text.loads_text(LoadsAnswer("Brindle", rows, DesignFactor(1.5, "a handbook"), (10.0, 14.0), ()))
    assert found[0] == "Loads of Brindle over 10, 14 kn upwind."
    assert (
        found[1]
        == "  cap: 4600 N in 14 kn, peak 6900 N; break 12600 N, margin 1.8; 4249 N by righting moment"
    )
    assert found[2] == "  main sheet: 1461 N, peak 2192 N; break load unknown"
    assert found[3] == "Peak = working load x 1.5 (a handbook)."


def test_measurement_beside_the_model():
    reading = TensionReading("forestay", 1290.0, 1036.0, 1544.0, "swing", 7.69, None, ("ends half clamped",))
    found = text.measure_text(MeasureAnswer(reading, 1380.0, -6.5, {}, False, ()))
    assert found[0] == "forestay: 1290 N (1036 to 1544) by swing (7.69 Hz)."
    assert found[1] == "The model expects 1380 N at the recorded turns: -6 %."
    assert found[2] == "  ends half clamped"
    assert found[3].startswith("Not kept")


def test_entered_has_no_frequency():
    reading = TensionReading("cap_port", 2600.0, 2470.0, 2730.0, "entered")
    assert (
        text.measure_text(MeasureAnswer(reading, 2600.0, 0.0, {}, True, ()))[0]
        == "cap port: 2600 N (2470 to 2730) by entered."
    )


def test_checks():
    pairs = (PairCheck("cap", 2600.0, 2900.0, True, "starboard is 300 N tighter"),)
    middle = MiddleCheck(-38.2, True, "the masthead leans 38 mm to starboard")
    found = text.check_text(CheckAnswer(pairs, middle))
    assert found[0] == "cap: port 2600 N, starboard 2900 N: starboard is 300 N tighter."
    assert found[1] == "Masthead 38 mm off: the masthead leans 38 mm to starboard."
    assert text.check_text(CheckAnswer((), None))[0].startswith("No wire was measured on both sides")


def test_shape_beside_the_model():
    rows = (ShapeRow("sag_mm", 95.0, 88.2, 36.4, True), ShapeRow("prebend_mm", 60.0, 40.0, 3.0, False))
    found = text.shape_text_beside(ShapeAnswer(rows, 12.0, 225.0, True, ()))
    assert found[0] == "sag upwind in 12 kn: 95 mm; the model expects 88 ± 36 mm: within."
    assert found[1] == "prebend upwind in 12 kn: 60 mm; the model expects 40 ± 3 mm: outside."
    assert "on the dock" in text.shape_text_beside(ShapeAnswer(rows[1:], 0.0, 0.0, False, ()))[0]


def test_slack_wires_are_in_the_words():
    assert text.tensions_text(DOCK) == "cap port 2600 N  cap starboard 2590 N  forestay 1380 N"
    assert text._slack(UNDERWAY) == "; slack: cap port"
    assert text._slack(DOCK) == ""
