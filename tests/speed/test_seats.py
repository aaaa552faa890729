from __future__ import annotations

import pytest
from numpy.testing import assert_allclose

from cringle.boat.base import Posture
from cringle.speed.crew_load import body_place
from cringle.speed.seats import seats_of


@pytest.fixture
def keo(crew_file):
    return crew_file.in_role("forward")


def test_nobody_sits_ahead_of_the_shrouds(class_file, keo):
    assert "foredeck" not in {one.station for one in seats_of(class_file, keo, "forward")}


def test_the_helm_sits_where_the_tiller_is_in_reach(class_file, crew_file):
    marit = crew_file.in_role("jib")
    helm = {one.station for one in seats_of(class_file, marit, "helm")}
    jib = {one.station for one in seats_of(class_file, marit, "jib")}
    assert helm == {"rail_4", "stern"}
    assert "rail_1" in jib


def test_whoever_is_fixed_keeps_the_station(class_file, crew_file):
    assert {one.station for one in seats_of(class_file, crew_file.in_role("helm"), "helm")} == {"rail_4"}


def test_whoever_may_not_leave_the_rail_sits_on_it(class_file, keo):
    bound = keo.model_copy(update={"may_leave_rail": False})
    found = seats_of(class_file, bound, "forward")
    assert {one.station for one in found} == {"rail_1", "rail_2", "rail_3", "rail_4"}


def test_the_mass_is_where_the_model_puts_it(class_file, keo):
    for seat in seats_of(class_file, keo, "forward"):
        body = body_place(class_file, keo, station=seat.station, posture=seat.posture)
        assert_allclose((seat.forward_m, seat.off_centre_m, seat.height_m),
                        (body.forward_m, body.off_centre_m, body.height_m))  # fmt: skip


def test_hiking_is_farther_out_than_legs_in(class_file, keo):
    out = {
        one.posture: one.off_centre_m
        for one in seats_of(class_file, keo, "forward")
        if one.station == "rail_2"
    }
    assert out[Posture.HIKE] > out[Posture.LEGS_IN]
