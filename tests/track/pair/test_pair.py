from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace

import numpy as np
import pytest

from cringle.errors import InputError
from cringle.track.ledger.ledger import RUN, SAILED, UPWIND, LedgerRows, code
from cringle.track.pair.pair import STRETCH_S, in_words, pair_of
from cringle.track.sailing.sailing import Sailing
from cringle.track.turns.loss import Loss
from cringle.track.turns.manoeuvre import Judged
from cringle.units import knots_to_metres_per_second

START = datetime(2026, 6, 17, 18, 0, tzinfo=UTC)


def race(speed: float, angle: float, *, n: int = 600, kind: int = UPWIND, late_s: int = 0, losses=()):
    """Return a boat that sails steadily with the wind from north."""
    full = np.full(n, 1.0)
    sailing = Sailing(
        START + timedelta(seconds=late_s),
        speed * full,
        np.mod(-angle * full, 360.0),
        0.0 * full,
        10.0 * full,
        angle * full,
        15.0 * full,
    )
    rows = LedgerRows(
        sailing.wind_kn,
        sailing.angle_deg,
        sailing.speed_kn,
        sailing.heel_deg,
        np.full(n, kind, np.int8),
        np.zeros(n, np.int64),
        np.full(n, SAILED, np.int8),
    )
    judged = tuple(Judged(one, None, (), None, None) for one in losses)
    return SimpleNamespace(sailing=sailing, rows=rows, manoeuvres=judged)


def loss_at(at: datetime, lost: float) -> Loss:
    blank = (None,) * 3
    return Loss(at, "tack", *blank, None, None, lost, None, None, None, (None,) * 11, 0, 0)


def metres(knots: float) -> float:
    return 60.0 * float(knots_to_metres_per_second(knots))


def test_faster_at_the_same_angle_is_speed():
    found = pair_of(race(5.2, 42.0), race(5.0, 42.0), ("Brindle", "Sorrel"))
    want = metres(0.2 * np.cos(np.radians(42.0)))
    assert found.gain.value == pytest.approx(want)
    assert found.speed.value == pytest.approx(want)
    assert found.height.value == pytest.approx(0.0, abs=1e-9)
    assert found.words == f"same height, faster, +{round(want)} m a minute"


def test_higher_at_the_same_speed_is_height():
    found = pair_of(race(5.0, 40.0), race(5.0, 44.0), ("Brindle", "Sorrel"))
    want = metres(5.0 * (np.cos(np.radians(40.0)) - np.cos(np.radians(44.0))))
    assert found.height.value == pytest.approx(want)
    assert found.speed.value == pytest.approx(0.0, abs=1e-9)
    assert found.words.startswith("higher, same speed, +")


def test_higher_and_slower_add_up_to_the_gain():
    found = pair_of(race(4.9, 40.0), race(5.1, 44.0), ("Brindle", "Sorrel"))
    assert found.height.value > 0.0 > found.speed.value
    assert found.height.value + found.speed.value == pytest.approx(found.gain.value)
    want = metres(4.9 * np.cos(np.radians(40.0)) - 5.1 * np.cos(np.radians(44.0)))
    assert found.gain.value == pytest.approx(want)
    assert found.words.startswith("higher, slower")


def test_swapped_the_sign_turns():
    one, other = race(4.9, 40.0), race(5.1, 44.0)
    forth, back = pair_of(one, other, ("A", "B")), pair_of(other, one, ("B", "A"))
    assert forth.gain.value == pytest.approx(-back.gain.value)


def test_on_a_run_deeper_is_a_gain():
    found = pair_of(race(6.0, 155.0, kind=RUN), race(6.0, 145.0, kind=RUN), ("A", "B"))
    assert found.height.value > 0.0
    assert found.words.startswith("lower, same speed, +")
    assert found.of_kind("up") == ()


def test_clocks_that_start_apart_are_aligned():
    found = pair_of(race(5.2, 42.0), race(5.0, 42.0, late_s=150), ("A", "B"))
    assert found.stretches[0].start == START + timedelta(seconds=150)
    assert len(found.stretches) == 450 // STRETCH_S


def test_different_tacks_are_not_compared():
    with pytest.raises(InputError, match="never sailed"):
        pair_of(race(5.0, 42.0), race(5.0, -42.0), ("A", "B"))


def test_no_time_in_common():
    with pytest.raises(InputError, match="no minute in common"):
        pair_of(race(5.0, 42.0), race(5.0, 42.0, late_s=5000), ("A", "B"))


def test_manoeuvres_and_what_is_near_them_are_left_out():
    one = race(5.2, 42.0)
    charge = one.rows.charge.copy()
    charge[300:330] = code("tack")
    one.rows = replace(one.rows, charge=charge)
    found = pair_of(one, race(5.0, 42.0), ("A", "B"))
    assert len(found.stretches) == 600 // STRETCH_S - 1


def test_who_gained_at_which_manoeuvre():
    one = race(5.0, 42.0, losses=[loss_at(START + timedelta(seconds=100), 8.0)])
    other = race(5.0, 42.0, losses=[loss_at(START + timedelta(seconds=130), 14.0)])
    found = pair_of(one, other, ("A", "B"))
    assert [(turn.boat, turn.gain_m) for turn in found.manoeuvres] == [("A", 6.0), ("B", -6.0)]


def test_far_apart_manoeuvres_are_not_matched():
    one = race(5.0, 42.0, losses=[loss_at(START + timedelta(seconds=100), 8.0)])
    other = race(5.0, 42.0, losses=[loss_at(START + timedelta(seconds=400), 14.0)])
    assert [turn.gain_m for turn in pair_of(one, other, ("A", "B")).manoeuvres] == [None, None]


def test_json_has_what_is_promised():
    values = pair_of(race(5.2, 42.0), race(5.0, 42.0), ("A", "B")).to_json()
    for name in ("gain", "height", "speed"):
        assert {f"{name}_m_per_min{end}" for end in ("", "_low", "_high")} <= set(values)
    assert len(values["stretches"]) == 600 // STRETCH_S


def test_words_of_nothing_between_them():
    found = pair_of(race(5.0, 42.0), race(5.0, 42.0), ("A", "B"))
    assert in_words(found.stretches, found.gain.value) == "same height, same speed, +0 m a minute"
