from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from cringle.errors import InputError
from cringle.track.series import Series
from cringle.trials.alone import Target, compare_alone
from cringle.trials.pair import Carry, PairWish
from cringle.trials.together import alone, cut

Maker = Callable[..., Series]
BLOCKS = (Carry(0.0, 0), Carry(900.0, 1), Carry(1800.0, 0))


def faster_in_the_middle(boat: Maker, *, drift: float = 0.0) -> Series:
    """Return a track 3 m a minute faster to windward in the middle third, on a speed that drifts."""
    plain = boat(2700, noise=0.02, seed=3)
    seconds = np.arange(2700)
    more = np.where((seconds >= 900) & (seconds < 1800), 3.0 / 60.0, 0.0) + drift * seconds
    return replace(plain, lat=plain.lat + np.cumsum(more) / 111_320.0)


def test_three_blocks_show_the_change(boat: Maker) -> None:
    both = alone(faster_in_the_middle(boat))
    found = compare_alone(both, np.zeros(both.rows), PairWish(BLOCKS))
    assert found.gain.value == pytest.approx(3.0, abs=1.2)
    assert found.gain.low < 3.0 < found.gain.high
    assert (found.boat, found.gradient) == (None, None)
    assert len(found.notes) == 1


def test_a_steady_drift_cancels(boat: Maker) -> None:
    plain = alone(faster_in_the_middle(boat))
    drifting = alone(faster_in_the_middle(boat, drift=1e-4))
    half = (Carry(0.0, 0), Carry(900.0, 1), Carry(2400.0, 0))
    gains = [compare_alone(one, np.zeros(one.rows), PairWish(half)).gain.value for one in (plain, drifting)]
    assert gains[1] == pytest.approx(gains[0], abs=0.4)


def test_a_target_moves_the_level_and_not_the_change(boat: Maker) -> None:
    both = alone(faster_in_the_middle(boat))
    own = compare_alone(both, np.zeros(both.rows), PairWish(BLOCKS))
    target = compare_alone(both, np.zeros(both.rows), PairWish(BLOCKS), Target(6.0, 42.0))
    assert target.gain.value == pytest.approx(own.gain.value, abs=0.3)
    assert target.series.gain.mean() < own.series.gain.mean()


@pytest.mark.parametrize("carries", [(), BLOCKS[:2]])
def test_two_blocks_are_too_few(boat: Maker, carries: tuple[Carry, ...]) -> None:
    both = alone(boat(1200))
    with pytest.raises(InputError, match="A-B-A"):
        compare_alone(both, np.zeros(both.rows), PairWish(carries))


def test_a_cut_keeps_the_clock(boat: Maker) -> None:
    both = alone(boat(600))
    part = cut(both, 100, 300)
    assert part.rows == 200
    assert part.start == both.at(100)
    assert part.north[0, 0] == both.north[0, 100]


def test_no_position_at_all(boat: Maker) -> None:
    with pytest.raises(InputError, match="no position"):
        alone(replace(boat(300), lat=np.full(300, np.nan)))
