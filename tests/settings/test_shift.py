from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.boat.read import read_book_files
from cringle.errors import InputError
from cringle.settings.shift import (
    buoyancy_depth,
    crew_offsets,
    equivalent_wind,
    righting_moment,
    shift_row,
    waterplane_inertia,
)

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def files():
    return read_book_files(EXAMPLES)


def lighter(people, kg):
    share = kg / len(people)
    return [one.model_copy(update={"mass_kg": one.mass_kg - share}) for one in people]


def test_forty_kilograms_light_reads_further_down(files):
    people = files.crew_file.people
    ratio = righting_moment(files.class_file, lighter(people, 40.0)) / righting_moment(
        files.class_file, people
    )
    shift = shift_row(12.0, ratio, mass_kg=280.0, reference_mass_kg=320.0, posture="hike")
    assert 12.2 < shift.reads_at_kn < 12.6
    assert shift.note.startswith("40 kg light: read further down the table, at ")


def test_heavier_crew_reads_further_up(files):
    people = files.crew_file.people
    ratio = righting_moment(files.class_file, lighter(people, -25.0)) / righting_moment(
        files.class_file, people
    )
    shift = shift_row(14.0, ratio, mass_kg=345.0, reference_mass_kg=320.0, posture="hike")
    assert shift.reads_at_kn < 14.0
    assert "25 kg heavy: read further up" in shift.note


def test_by_hand(files):
    """One person of 80 kg, 1 m out and at the waterline's height, adds m g y cos(heel)."""
    hull_only = righting_moment(files.class_file, [], 20.0)
    assert hull_only > 0.0
    upright = righting_moment(files.class_file, files.crew_file.people, 0.0)
    expected = 9.80665 * sum(
        one.mass_kg * crew_offsets(files.class_file, one)[0] for one in files.crew_file.people
    )
    assert_allclose(upright, expected, rtol=1e-12)


def test_waterplane_inertia_of_a_box(files):
    hull = files.class_file.hull
    box = hull.model_copy(update={"area_waterplane": hull.length_waterline * hull.beam_waterline})
    assert_allclose(waterplane_inertia(box), 5.95 * 1.70**3 / 12.0, rtol=1e-12)
    rhombus = hull.model_copy(update={"area_waterplane": hull.length_waterline * hull.beam_waterline / 2.0})
    assert_allclose(waterplane_inertia(rhombus), 5.95 * 1.70**3 / 48.0, rtol=1e-12)


def test_centre_of_buoyancy_of_a_box(files):
    hull = files.class_file.hull.model_copy(update={"area_waterplane": 10.0, "draft_canoe": 0.2})
    assert_allclose(buoyancy_depth(hull, 2.0), 0.1)


def test_hiking_puts_the_weight_further_out(files):
    person = files.crew_file.people[1]
    out, up = crew_offsets(files.class_file, person)
    inside = person.model_copy(update={"posture": "legs in"})
    assert crew_offsets(files.class_file, inside)[0] < out
    assert up > files.class_file.station("rail_2").z


def test_an_unknown_station_is_an_error(files):
    with pytest.raises(InputError, match="no station 'moon'"):
        crew_offsets(files.class_file, files.crew_file.people[0].model_copy(update={"station": "moon"}))


@given(st.floats(1, 40), st.floats(0.3, 3.0))
def test_equal_heeling_moment(wind_kn, ratio):
    """The wind of the other row heels the reference crew's boat as this wind heels ours."""
    reads_at = equivalent_wind(wind_kn, moment=ratio, reference_moment=1.0)
    assert_allclose(wind_kn**2 / ratio, reads_at**2, rtol=1e-12)


def test_no_righting_moment_is_an_error():
    with pytest.raises(InputError, match="no righting moment"):
        equivalent_wind(10.0, moment=-0.1, reference_moment=1.0)


def test_off_the_rail_the_row_stays():
    shift = shift_row(5.0, 0.8, mass_kg=280.0, reference_mass_kg=320.0, posture="centreline")
    assert shift.reads_at_kn == 5.0
    assert "nobody is on the rail" in shift.note
    assert shift_row(5.0, 1.0, mass_kg=320.0, reference_mass_kg=320.0, posture="centreline").note is None


def test_a_small_shift_is_not_said():
    shift = shift_row(8.0, 0.995, mass_kg=318.0, reference_mass_kg=320.0)
    assert (shift.reads_at_kn, shift.note) == (8.0, None)


def test_same_weight_elsewhere_is_said():
    shift = shift_row(14.0, 0.9, mass_kg=320.0, reference_mass_kg=320.0)
    assert shift.note.startswith("other places than the table's crew: read further down")
