import numpy as np
from numpy.testing import assert_allclose

from cringle.physics.foils import effective_draft, induced_drag
from cringle.physics.leeway import largest_side_force
from cringle.physics.underwater import underwater_drag
from cringle.physics.waves import head_sea_resistance, share_from_ahead
from cringle.speed.balance import balance_at, cells_at, heel_side, sail_pressure, water_side

SPEED, ANGLE, HEEL = np.array([1.5, 2.6, 4.2]), np.radians([45.0, 45.0, 130.0]), np.radians([5.0, 12.0, 8.0])


def water_of(model):
    heeled = heel_side(model, HEEL)
    drag = model.curves.drag(SPEED, heeled.factors)
    return water_side(model, SPEED, angle=ANGLE, heeled=heeled, drag=drag, waves=40.0)


def test_the_water_is_that_of_the_physics_room(demo):
    got = water_of(demo)
    body, fluid = demo.curves.body, demo.around.fluid
    waves = 40.0 * share_from_ahead(ANGLE)
    assert_allclose(got.drag, underwater_drag(body, SPEED, HEEL) + waves, atol=0.05)
    draft = effective_draft(body.appendages.draft, HEEL, share=demo.around.water.effective_draft_share)
    assert_allclose(got.induced * 900.0**2, induced_drag(900.0, SPEED, draft, water=fluid))
    assert_allclose(got.holds, largest_side_force(demo.plane, fluid, SPEED, HEEL))


def test_waves_do_not_hold_a_boat_at_rest(demo):
    heeled = heel_side(demo, np.zeros(1))
    at_rest = water_side(demo, np.zeros(1), angle=np.zeros(1), heeled=heeled, drag=np.zeros(1), waves=40.0)
    assert at_rest.drag[0] == 0.0


def test_the_sea_is_that_of_the_wind(demo):
    air, heel = demo.air(demo.upwind), np.zeros(1)
    calm, breeze = (
        balance_at(
            demo, air, cells_at(demo, np.full(1, wind), np.full(1, 0.8), heel), np.full(1, 2.5), steps=1
        )
        for wind in (3.0, 6.0)
    )
    hull, met = demo.curves.body.hull, share_from_ahead(0.8)
    height = np.array([3.0, 6.0]) / air.wind_ratio() * 0.0016 * np.sqrt(6000.0 / 9.80665)
    expected = np.diff(head_sea_resistance(hull, demo.around.fluid, height)) * met
    assert_allclose(breeze[1].drag - calm[1].drag, expected)


def test_surplus_is_drive_less_drag(demo):
    air = demo.air(demo.upwind)
    cell = cells_at(demo, np.full(3, 5.5), ANGLE, HEEL)
    found, water, _ = balance_at(demo, air, cell, SPEED, steps=14)
    less = found.drive - water.drag - water.induced * found.side**2
    assert ((found.surplus < less) & (found.surplus > less - 0.01 * found.drive)).all()  # the helm
    assert (found.moment <= water.most * (1.0 + 1e-9)).all()


def test_pressure_is_half_rho_wind_squared_area(demo):
    assert_allclose(sail_pressure(demo.air(demo.upwind), np.array([10.0])), 0.5 * 1.225 * 100.0 * 24.6)
