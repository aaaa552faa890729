"""A person's corrections: kept, found again, and followed by everything after."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest

from cringle.errors import InputError
from cringle.track.sim_options import SimOptions
from cringle.track.structure_correct import Correction, corrected, corrected_manoeuvres
from cringle.track.tacks import find_manoeuvres
from cringle.track.wind_series import with_wind


def test_a_moved_start_moves_its_leg(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    start = found.structure.start
    to = start.at + timedelta(seconds=12)
    moved = corrected(found.structure, [Correction("start", "move", start.at, to)], found.log.series)
    assert moved.start.at == to
    assert moved.start.confidence == 1.0
    assert moved.legs[0].first == start.row + 12
    assert moved.legs[0].end == found.structure.legs[0].end


def test_a_moved_rounding_moves_both_legs(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    rounding = found.structure.roundings[1]
    to = rounding.at + timedelta(seconds=5)
    correction = Correction("rounding", "move", rounding.at + timedelta(seconds=3), to)
    moved = corrected(found.structure, [correction], found.log.series)
    assert moved.legs[1].end == moved.legs[2].first == rounding.row + 5
    assert moved.roundings[1].at == to


def test_a_leg_that_was_none_goes_with_its_ends(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    last = found.structure.legs[-1]
    correction = Correction("leg", "remove", last.start_at + timedelta(seconds=30))
    left = corrected(found.structure, [correction], found.log.series)
    assert len(left.legs) == len(found.structure.legs) - 1
    assert left.finishes == ()


def test_a_tack_that_was_none(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    manoeuvres = find_manoeuvres(with_wind(found.log, found.wind)).manoeuvres
    tack = next(one for one in manoeuvres if one.kind == "tack")
    left = corrected_manoeuvres(manoeuvres, [Correction("tack", "remove", tack.at)])
    assert tack not in left
    assert len(left) == len(manoeuvres) - 1
    with pytest.raises(InputError, match="no gybe within"):
        corrected_manoeuvres(manoeuvres, [Correction("gybe", "remove", tack.at - timedelta(hours=2))])


def test_wrong_corrections_are_refused(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 1)
    at = found.structure.start.at
    for wrong in (("wave", "remove", None), ("tack", "move", at), ("start", "move", None)):
        with pytest.raises(InputError):
            Correction(wrong[0], wrong[1], at, wrong[2])
    with pytest.raises(InputError, match="without time"):
        far = Correction("start", "move", at, at + timedelta(hours=1))
        corrected(found.structure, [far], found.log.series)


def test_kept_and_read_back(simulated: Callable[..., Any]) -> None:
    at = simulated(SimOptions(), 1).structure.start.at
    one = Correction("start", "move", at, at + timedelta(seconds=4))
    assert Correction.from_json(json.loads(json.dumps(one.to_json()))) == one
