from __future__ import annotations

from datetime import UTC, datetime

from cringle.findings import Source
from cringle.output.rig_sheet_pdf import notes_by_words, tune_sheet_markup, tune_sheet_pdf
from cringle.rig.sheet import SheetRow
from cringle.rig.state import RigState

AT = datetime(2026, 6, 3, 17, 0, tzinfo=UTC)
STATE = RigState({"cap_port": 2600.0, "cap_starboard": 2600.0}, 25.0, 0.0, 80.0, 0.0, {}, {}, 7000.0, ())


def row(wind: float, turns: float, *notes: str) -> SheetRow:
    return SheetRow(wind, {"cap_shrouds": turns}, {}, 0.0, STATE, STATE, 20.0, Source.MEASURED, notes)


def test_halves_have_their_own_sign_and_sides_are_shown_once():
    found = tune_sheet_markup([row(8, -0.5), row(14, 2)], "Brindle", rules={}, warnings=[], made=AT)
    assert "−½" in found
    assert found.count("2600") == 2
    assert "starboard N" not in found


def test_notes_are_told_once():
    assert notes_by_words([row(8, 0, "slack"), row(10, 0, "slack", "loose")]) == [
        "8, 10 kn: slack.",
        "10 kn: loose.",
    ]


def test_hostile_names_are_text_only():
    data = tune_sheet_pdf(
        [row(8, 0)], 'Br#[*x*]"', rules={"cap_shrouds": "#panic()"}, warnings=["#x"], made=AT
    )
    assert data.startswith(b"%PDF")
