"""A chart's specification fitted to where it stands."""

from __future__ import annotations

import pytest

from cringle.output.chart_shape import NARROW_PX, WIDE_PX, fitted, touchable
from cringle.output.palette import LIGHT
from cringle.output.speed_charts import targets_spec

COLUMNS = {
    f"{key}{end}": [1.0, 2.0, 3.0] for key in ("made_good", "angle", "heel") for end in ("", "_low", "_high")
}
SPEC = targets_spec({"up": {"wind": [4.0, 8.0, 12.0], **COLUMNS}}, "Targets", LIGHT)


@pytest.mark.parametrize(("wide", "expected"), [(False, NARROW_PX), (True, WIDE_PX)])
def test_every_panel_has_the_width_there_is(wide: bool, expected: int) -> None:
    found = fitted(SPEC, wide=wide)
    assert [one["width"] for one in found["vconcat"]] == [expected] * 3


def test_the_page_writes_the_heading_itself() -> None:
    assert "title" in SPEC
    assert "title" not in fitted(SPEC, wide=True)


def test_a_timeline_is_not_squeezed() -> None:
    assert fitted({"width": 900}, wide=False)["width"] == 900


def test_a_plot_narrower_than_the_place_stays_as_it_is() -> None:
    assert fitted({"width": 420}, wide=True)["width"] == 420


def test_bars_and_values_stay_as_they_are() -> None:
    values = [{"width": 300}]
    spec = {"width": 560, "mark": {"type": "bar", "width": 6}, "data": {"values": values}}
    found = fitted(spec, wide=False)
    assert found["mark"]["width"] == 6
    assert found["data"]["values"] == values


def test_marks_tell_their_values_when_touched() -> None:
    found = touchable(SPEC)
    assert found["config"]["mark"]["tooltip"] is True
    assert found["config"]["axis"] == SPEC["config"]["axis"]
    assert "mark" not in SPEC["config"]
