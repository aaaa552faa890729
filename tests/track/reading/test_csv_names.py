from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.track.reading.csv_names import QUANTITIES, TIMES, UNCLEAR, ColumnPlan, plain, plan_columns
from cringle.track.reading.gpx import EXTENSIONS
from cringle.track.reading.nmea_sentences import SENTENCES, TRANSDUCERS
from cringle.track.reading.report import SKIP_REASONS
from cringle.track.schema import CHANNELS, TRACK_COLUMNS

PATH = Path("evening.csv")


def plan(*headers: str, **renamed: str) -> ColumnPlan:
    return plan_columns(list(headers), renamed, PATH)


@pytest.mark.parametrize(
    ("header", "name"),
    [
        ("SOG_kn", "sog_kn"),
        ("Speed over ground [kn]", "speed_over_ground_kn"),
        ("Heading (deg true)", "heading_deg_true"),
        ("speed over ground (m/s)", "speed_over_ground_m_per_s"),
        ("Roll [°]", "roll_deg"),
        ('"Latitude"', "latitude"),
        ("rot (deg/min)", "rot_deg_per_min"),
    ],
)
def test_plain_names(header: str, name: str) -> None:
    assert plain(header) == name


@pytest.mark.parametrize(
    ("header", "column", "value", "expected"),
    [
        ("sog_kn", "sog", 5.0, 5.0),
        ("Speed over ground [knots]", "sog", 5.0, 5.0),
        ("sog m/s", "sog", 10.0, 19.438444924),
        ("sog_km/h", "sog", 18.52, 10.0),
        ("sog_mph", "sog", 10.0, 8.689762419),
        ("cog_deg", "cog", 360.0, 0.0),
        ("cog_rad", "cog", -np.pi / 2, 270.0),
        ("heading_deg_true", "hdg", -10.0, 350.0),
        ("heading_deg_mag", "hdg_mag", 10.0, 10.0),
        ("hdm_deg", "hdg_mag", 10.0, 10.0),
        ("hdm_deg_mag", "hdg_mag", 10.0, 10.0),
        ("hdt_deg", "hdg", 10.0, 10.0),
        ("awa_deg", "awa", 315.0, -45.0),
        ("awa_deg_signed", "awa", -45.0, -45.0),
        ("twa_rad", "twa", np.pi, 180.0),
        ("roll_deg", "roll", 12.0, 12.0),
        ("heel_to_port_deg", "roll", 12.0, -12.0),
        ("heel_to_port_rad", "roll", np.pi / 6, -30.0),
        ("heel_to_starboard_deg", "roll", 12.0, 12.0),
        ("rot_deg_per_s", "rot", 2.0, 120.0),
        ("lat", "lat", 54.0, 54.0),
        ("longitude_deg", "lon", 10.0, 10.0),
        ("variation_deg", "variation", 3.0, 3.0),
    ],
)
def test_units(header: str, column: str, value: float, expected: float) -> None:
    quantity, convert = plan("time_utc", header).numbers[1]
    assert quantity.column == column
    assert_allclose(convert(np.array([value])), [expected], rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize(
    ("header", "choices"),
    [
        ("sog", ["sog_kn", "sog_m_per_s", "sog_km_per_h", "sog_mph"]),
        ("heading", ["hdg_deg_true", "hdg_deg_mag"]),
        ("heading_deg", ["hdg_deg_true", "hdg_deg_mag"]),
        ("speed_kn", ["sog_kn", "stw_kn"]),
        ("heel", ["roll_deg", "heel_to_starboard_deg", "heel_to_port_deg"]),
        ("heel_deg", ["roll_deg", "heel_to_port_deg"]),
        ("wind_speed_kn", ["aws_kn", "tws_kn"]),
        ("roll_kn", ["roll_deg", "roll_rad"]),
    ],
)
def test_unclear_headers_list_the_choices(header: str, choices: list[str]) -> None:
    with pytest.raises(InputError) as caught:
        plan("time_utc", header)
    message = str(caught.value)
    assert f"evening.csv:1: {header}:" in message
    assert all(choice in message for choice in choices)
    assert "--column" in message


def test_all_mistakes_at_once() -> None:
    with pytest.raises(InputError) as caught:
        plan("sog", "heel", "lat", "latitude")
    message = str(caught.value)
    assert all(
        part in message for part in ("sog:", "heel:", "exactly one time column", "two columns give lat")
    )


def test_a_renamed_header() -> None:
    quantity, _ = plan("time_utc", "heel_deg", heel_deg="roll_deg").numbers[1]
    assert quantity.column == "roll"


def test_unknown_headers_are_left_out() -> None:
    made = plan("time_utc", "battery_v", "speed_accuracy_m_per_s", "heel_note")
    assert made.ignored == ("battery_v", "speed_accuracy_m_per_s", "heel_note")


def test_time_columns() -> None:
    assert plan("epoch_ms", "lat").time_kind == "epoch_ms"
    with pytest.raises(InputError, match="time_utc"):
        plan("lat", "lon")
    with pytest.raises(InputError, match="exactly one"):
        plan("time_utc", "epoch_s")


def test_every_name_is_plain_and_says_one_thing() -> None:
    names = [name for one in QUANTITIES for name in one.names] + list(TIMES) + list(UNCLEAR)
    assert len(names) == len(set(names))
    assert all(plain(name) == name for name in names)


def test_every_choice_offered_is_accepted() -> None:
    offered = [choice for one in QUANTITIES for choice in one.choices()] + [
        one for many in UNCLEAR.values() for one in many
    ]
    for choice in offered:
        assert len(plan("time_utc", choice).numbers) == 1


DOCUMENT = Path(__file__).parents[3] / "docs" / "reference" / "log-formats.md"


def test_the_documented_table_has_every_name_and_unit() -> None:
    text = DOCUMENT.read_text(encoding="utf-8")
    names = [name for one in QUANTITIES for name in one.names]
    units = [unit for one in QUANTITIES for unit in one.units if unit]
    for word in [*names, *units, *TIMES, *UNCLEAR]:
        assert f"`{word}`" in text, word


def test_the_document_names_every_sentence_reason_extension_and_column() -> None:
    text = DOCUMENT.read_text(encoding="utf-8")
    for word in [*SENTENCES, *SKIP_REASONS, *EXTENSIONS, *TRACK_COLUMNS, *CHANNELS]:
        assert f"`{word}`" in text, word
    assert all(f"`{name.decode()}`" in text for name in TRANSDUCERS)
