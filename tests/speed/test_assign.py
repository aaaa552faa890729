from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.boat.base import Posture
from cringle.boat.crew_file import CrewFile
from cringle.boat.toml_text import parse, read_toml
from cringle.errors import NotConvergedError, RuleError
from cringle.speed.assign import (
    Prices,
    Wanted,
    arrangement,
    assign,
    choices,
    keeps_order,
    roles_to_fill,
)

TRIM = 600.0


def brute(class_file, people, wanted, prices):
    """Try every combination and return the least cost."""
    by_person = [[] for _ in people]
    for one in choices(class_file, people, wanted):
        by_person[one.person].append(one)
    best = None
    room = {one.id: one.capacity for one in class_file.stations}
    for picked in itertools.product(*by_person):
        if sorted(one.role for one in picked) != sorted(roles_to_fill(people)):
            continue
        seats = [one.seat.station for one in picked]
        if any(seats.count(seat) > room[seat] for seat in seats):
            continue
        if sum(one.seat.posture == Posture.HIKE for one in picked) > class_file.limits.hiking_max:
            continue
        if not keeps_order(picked):
            continue
        cost = arrangement(people, picked, wanted, prices=prices).cost_s_per_mile
        best = cost if best is None else min(best, cost)
    return best


@pytest.mark.parametrize("side", [-120.0, 0.0, 90.0, 210.0, 330.0, 900.0])
@pytest.mark.parametrize("trim", [500.0, 600.0, 750.0])
def test_the_answer_is_the_best_of_all_combinations(class_file, crew_file, side, trim):
    wanted = Wanted(side, trim)
    found = assign(class_file, crew_file.people, wanted)
    assert_allclose(found.cost_s_per_mile, brute(class_file, crew_file.people, wanted, Prices()), atol=1e-6)


def test_freer_people_are_solved_exactly_as_well(class_file, crew_file):
    people = tuple(
        one.model_copy(update={"fixed": False, "may_leave_rail": True}) for one in crew_file.people[:3]
    )
    for side in (0.0, 200.0, 800.0):
        wanted = Wanted(side, 450.0)
        found = assign(class_file, people, wanted)
        assert_allclose(found.cost_s_per_mile, brute(class_file, people, wanted, Prices()), atol=1e-6)


@settings(max_examples=12)
@given(
    masses=st.tuples(*(st.floats(50.0, 86.0) for _ in range(4))),
    side=st.floats(-150.0, 500.0),
    prices=st.tuples(st.floats(0.01, 1.0), st.floats(0.0, 0.2), st.floats(0.0, 1.0), st.floats(0.0, 2.0)),
)
def test_any_masses_and_prices_agree_with_every_combination(class_file, examples, masses, side, prices):
    crew = parse(read_toml(examples / "crew.toml"), CrewFile)
    people = tuple(
        one.model_copy(update={"mass_kg": mass}) for one, mass in zip(crew.people, masses, strict=True)
    )
    wanted, cost = Wanted(side, TRIM), Prices(*prices)
    found = assign(class_file, people, wanted, prices=cost)
    assert_allclose(found.cost_s_per_mile, brute(class_file, people, wanted, cost), atol=1e-5)


def test_full_hike_keeps_the_class_limit_and_everybody_else_legs_in(class_file, crew_file):
    found = assign(class_file, crew_file.people, Wanted(1e4, TRIM), prices=Prices(trim=0.0, hike=0.0))
    postures = [one.seat.posture for one in found.seated]
    assert postures.count(Posture.HIKE) == class_file.limits.hiking_max
    assert postures.count(Posture.LEGS_IN) == 2
    assert_allclose(found.hiking_kg, 92.0 + 89.0)
    assert_allclose(found.hiking_kg + found.legs_in_kg, 320.0)
    assert 0.5 < found.hiking_share < 0.65


def test_light_air_puts_somebody_to_leeward_but_never_the_helm(class_file, crew_file):
    found = assign(class_file, crew_file.people, Wanted(-150.0, TRIM))
    away = [one.person.name for one in found.seated if one.seat.off_centre_m < 0.0]
    assert away
    assert "Ines" not in away


def test_trim_moves_people_forward_when_it_is_wanted(class_file, crew_file):
    aft = assign(class_file, crew_file.people, Wanted(150.0, 450.0), prices=Prices(trim=0.1))
    forward = assign(class_file, crew_file.people, Wanted(150.0, 750.0), prices=Prices(trim=0.1))
    assert forward.forward_kg_m > aft.forward_kg_m + 50.0


def test_roles_swap_only_when_a_skill_asks_for_it(class_file, crew_file):
    plain = assign(class_file, crew_file.people, Wanted(300.0, TRIM))
    assert all(one.role == one.person.role for one in plain.seated)
    needs = Wanted(300.0, TRIM, {"jib": ("works_foredeck",)})
    swapped = {one.role: one.person.name for one in assign(class_file, crew_file.people, needs).seated}
    assert swapped["jib"] == "Keo"
    assert swapped["forward"] == "Marit"


def test_a_skill_nobody_has_is_named(class_file, crew_file):
    with pytest.raises(NotConvergedError, match="no arrangement") as caught:
        assign(class_file, crew_file.people, Wanted(300.0, TRIM, {"main": ("plays_the_trumpet",)}))
    assert "plays_the_trumpet" in str(caught.value) or "Tobias" in str(caught.value)


def test_too_heavy_and_too_few_are_refused_with_the_rule(class_file, crew_file):
    heavy = tuple(one.model_copy(update={"mass_kg": 100.0}) for one in crew_file.people)
    with pytest.raises(RuleError, match=r"C\.3\.1"):
        assign(class_file, heavy, Wanted(0.0, TRIM))
    with pytest.raises(RuleError, match="2 people"):
        assign(class_file, crew_file.people[:2], Wanted(0.0, TRIM))


def test_nobody_hikes_without_need(class_file, crew_file):
    found = assign(class_file, crew_file.people, Wanted(200.0, TRIM))
    assert found.hiking_kg == 0.0


def test_three_people_fill_three_roles_and_the_helm_is_among_them(crew_file):
    assert roles_to_fill(crew_file.people[:3]) == ("helm", "main", "jib")
    assert roles_to_fill(crew_file.people[1:]) == ("main", "jib", "forward")
