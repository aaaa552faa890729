"""Every equilibrium of a whole grid: trial speeds from rest to the top, and where thrust falls below drag.

For one true wind angle and heel the air forces depend on the ratio of boat speed to wind alone, so they are
tabulated once over the ratio and serve every wind. Where the surplus of thrust changes from plus to minus
there is a stable speed; with trial speeds 0.2 m/s apart none is missed but a pair closer together than that.
Memory stays small because the grid is worked off in pieces, one thread to a piece.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from cringle.speed.air_side import AirSide, AirTerms, air_terms
from cringle.speed.balance import Balance, WaterSide, balance, water_side
from cringle.speed.cases import Case
from cringle.speed.model import SpeedModel

Array = NDArray[np.float64]
Integers = NDArray[np.intp]

RATIO_STEP, RATIO_POINTS = 0.02, 126
"""Boat speed over wind: step and number of the table, 0 to 2.5."""

SPEED_STEP = 0.2
"""Trial speeds lie about so far apart [m/s]."""

MOST_STRIDE = 4
"""In light air every fourth ratio of the table at most."""

SCAN_STEPS = 2
"""Steps of the search for the power while scanning: three digits; the speed kept is polished."""

PIECE_CELLS = 24_000
"""Numbers in one array of a piece: ten of them fit in a core's cache."""


class Scan(NamedTuple):
    """Stable speeds of a grid, shape (winds, angles, heels); NaN where there is none.

    `upper` is the highest, `lower` the one below it. `held` tells whether moments can be held there (not
    over-powered, keel not stalled), `heels` whether the wind can heel the boat so far with the people to
    leeward.
    """

    upper: Array
    lower: Array
    held: NDArray[np.bool_]
    heels: NDArray[np.bool_]
    lower_held: NDArray[np.bool_]
    lower_heels: NDArray[np.bool_]

    def part(self, where: int | tuple[slice, slice]) -> Scan:
        """Return a view of a part of every array."""
        return Scan(
            self.upper[where],
            self.lower[where],
            self.held[where],
            self.heels[where],
            self.lower_held[where],
            self.lower_heels[where],
        )


def scan(model: SpeedModel, case: Case, *, wind: Array, angle: Array, heel: Array) -> Scan:
    """Return the stable speeds of every wind, angle and heel, to about 0.001 m/s.

    Parameters
    ----------
    model : SpeedModel
        The boat.
    case : Case
        The sails.
    wind : array, shape (w,)
        True wind speed at 10 m. [m/s]
    angle, heel : array, shapes (a,) and (h,)
        [rad]
    """
    air = model.air(case)
    at_sails = np.maximum(wind, 1e-3) * air.wind_ratio()
    rows = max(1, PIECE_CELLS // (heel.size * 45))
    pieces = [slice(first, first + rows) for first in range(0, angle.size, rows)]
    shape = (wind.size, angle.size, heel.size)
    numbers, flags = [np.full(shape, np.nan) for _ in range(2)], [np.zeros(shape, bool) for _ in range(4)]
    out = Scan(numbers[0], numbers[1], flags[0], flags[1], flags[2], flags[3])

    def work(piece: slice) -> None:
        _piece(model, air, at_sails, angle[piece], heel, out.part((slice(None), piece)))

    with ThreadPoolExecutor(min(len(pieces), os.cpu_count() or 1)) as pool:
        list(pool.map(work, pieces))
    return out


def _piece(model: SpeedModel, air: AirSide, wind: Array, angle: Array, heel: Array, out: Scan) -> None:
    """Fill one piece of a scan."""
    across, over = angle[:, None, None], heel[None, :, None]
    ratio: Array = RATIO_STEP * np.arange(RATIO_POINTS, dtype=np.float64)
    table = air_terms(air, ratio, across, over)
    for stride, winds in _strides(wind):
        thinned = AirTerms(*(np.ascontiguousarray(one[..., ::stride]) for one in table))
        for place in winds:
            speed = ratio[::stride] * wind[place]
            keep = int(np.searchsorted(speed, model.curves.top_speed, side="right"))
            terms = AirTerms(*(one[..., :keep] for one in thinned))
            water = water_side(model, speed[:keep], angle=across, heel=over)
            found = balance(air, terms, water, wind=wind[place], steps=SCAN_STEPS)
            _store(found, water, speed[:keep], out.part(int(place)))


def _strides(wind: Array) -> Iterator[tuple[int, Integers]]:
    """Yield the strides through the table of ratios with the places of the winds that use them."""
    stride = np.clip(np.rint(SPEED_STEP / (RATIO_STEP * wind)), 1, MOST_STRIDE).astype(int)
    for one in np.unique(stride):
        yield int(one), np.flatnonzero(stride == one)


def _store(found: Balance, water: WaterSide, speed: Array, out: Scan) -> None:
    """Find the two highest stable speeds along the last axis and keep them."""
    positive = found.surplus > 0.0
    falls = positive[..., :-1] & ~positive[..., 1:]
    for which in range(2):
        place = falls.shape[-1] - 1 - np.argmax(falls[..., ::-1], axis=-1)
        there = np.take_along_axis(falls, place[..., None], -1)[..., 0]
        if not there.any():
            return
        value, held, heels = _read(found, water, speed, place)
        targets = (
            (out.upper, out.held, out.heels) if which == 0 else (out.lower, out.lower_held, out.lower_heels)
        )
        targets[0][...] = np.where(there, value, np.nan)
        targets[1][...] = there & held
        targets[2][...] = there & heels
        np.put_along_axis(falls, place[..., None], False, -1)


def _read(
    found: Balance, water: WaterSide, speed: Array, place: Integers
) -> tuple[Array, NDArray[np.bool_], NDArray[np.bool_]]:
    """Return the speed where the surplus vanishes beyond a trial speed, and what holds there."""

    def at(values: Array, shift: int = 0) -> Array:
        whole = np.broadcast_to(values, found.surplus.shape)
        return np.take_along_axis(whole, np.maximum(place + shift, 0)[..., None], -1)[..., 0]

    here, after, before = at(found.surplus), at(found.surplus, 1), at(found.surplus, -1)
    before = np.where((place > 0) & (before > here), before, 2.0 * here - after)
    bend, slope = 0.5 * (after + before) - here, 0.5 * (after - before)
    root = np.sqrt(np.maximum(slope * slope - 4.0 * bend * here, 0.0))
    part = np.clip(2.0 * here / np.maximum(root - slope, 1e-12), 0.0, 1.0)

    def between(values: Array) -> Array:
        low = at(values)
        return low + part * (at(values, 1) - low)

    value = speed[place] + part * (speed[place + 1] - speed[place])
    held = (between(found.excess) <= 0.0) & (between(found.side) <= between(water.holds))
    heels = between(found.moment) >= water.least[..., 0] * np.ones_like(part)
    return value, held, heels
