"""A race made whole again after its legs were changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from cringle.errors import InputError
from cringle.track.race.rebuild import leg_between, rebuilt
from cringle.track.race.structure import Mark
from cringle.track.simulator.options import SimOptions
from cringle.track.wind.series import with_wind


def test_nothing_changes_where_no_leg_did(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    again = rebuilt(found.structure, found.log.series)
    assert again.legs == found.structure.legs
    assert again.roundings == found.structure.roundings
    assert (again.starts, again.finishes) == (found.structure.starts, found.structure.finishes)
    assert (again.stops, again.marks) == (found.structure.stops, found.structure.marks)
    assert again.confidence == found.structure.confidence
    assert sum(one.end - one.first for one in again.excluded) == sum(
        one.end - one.first for one in found.structure.excluded
    )


def test_a_leg_is_measured_along_the_wind(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    series = with_wind(found.log, found.wind).series
    leg = found.structure.legs[0]
    again = leg_between(series, leg.first, leg.end, kind=leg.kind, race=leg.race, like=leg)
    assert again == replace(leg, confidence=1.0)
    new = leg_between(series, leg.first, leg.first + 60, kind="up", race=3)
    assert (new.mark, new.race, new.seconds) == ("windward", 3, 60)
    with pytest.raises(InputError, match="without time"):
        leg_between(series, leg.first, leg.first + 1, kind="up", race=1)


def test_legs_that_overlap_are_refused(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    first, second = found.structure.legs[:2]
    wrong = replace(found.structure, legs=(first, replace(second, first=first.end - 10)))
    with pytest.raises(InputError, match="before the one before it ends"):
        rebuilt(wrong, found.log.series)


def test_given_marks_stay_where_they_were_given(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    rounding = found.structure.roundings[0]
    given = Mark(rounding.mark, rounding.lat_deg, rounding.lon_deg, 5.0, given=True)
    near = replace(rounding, row=rounding.row + 8)
    structure = replace(found.structure, marks=(given,), roundings=(near, *found.structure.roundings[1:]))
    again = rebuilt(structure, found.log.series)
    assert again.roundings[0] == near
    assert given in again.marks


def test_no_leg_is_no_race(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    none = rebuilt(replace(found.structure, legs=()), found.log.series)
    assert (none.legs, none.starts, none.finishes, none.roundings, none.abandoned) == ((), (), (), (), ())
    assert none.confidence == 0.0
    assert sum(one.end - one.first for one in none.excluded) == found.log.series.rows
