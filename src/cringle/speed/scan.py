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

from cringle.physics.underwater import HeelDragTable
from cringle.speed.air_side import AirSide, AirTerms, air_terms
from cringle.speed.balance import CALM, balance, balance_at, cells_at, heel_side, water_side
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

SHARP_STEPS, SHARP_POWER_STEPS = 2, 4
"""Evaluations that sharpen every speed found, and steps of the power in each."""

MOST_MOVE = 0.3
"""And how far they may move it [m/s]."""

PIECE_CELLS = 24_000
"""Numbers in one array of a piece: ten of them fit in a core's cache."""


class Scan(NamedTuple):
    """Stable speeds of a grid, shape (2, winds, angles, heels): the highest, and the one below it.

    `speed` [m/s] is NaN where there is none; `slope` is that of the surplus there [N s/m]. `held` tells
    whether moments can be held (not over-powered, keel not stalled), `heels` whether the wind can heel the
    boat so far with the people to leeward.
    """

    speed: Array
    slope: Array
    held: NDArray[np.bool_]
    heels: NDArray[np.bool_]

    def part(self, *where: int | slice) -> Scan:
        """Return a view of a part of every array; the first axis is kept."""
        place = (slice(None), *where)
        return Scan(self.speed[place], self.slope[place], self.held[place], self.heels[place])


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
    air, drags = model.air(case), model.curves.at_heels(heel)
    at_sails = np.maximum(wind, CALM) * air.wind_ratio()
    rows = max(1, PIECE_CELLS // (heel.size * 45))
    pieces = [slice(first, first + rows) for first in range(0, angle.size, rows)]
    shape = (2, wind.size, angle.size, heel.size)
    out = Scan(*(np.full(shape, np.nan) for _ in range(2)), *(np.zeros(shape, bool) for _ in range(2)))

    def work(piece: slice) -> None:
        part = out.part(slice(None), piece)
        _piece(_Grid(model, air, drags, at_sails, angle[piece], heel), part)

    if len(pieces) == 1:
        work(pieces[0])
    else:
        with ThreadPoolExecutor(min(len(pieces), os.cpu_count() or 1)) as pool:
            list(pool.map(work, pieces))
    out.speed[:, wind < CALM] = np.nan
    out.held[:, wind < CALM] = False
    return out


class _Grid(NamedTuple):
    """One piece of the grid, winds at the height of the sails."""

    model: SpeedModel
    air: AirSide
    drags: HeelDragTable
    wind: Array
    angle: Array
    heel: Array


def _piece(grid: _Grid, out: Scan) -> None:
    """Fill one piece of a scan."""
    model, wind = grid.model, grid.wind
    across, over = grid.angle[:, None, None], grid.heel[None, :, None]
    ratio: Array = RATIO_STEP * np.arange(RATIO_POINTS, dtype=np.float64)
    table, heeled = air_terms(grid.air, ratio, across, over), heel_side(model, over)
    places = np.arange(grid.heel.size)[:, None]
    waves = model.wave_drag(wind / grid.air.wind_ratio())
    for stride, winds in _strides(wind):
        thinned = AirTerms(*(np.ascontiguousarray(one[..., ::stride]) for one in table))
        for place in winds:
            speed = ratio[::stride] * wind[place]
            speed = speed[: int(np.searchsorted(speed, model.curves.top_speed, side="right"))]
            terms = AirTerms(*(one[..., : speed.size] for one in thinned))
            drag = grid.drags.drag(speed, places)
            water = water_side(model, speed, angle=across, heeled=heeled, drag=drag, waves=waves[place])
            found = balance(grid.air, terms, water, wind=wind[place], steps=SCAN_STEPS, signs_only=True)
            _store(found.surplus, speed, out.part(int(place)))
    _sharpen(grid, out)


def _strides(wind: Array) -> Iterator[tuple[int, Integers]]:
    """Yield the strides through the table of ratios with the places of the winds that use them."""
    stride = np.clip(np.rint(SPEED_STEP / (RATIO_STEP * wind)), 1, MOST_STRIDE).astype(int)
    for one in np.unique(stride):
        yield int(one), np.flatnonzero(stride == one)


def _store(surplus: Array, speed: Array, out: Scan) -> None:
    """Find the two highest stable speeds along the last axis and keep them."""
    positive = surplus > 0.0
    falls = positive[..., :-1] & ~positive[..., 1:]
    for which in range(2):
        place = falls.shape[-1] - 1 - np.argmax(falls[..., ::-1], axis=-1)
        there = np.take_along_axis(falls, place[..., None], -1)[..., 0]
        if not there.any():
            return
        value, slope = _read(surplus, speed, place)
        out.speed[which] = np.where(there, value, np.nan)
        out.slope[which] = np.where(there, slope, np.nan)
        np.put_along_axis(falls, place[..., None], False, -1)


def _read(surplus: Array, speed: Array, place: Integers) -> tuple[Array, Array]:
    """Return where a parabola through three trial speeds vanishes after a place, and the chord's slope."""

    def at(shift: int) -> Array:
        return np.take_along_axis(surplus, np.maximum(place + shift, 0)[..., None], -1)[..., 0]

    here, after, before = at(0), at(1), at(-1)
    before = np.where((place > 0) & (before > here), before, 2.0 * here - after)
    bend, slope = 0.5 * (after + before) - here, 0.5 * (after - before)
    root = np.sqrt(np.maximum(slope * slope - 4.0 * bend * here, 0.0))
    part = np.clip(2.0 * here / np.maximum(root - slope, 1e-12), 0.0, 1.0)
    step = speed[place + 1] - speed[place]
    return speed[place] + part * step, (after - here) / step


def _sharpen(grid: _Grid, out: Scan) -> None:
    """Move the speeds to where the surplus vanishes by two secant steps, and read there what holds."""
    there = np.isfinite(out.speed)
    branch, row, column, layer = np.nonzero(there)
    if branch.size == 0:
        return
    cell = cells_at(grid.model, grid.wind[row], grid.angle[column], grid.heel[layer])
    first, slope = out.speed[there], np.minimum(out.slope[there], -1.0)
    speed, before, left = first, first, np.zeros_like(first)
    for step in range(SHARP_STEPS):
        found, water, _ = balance_at(grid.model, grid.air, cell, speed, steps=SHARP_POWER_STEPS)
        if step > 0:
            secant = (found.surplus - left) / np.where(speed == before, 1.0, speed - before)
            slope = np.where((speed != before) & (secant < 0.0), secant, slope)
        before, left = speed, found.surplus
        speed = np.clip(speed - found.surplus / slope, first - MOST_MOVE, first + MOST_MOVE)
        speed = np.maximum(speed, 0.0)
    out.speed[there] = speed
    out.held[there] = (found.excess <= 0.0) & (found.side <= water.holds)
    out.heels[there] = found.moment >= water.least + 1e-5 * np.abs(water.most)
