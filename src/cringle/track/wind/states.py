"""What a boat is doing at each second: beating, running, reaching, slow, still or towed."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.reading.complete import Complete
from cringle.track.wind.series import WindSeries, bridged
from cringle.units import degrees_to_radians

Array = NDArray[np.float64]

UP_BELOW_DEG: Final = 68.0
RUN_ABOVE_DEG: Final = 112.0
"""Mean true wind angles that part beating from reaching and reaching from running [deg] (common practice, no
source)."""

TOWED_BELOW_DEG: Final = 30.0
TOWED_S: Final = 45
"""Closer to the wind than this for so long no boat sails [s] (common practice, no source)."""

SMOOTH_S: Final = 15
SLOWEST_KN: Final = 1.2
SLOW_SHARE: Final = 0.35
STILL_KN: Final = 0.35
"""Below these a boat waits, or lies still; `SLOW_SHARE` is of her usual speed (our own limits)."""

SHORTEST_S: Final = 8


class State(IntEnum):
    """What a boat is doing."""

    UNKNOWN = 0
    UP = 1
    RUN = 2
    REACH = 3
    SLOW = 4
    STILL = 5
    TOWED = 6


SAILING: Final = (State.UP, State.RUN, State.REACH)


@dataclass(frozen=True)
class Span:
    """Rows `first` to `end` (not included) in one state."""

    state: State
    first: int
    end: int

    @property
    def seconds(self) -> int:
        """Duration."""
        return self.end - self.first


@dataclass(frozen=True)
class States:
    """State of each second, and the true wind angle behind it [deg, of either sign]."""

    state: NDArray[np.int8]
    angle_deg: Array
    speed_kn: Array


def states_of(log: Complete, wind: WindSeries) -> States:
    """Return what the boat is doing at each second.

    Notes
    -----
    The cosine of the angle to the wind, averaged over 15 s, tells beat, reach and run: a tack or gybe does
    not disturb it.
    """
    series = log.series
    course = bridged(series.cog, series.fix_interval_s)
    angle = wind.angle_deg(course)
    ahead = sliding_mean(np.cos(degrees_to_radians(angle)), SMOOTH_S)
    speed = sliding_mean(series.sog, SMOOTH_S)
    usual = float(np.nanpercentile(series.sog, 80)) if np.isfinite(series.sog).any() else 0.0
    state = np.full(angle.size, State.REACH, dtype=np.int8)
    state[ahead > np.cos(degrees_to_radians(UP_BELOW_DEG))] = State.UP
    state[ahead < np.cos(degrees_to_radians(RUN_ABOVE_DEG))] = State.RUN
    near = sliding_mean((np.abs(angle) < TOWED_BELOW_DEG).astype(float), TOWED_S)
    state[near > 0.8] = State.TOWED
    state[speed < max(SLOWEST_KN, SLOW_SHARE * usual)] = State.SLOW
    state[speed < STILL_KN] = State.STILL
    state[~(np.isfinite(ahead) & np.isfinite(speed))] = State.UNKNOWN
    return States(state, angle, speed)


def sliding_mean(values: Array, width: int) -> Array:
    """Return the mean over `width` rows around each row, of those that are known; NaN with under half."""
    known = np.isfinite(values)
    window = np.ones(min(width, max(values.size, 1)))
    if values.size == 0:
        return values
    count = _centred(known.astype(float), window)
    total = _centred(np.where(known, values, 0.0), window)
    edge = _centred(np.ones(values.size), window)
    return np.where(count >= 0.5 * edge, total / np.maximum(count, 1e-9), np.nan)


def _centred(values: Array, window: Array) -> Array:
    return np.asarray(np.convolve(values, window, mode="full")[window.size // 2 :][: values.size])


def spans_of(state: NDArray[np.int8]) -> list[Span]:
    """Return the stretches of one state, short ones given to the longer of their neighbours."""
    spans = _raw(state)
    while True:
        short = [one for one in spans if one.seconds < SHORTEST_S]
        if not short or len(spans) == 1:
            return spans
        place = spans.index(min(short, key=_seconds))
        beside = [spans[near] for near in (place - 1, place + 1) if 0 <= near < len(spans)]
        taker = max(beside, key=_seconds)
        spans[place] = Span(taker.state, spans[place].first, spans[place].end)
        spans = _joined(spans)


def _seconds(span: Span) -> int:
    return span.seconds


def _raw(state: NDArray[np.int8]) -> list[Span]:
    if state.size == 0:
        return []
    edges = np.flatnonzero(np.diff(state)) + 1
    firsts, ends = np.concatenate(([0], edges)), np.concatenate((edges, [state.size]))
    return [Span(State(int(state[a])), int(a), int(b)) for a, b in zip(firsts, ends, strict=True)]


def _joined(spans: list[Span]) -> list[Span]:
    out: list[Span] = []
    for one in spans:
        if out and out[-1].state == one.state and out[-1].end == one.first:
            out[-1] = Span(one.state, out[-1].first, one.end)
        else:
            out.append(one)
    return out
