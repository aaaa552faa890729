"""Coefficients of single sails, and forces from them."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.sails import (
    COEFFICIENT_SETS,
    Arrangement,
    RigGeometry,
    Sail,
    SailKind,
    SailSet,
    force_coefficients,
    sail_coefficients,
    sail_forces,
)
from cringle.physics.tables import load_table
from cringle.physics.wind import Wind

MAIN = Sail("main", 14.0, 4.05, 2.2)
JIB = Sail("jib", 10.6, 3.55, 4.4)
KITE = Sail("kite", 42.0, 5.1, 5.5)


@pytest.mark.parametrize("name", COEFFICIENT_SETS)
def test_every_set_passes_through_its_table(name):
    table, lift, drag = COEFFICIENT_SETS[name]
    columns = load_table(table).columns
    got = sail_coefficients(name, np.radians(columns["angle_deg"]))
    assert_allclose(got.lift, columns[lift], atol=1e-12)
    assert_allclose(got.drag, columns[drag], atol=1e-12)


@pytest.mark.parametrize("name", COEFFICIENT_SETS)
def test_either_side_alike_and_held_below_the_table(name):
    at = np.linspace(0.0, np.pi, 500)
    right, left = sail_coefficients(name, at), sail_coefficients(name, -at)
    assert_allclose(left, right)
    assert np.isfinite(right).all()
    assert (np.asarray(right.drag) >= -1e-15).all()
    assert np.isnan(sail_coefficients(name, np.array([3.2, np.nan]))).all()


def test_a_word_for_every_cell():
    for name in ("sails_main", "sails_jib", "sails_kite", "sails_reference"):
        table = load_table(name)
        assert table.from_memory
        assert all("from memory" in row for row in table.provenance)


@pytest.mark.parametrize("name", COEFFICIENT_SETS)
def test_straight_downwind_the_drive_is_the_drag(name):
    lift, drag = sail_coefficients(name, np.pi)
    drive, heeling = force_coefficients(lift, drag, np.pi)
    assert_allclose(drive, drag, rtol=1e-15)
    assert_allclose(heeling, -lift, atol=1e-15)


@given(st.floats(0.0, 2.0), st.floats(0.0, 2.0), st.floats(-np.pi, np.pi))
def test_force_coefficients_turn_lift_and_drag(lift, drag, angle):
    drive, heeling = force_coefficients(lift, drag, angle)
    assert_allclose(np.hypot(drive, heeling), np.hypot(lift, drag), atol=1e-12)
    assert_allclose(force_coefficients(lift, drag, -angle), (drive, heeling))


def test_forces_in_the_heeled_plane_and_back():
    wind = Wind(10.0, np.radians(30.0))
    upright = sail_forces(1.2, 0.2, wind=wind, area=20.0)
    heeled = sail_forces(1.2, 0.2, wind=wind, area=20.0, heel=np.radians(20.0))
    assert_allclose(upright.side, upright.heeling)
    assert upright.downward == 0.0
    assert_allclose(np.hypot(heeled.side, heeled.downward), heeled.heeling)
    assert_allclose(heeled.drive, upright.drive)
    assert_allclose(upright.drive, 0.5 * 1.225 * 100 * 20 * (1.2 * 0.5 - 0.2 * np.sqrt(0.75)))


def test_the_set_knows_its_area_and_centre():
    both = SailSet(MAIN, JIB)
    assert_allclose(both.area, 24.6)
    assert_allclose(both.area_centre_height, (14.0 * 4.05 + 10.6 * 3.55) / 24.6)
    assert SailSet(MAIN, kite=KITE).sails == (MAIN, KITE)


def test_rig_geometry():
    rig = RigGeometry(9.0, 0.62, 7.9, 2.9, 0.95, 7.9)
    assert_allclose(rig.foretriangle_fraction, 7.9 / 8.85)
    assert_allclose(rig.roach(14.0), 14.0 / (0.5 * 7.9 * 2.9) - 1.0)
    assert RigGeometry(9.0, 0.62, 7.9, 2.9, 0.95, 9.9).foretriangle_fraction == 1.0


def test_repr_says_what_it_is():
    assert repr(JIB) == "Sail(jib, 10.6 m2, centre 3.55 m up, jib_plain)"
    assert Sail(SailKind.KITE, 42.0, 5.0).coefficient_set == "kite_centreline"


@pytest.mark.parametrize(
    "call",
    [
        lambda: Sail("genoa", 10.0, 3.0),
        lambda: Sail("main", -1.0, 3.0),
        lambda: Sail("main", float("nan"), 3.0),
        lambda: Sail("main", 14.0, 0.0),
        lambda: Sail("main", 14.0, 4.0, coefficients="best"),
        lambda: SailSet(JIB),
        lambda: SailSet(MAIN, jib=KITE),
        lambda: SailSet(MAIN, arrangement=Arrangement.WING),
        lambda: sail_coefficients("best", 0.5),
        lambda: RigGeometry(9.0, 0.62, 7.9, -2.9, 0.95, 7.9),
    ],
)
def test_impossible_sails_are_refused_with_the_next_step(call):
    with pytest.raises(InputError) as caught:
        call()
    assert "found" in str(caught.value) and "Next:" in str(caught.value)
