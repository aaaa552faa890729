from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.gauge import Gauge, gauge_added_tension, gauge_force
from cringle.physics.vibration import string_frequency
from cringle.rig.measure import (
    by_gauge,
    by_recording,
    by_swing,
    frequency_range,
    middle_by_halyard,
    symmetry,
    wire_part,
)
from cringle.rig.recording import Recording


def test_length_comes_from_the_points_or_from_the_tape(base):
    assert_allclose(wire_part(base, "cap_port").length_m, 3.84, atol=0.01)
    assert wire_part(base, "cap_port", upper=True).length_m > 4.0
    assert_allclose(wire_part(base, "cap_port").whole_m, 8.00, atol=0.01)
    assert wire_part(base, "forestay", length_m=8.2).length_m == 8.2
    with pytest.raises(InputError, match="free length"):
        wire_part(base, "forestay", length_m=0.0)


@given(st.floats(800.0, 4000.0))
def test_gauge_reads_back(base, tension):
    part = wire_part(base, "cap_port")
    tool = Gauge(0.3, 0.005)
    force = gauge_force(tool, tension + gauge_added_tension(tool, 1.351e6, part.whole_m))
    found = by_gauge(part, span_mm=300.0, deflection_mm=5.0, force_n=force)
    assert_allclose(found.tension_n, tension, rtol=1e-9)
    assert found.low_n < tension < found.high_n


@given(st.floats(500.0, 5000.0))
def test_counted_swing_reads_back(base, tension):
    part = wire_part(base, "forestay")
    frequency = float(string_frequency(tension, part.length_m, part.strand.wire.mass_per_m))
    found = by_swing(part, cycles=frequency * 10.0, seconds=10.0)
    assert_allclose(found.tension_n, tension, rtol=0.02)
    assert found.low_n < tension < found.high_n


def test_more_swings_are_surer(base):
    part = wire_part(base, "forestay")
    few, many = by_swing(part, cycles=8, seconds=1), by_swing(part, cycles=80, seconds=10)
    assert many.high_n - many.low_n < few.high_n - few.low_n


def test_a_covered_stay_is_refused(base):
    part = wire_part(base, "forestay")
    covered = replace(part.strand, wire=part.strand.wire.model_copy(update={"covered": True}))
    with pytest.raises(InputError, match="covered"):
        by_swing(replace(part, strand=covered), cycles=30, seconds=4)
    with pytest.raises(InputError, match="covered"):
        by_recording(replace(part, strand=covered), Recording(np.zeros((10, 1)), 100.0, "motion"))


@pytest.mark.parametrize(("cycles", "seconds"), [(0, 5), (30, 0)])
def test_nothing_counted(base, cycles, seconds):
    with pytest.raises(InputError, match="count"):
        by_swing(wire_part(base, "forestay"), cycles=cycles, seconds=seconds)


def test_a_frequency_that_fits_no_wire(base):
    low, high = frequency_range(wire_part(base, "forestay"))
    with pytest.raises(InputError, match="this wire can carry") as caught:
        by_swing(wire_part(base, "forestay"), cycles=400, seconds=4)
    assert f"between {low:.1f} and {high:.1f} Hz" in str(caught.value)


def test_port_and_starboard():
    same, other = symmetry(
        {"cap_port": 2600.0, "cap_starboard": 2550.0, "lower_port": 400.0, "lower_starboard": 500.0}
    )
    assert not same.differ
    assert other.differ
    assert "starboard is 100 N tighter" in other.words
    assert symmetry({"cap_port": 2600.0, "forestay": 1400.0}) == []


def test_mast_in_the_middle(base):
    """By hand: b 0.98 m, 9.400 m to port, 9.412 m to starboard: (9.412^2 - 9.400^2) / (4 b) = 57.6 mm."""
    found = middle_by_halyard(base, port_mm=9400.0, starboard_mm=9412.0)
    assert_allclose(found.offset_mm, 57.588, atol=1e-3)
    assert found.is_off
    assert "to port" in found.words
    level = middle_by_halyard(base, port_mm=9400.0, starboard_mm=9400.0)
    assert (level.offset_mm, level.is_off) == (0.0, False)
    with pytest.raises(InputError, match="cannot be one masthead"):
        middle_by_halyard(base, port_mm=9400.0, starboard_mm=4000.0)
