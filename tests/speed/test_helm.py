"""What the load on the rudder costs."""

import numpy as np
from numpy.testing import assert_allclose

from cringle.physics.leeway import leeway_for_side_force
from cringle.physics.yaw import AirLoad, rudder_force, rudder_load_factor, turning_moment
from cringle.speed.balance import balance_at, cells_at
from cringle.speed.helm import AirPull, helm_drag, helm_side

HEEL, SPEED = np.radians([0.0, 8.0, 15.0]), np.array([2.4, 2.5, 2.8])
PULL = AirPull(np.array([250.0, 265.0, 410.0]), np.array([905.0, 965.0, 1540.0]),
               np.array([3900.0, 4100.0, 6700.0]), np.full(3, 3.3))  # fmt: skip


def test_it_is_the_yaw_balance_of_the_physics_room(demo):
    fluid = demo.around.fluid
    got = helm_drag(helm_side(demo, HEEL), PULL, speed_squared=SPEED**2)
    leeway = leeway_for_side_force(demo.plane, fluid, SPEED, force=PULL.side, heel=HEEL).angle
    height = PULL.moment / PULL.side - demo.arm_below
    load = AirLoad(PULL.drive, PULL.side * np.cos(HEEL), PULL.forward, height)
    moment = turning_moment(
        demo.yaw, load, heel=HEEL, leeway=leeway, boat_speed=SPEED, assumptions=demo.around.air
    )
    share, parts = demo.around.water.effective_draft_share, demo.curves.body.appendages
    factor = rudder_load_factor(share * parts.draft, share * parts.rudder.draft)
    expected = factor * rudder_force(demo.yaw, moment) ** 2 / (0.5 * fluid.density * SPEED**2)
    assert_allclose(got, expected / np.cos(HEEL) ** 2)


def test_no_load_costs_nothing_and_either_helm_costs(demo):
    helm = helm_side(demo, np.zeros(3))
    lead = np.array([-1.5, 0.0, 1.5]) + demo.yaw.lateral_centre_forward
    still = PULL._replace(drive=np.zeros(3), side=np.full(3, 1e-6), forward=lead)
    assert_allclose(helm_drag(helm, still, speed_squared=SPEED**2), 0.0, atol=1e-9)
    pull = PULL._replace(drive=np.zeros(3), side=np.full(3, 900.0), forward=lead)
    weather, _, lee = helm_drag(helm, pull, speed_squared=np.full(3, 6.0))
    assert weather > 0.0 and lee > 0.0


def test_heel_costs_more_helm_upwind(demo):
    pull = AirPull(*(np.full(3, one[0]) for one in PULL))
    cost = helm_drag(helm_side(demo, HEEL), pull, speed_squared=np.full(3, 6.2))
    assert (np.diff(cost) > 0.0).all()
    assert cost[-1] < 10.0


def test_it_enters_the_balance_without_a_kite_and_only_there(demo):
    for case in (demo.upwind, demo.case("soak furled")):
        air, angle = demo.air(case), np.radians(45.0 if case is demo.upwind else 140.0)
        cell = cells_at(demo, np.full(3, 5.0), np.full(3, angle), HEEL)
        found, water, terms = balance_at(demo, air, cell, SPEED, steps=14)
        left = found.drive - water.drag - water.induced * found.side**2 - found.surplus
        pull = AirPull(found.drive, found.side, found.moment, terms.forward)
        cost = helm_drag(water.helm, pull, speed_squared=SPEED**2)
        assert_allclose(left, cost if case is demo.upwind else 0.0, atol=1e-9)
        assert (cost < 0.01 * found.drive).all()
