from __future__ import annotations

import numpy as np
import pytest

from cringle.trials.belief import Places
from cringle.trials.day_effects import respond_roles
from cringle.trials.response import Seen, respond

ONE_STEP = Places(np.array([11.0]), np.array([1.0]), np.array([0.0]))


def swapped(count: int, gain: float = 0.0) -> list[Seen]:
    """Return trials that swapped, each of its own day, so that the control is known."""
    return [Seen(11.0, 1.0, 0.0, gain, 0.1, f"other day {n}") for n in range(count)]


def unswapped(gain: float, day: str = "today", carrier: int = 1) -> Seen:
    """Return a trial that did not swap: the boats' own difference is in it."""
    return Seen(11.0, 1.0, 0.0, gain, 0.2, day, swapped=False, carrier=carrier)


def gain_of(seen: dict[str, list[Seen]], role: str) -> float:
    """Return the expected gain of one step of a role."""
    return float(respond_roles(seen)[role].summary(ONE_STEP)[0][0])


def test_a_role_alone_is_fitted_as_before() -> None:
    seen = [*swapped(3, 1.0), unswapped(2.0)]
    assert gain_of({"sheet": seen}, "sheet") == pytest.approx(float(respond(seen).summary(ONE_STEP)[0][0]))
    assert respond_roles({}) == {}
    assert respond_roles({"sheet": []})["sheet"].seen == ()


def test_a_fast_boat_shown_by_one_role_is_no_gain_of_another() -> None:
    fast = {"sheet": [*swapped(8), unswapped(4.0)], "backstay": [unswapped(4.0)]}
    elsewhere = {"sheet": [*swapped(8), unswapped(4.0, "yesterday")], "backstay": [unswapped(4.0)]}
    assert gain_of(fast, "backstay") < 0.5 * gain_of(elsewhere, "backstay")


def test_the_difference_turns_when_the_other_boat_carried_the_change() -> None:
    alike = {"sheet": [*swapped(8), unswapped(4.0)], "backstay": [unswapped(0.0)]}
    crossed = {"sheet": [*swapped(8), unswapped(4.0)], "backstay": [unswapped(0.0, carrier=-1)]}
    assert gain_of(alike, "backstay") < -1.0 < 1.0 < gain_of(crossed, "backstay")


def test_a_day_that_swapped_shares_little() -> None:
    one = {"sheet": swapped(4, 1.0), "backstay": swapped(4, 1.0)}
    alone = gain_of({"backstay": swapped(4, 1.0)}, "backstay")
    assert gain_of(one, "backstay") == pytest.approx(alone, abs=0.2)
