"""The chart of a play."""

from __future__ import annotations

import numpy as np
import pytest

from cringle.errors import InputError
from cringle.output.palette import DARK, GLARE, LIGHT
from cringle.output.play_chart import Timeline, timeline_file, timeline_spec, timeline_svg
from cringle.plays.lanes import Bar, CueMark, Lanes
from cringle.plays.weight import WeightStrip

BARS = (
    Bar("hoist", "a", 0, 0.0, 4.0, 4.0, "Hoist", critical=True, background=False),
    Bar("tidy", "b", 1, 1.0, 2.0, 4.0, "tidy <&>", critical=False, background=False),
    Bar("steer", "b", 2, 0.0, 4.0, 4.0, "steer", critical=False, background=True),
)
LANES = Lanes(BARS, (CueMark("due", 3.0, "Due", 0),), {"a": (0, 0), "b": (1, 2)}, 6.0)


def strip():
    time = np.linspace(0.0, 8.0, 81)
    return WeightStrip(time, time, np.sin(time), np.cos(time), time - 9.0, time + 9.0)


@pytest.mark.parametrize("theme", [LIGHT, DARK, GLARE])
def test_every_theme_draws(theme):
    svg = timeline_svg(Timeline("Title", "sub", LANES, {"a": "Ann", "b": "Bo"}, strip()), theme)
    for words in ("Title", "Ann", "Bo", "Hoist", "tidy &lt;&amp;&gt;", "Due", "heel [°]"):
        assert words in svg
    assert theme.tape in svg or theme.tape.lower() in svg


def test_without_a_strip_the_lanes_carry_the_axis():
    spec = timeline_spec(Timeline("T", "s", LANES, {"a": "A", "b": "B"}))
    assert len(spec["vconcat"]) == 2
    assert "seconds from the call" in timeline_svg(Timeline("T", "s", LANES, {"a": "A", "b": "B"}))


def test_the_axis_holds_the_strip():
    spec = timeline_spec(Timeline("T", "s", LANES, {}, strip()))
    assert "[0.0, 8.0]" in str(spec["vconcat"][0])


def test_critical_and_open_differ_in_more_than_colour():
    text = str(timeline_spec(Timeline("T", "s", LANES, {})))
    assert f"'fill': '{LIGHT.ground}'" in text
    assert f"'fill': '{LIGHT.tape}'" in text


def test_other_files_are_refused():
    with pytest.raises(InputError, match=r"'\.pdf'"):
        timeline_file(Timeline("T", "s", LANES, {}), ".pdf")
