"""A person's corrections of a race and its manoeuvres: everything after follows them."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.track.race.correct import (
    corrected,
    corrected_manoeuvres,
    followed,
    followed_manoeuvres,
)
from cringle.track.race.correction import Correction
from cringle.track.race.structure import Structure
from cringle.track.reading.complete import Complete
from cringle.track.simulator.options import SimOptions
from cringle.track.turns.tacks import find_manoeuvres
from cringle.track.wind.series import with_wind


@pytest.fixture
def race(simulated: Callable[..., Any]) -> tuple[Structure, Complete]:
    """Return the structure of a race of four legs, and its log with the wind in it."""
    found = simulated(SimOptions(), 1)
    assert [one.kind for one in found.structure.legs if one.kind != "reach"] == ["up", "run", "up", "run"]
    return found.structure, with_wind(found.log, found.wind)


def later(at: datetime, seconds: float) -> datetime:
    return at + timedelta(seconds=seconds)


def is_sound(found: Structure, log: Complete) -> bool:
    """Whether legs, roundings, starts and finishes belong together and every second is accounted for."""
    edges = [(b.first, b.race) for a, b in pairwise(found.legs) if a.race == b.race and a.end == b.first]
    covered = np.zeros(log.series.rows, dtype=int)
    for one in (*found.legs, *found.excluded):
        covered[one.first : one.end] += 1
    races = {one.race for one in found.legs}
    return (
        [(one.row, one.race) for one in found.roundings] == edges
        and {one.race for one in found.starts} == races
        and {one.race for one in found.finishes} == races - set(found.abandoned)
        and bool((covered == 1).all())
        and races == set(range(1, len(races) + 1))
    )


def test_a_moved_start_moves_its_leg_and_what_it_made_good(race: tuple[Structure, Complete]) -> None:
    structure, log = race
    start = structure.starts[0]
    moved = corrected(structure, [Correction("start", "move", start.at, later(start.at, 60))], log.series)
    assert moved.starts[0].at == later(start.at, 60)
    assert moved.starts[0].confidence == 1.0
    assert (moved.legs[0].first, moved.legs[0].end) == (start.row + 60, structure.legs[0].end)
    share = moved.legs[0].seconds / structure.legs[0].seconds
    assert_allclose(moved.legs[0].made_good_m, share * structure.legs[0].made_good_m, rtol=0.1)
    assert is_sound(moved, log)


def test_a_moved_rounding_moves_both_legs(race: tuple[Structure, Complete]) -> None:
    structure, log = race
    rounding = structure.roundings[1]
    to = later(rounding.at, 5)
    moved = corrected(structure, [Correction("rounding", "move", later(rounding.at, 3), to)], log.series)
    assert moved.legs[1].end == moved.legs[2].first == rounding.row + 5
    assert moved.roundings[1].at == to
    assert moved.roundings[1].lat_deg == log.series.lat[rounding.row + 5]
    assert is_sound(moved, log)


def test_a_rounding_moved_past_a_short_reach_swallows_it(race: tuple[Structure, Complete]) -> None:
    structure, log = race
    place = next(at for at, one in enumerate(structure.legs) if one.kind == "reach")
    before, reach, after = structure.legs[place - 1 : place + 2]
    to = later(reach.end_at, 15)
    moved = corrected(structure, [Correction("rounding", "move", reach.start_at, to)], log.series)
    assert len(moved.legs) == len(structure.legs) - 1
    assert (moved.legs[place - 1].first, moved.legs[place - 1].end_at) == (before.first, to)
    assert (moved.legs[place].start_at, moved.legs[place].end) == (to, after.end)
    assert is_sound(moved, log)


def test_a_last_leg_that_was_none_leaves_the_finish_before_it(race: tuple[Structure, Complete]) -> None:
    structure, log = race
    last = structure.legs[-1]
    left = corrected(structure, [Correction("leg", "remove", later(last.start_at, 30))], log.series)
    assert len(left.legs) == len(structure.legs) - 1
    assert left.finishes[0].row == structure.legs[-2].end
    assert left.legs[-1].mark == "finish"
    assert is_sound(left, log)


def test_a_leg_taken_out_of_the_middle_parts_two_races(race: tuple[Structure, Complete]) -> None:
    structure, log = race
    place = next(at for at, one in enumerate(structure.legs) if one.kind == "run")
    gone = structure.legs[place]
    left = corrected(structure, [Correction("leg", "remove", later(gone.start_at, 10))], log.series)
    assert len(left.starts) == len(left.finishes) == 2
    assert is_sound(left, log)
    again = Correction("leg", "add", gone.start_at, gone.end_at, "run")
    back = corrected(left, [again], log.series)
    assert [(one.first, one.end, one.kind, one.race) for one in back.legs] == [
        (one.first, one.end, one.kind, one.race) for one in structure.legs
    ]


def test_a_rounding_is_added_and_taken_away_again(race: tuple[Structure, Complete]) -> None:
    structure, log = race
    leg = structure.legs[0]
    at = later(leg.start_at, leg.seconds // 2)
    more = corrected(structure, [Correction("rounding", "add", at, kind="windward")], log.series)
    assert [one.kind for one in more.legs[:2]] == ["up", "run"]
    assert (more.roundings[0].mark, more.roundings[0].at) == ("windward", at)
    assert is_sound(more, log)
    less = corrected(more, [Correction("rounding", "remove", later(at, -4))], log.series)
    assert (less.legs[0].first, less.legs[0].end) == (leg.first, leg.end)
    assert len(less.roundings) == len(structure.roundings)


def test_a_rounding_gets_another_name(race: tuple[Structure, Complete]) -> None:
    structure, log = race
    rounding = structure.roundings[0]
    other = corrected(structure, [Correction("rounding", "rename", rounding.at, kind="offset")], log.series)
    assert other.roundings[0].mark == other.legs[0].mark == "offset"
    assert "offset" in {one.name for one in other.marks}


def test_a_race_that_was_given_up_and_one_that_was_not(race: tuple[Structure, Complete]) -> None:
    structure, log = race
    finish = structure.finishes[0]
    given_up = corrected(structure, [Correction("finish", "remove", finish.at)], log.series)
    assert (given_up.finishes, given_up.abandoned) == ((), (1,))
    sooner = later(finish.at, -20)
    ended = corrected(given_up, [Correction("finish", "add", sooner)], log.series)
    assert (ended.finishes[0].at, ended.abandoned) == (sooner, ())
    assert ended.legs[-1].end == finish.row - 20
    assert is_sound(ended, log)


def test_a_recall_moves_the_start_or_takes_the_only_leg(race: tuple[Structure, Complete]) -> None:
    structure, log = race
    start = structure.starts[0]
    counted = later(start.at, 100)
    recalled = corrected(structure, [Correction("recall", "add", start.at, counted)], log.series)
    assert [one.at for one in recalled.recalls] == [*(one.at for one in structure.recalls), start.at]
    assert recalled.starts[0].at == counted
    none = corrected(recalled, [Correction("recall", "remove", start.at)], log.series)
    assert none.recalls == structure.recalls
    with pytest.raises(InputError, match="goes on for"):
        corrected(structure, [Correction("recall", "add", start.at)], log.series)
    first = structure.legs[0]
    alone = corrected(
        structure,
        [Correction("leg", "remove", later(one.start_at, 10)) for one in structure.legs[1:]],
        log.series,
    )
    assert corrected(alone, [Correction("recall", "add", first.start_at)], log.series).legs == ()


def test_tacks_are_removed_added_and_moved(race: tuple[Structure, Complete]) -> None:
    _, log = race
    manoeuvres = find_manoeuvres(log).manoeuvres  # type: ignore[union-attr]  # the log has wind
    tack = next(one for one in manoeuvres if one.kind == "tack")
    left = corrected_manoeuvres(manoeuvres, [Correction("tack", "remove", tack.at)], log)
    assert tack not in left
    assert len(left) == len(manoeuvres) - 1
    back = corrected_manoeuvres(left, [Correction("tack", "add", tack.at)], log)
    again = next(one for one in back if one.at == tack.at)
    assert_allclose(again.turn_deg, tack.turn_deg, atol=10.0)
    assert np.sign(again.awa_before_deg) == np.sign(tack.awa_before_deg)
    moved = corrected_manoeuvres(manoeuvres, [Correction("tack", "move", tack.at, later(tack.at, 3))], log)
    assert later(tack.at, 3) in {one.at for one in moved}
    with pytest.raises(InputError, match="no gybe within"):
        corrected_manoeuvres(manoeuvres, [Correction("gybe", "remove", later(tack.at, -7200))], log)
    with pytest.raises(InputError, match="no wind in the log around"):
        corrected_manoeuvres(manoeuvres, [Correction("gybe", "add", later(tack.at, -7200))], log)


def test_a_start_moved_by_itself_is_passed_over_by_the_manoeuvres(race: tuple[Structure, Complete]) -> None:
    structure, log = race
    manoeuvres = find_manoeuvres(log).manoeuvres  # type: ignore[union-attr]  # the log has wind
    start = structure.starts[0].at
    assert corrected_manoeuvres(manoeuvres, [Correction("start", "move", start, start)], log) == manoeuvres


@pytest.mark.parametrize(
    ("what", "action", "shift", "to_shift", "kind", "match"),
    [
        ("start", "move", 0, 7200, None, "outside the log"),
        ("start", "move", 600, 700, None, "no start within"),
        ("rounding", "move", None, 3000, None, "without time|outside"),
        ("leg", "remove", -3600, None, None, "no leg at"),
        ("leg", "add", 20, 100, "up", "before the one before it ends"),
        ("finish", "add", -30, None, None, "before any leg|outside"),
    ],
)
def test_what_fits_nothing_is_refused(  # noqa: PLR0917 - one for each column of the table
    race: tuple[Structure, Complete],
    what: str,
    action: str,
    shift: int | None,
    to_shift: int | None,
    kind: str | None,
    match: str,
) -> None:
    structure, log = race
    at = structure.roundings[0].at if shift is None else later(structure.starts[0].at, shift)
    to = None if to_shift is None else later(structure.starts[0].at, to_shift)
    with pytest.raises(InputError, match=match):
        corrected(structure, [Correction(what, action, at, to, kind)], log.series)


def test_what_fits_nothing_any_more_is_left_out_and_told(race: tuple[Structure, Complete]) -> None:
    structure, log = race
    start = structure.starts[0]
    good = Correction("start", "move", start.at, later(start.at, 9))
    stale = Correction("rounding", "remove", later(start.at, -1000))
    found, missed = followed(structure, [stale, good], log.series)
    assert [one.correction for one in missed] == [stale]
    assert "no rounding within" in missed[0].why
    assert found.starts[0].row == start.row + 9
    manoeuvres = find_manoeuvres(log).manoeuvres  # type: ignore[union-attr]  # the log has wind
    stale = Correction("tack", "remove", later(start.at, -1000))
    same, missed = followed_manoeuvres(manoeuvres, [stale], log)
    assert (same, [one.correction for one in missed]) == (manoeuvres, [stale])
