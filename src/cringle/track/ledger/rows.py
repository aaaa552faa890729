"""The rows of the time ledger: which leg a second belongs to and whether one cause takes it whole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.circle import difference_deg
from cringle.track.distance import position_metres
from cringle.track.ledger.ledger import REACH, RUN, SAILED, UPWIND, LedgerRows, Split, code
from cringle.track.ledger.noise import white_noise_deg
from cringle.track.sailing.sailing import Sailing
from cringle.track.sliding import mean_around, sum_around
from cringle.track.turns.loss import Loss
from cringle.units import radians_to_degrees

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

KIND_NAMES: Final = {"up": UPWIND, "run": RUN, "reach": REACH}
"""Name of a kind of leg to its number."""

STOPPED_KN: Final = 0.8
STOPPED_S: Final = 10
"""Slower than this for so long on a leg, outside a manoeuvre, the boat is stopped (our own limit)."""

AWAY_S: Final = 10
"""Sailing away from the leg's end for so long is a detour [s] (our own limit)."""

BEFORE_TURN_S: Final = 30
LONGEST_COMING_UP_S: Final = 5
COMING_UP_DEG: Final = 10.0
"""The bow comes up when the angle is so much below the median of the last half minute [deg] (judgement)."""

FREED_DEG: Final = 10.0
"""The mark lies so much further off the wind than the target: the layline is overstood [deg]. Half of it is
the helm's wander, half what the wind's direction is known to (our own limit)."""

FREED_S: Final = 15
"""The last board counts as overstood from this length on [s]."""


@dataclass(frozen=True)
class LegSpan:
    """One leg: ``up``, ``run`` or ``reach``; its first row and the one after its last."""

    kind: str
    first: int
    end: int


def ledger_rows(
    sailing: Sailing,
    legs: Sequence[LegSpan],
    losses: Sequence[Loss],
    *,
    roundings: Sequence[tuple[int, int, str]] = (),
    stopped: Mask | None = None,
) -> LedgerRows:
    """Return the rows the ledger is drawn up from.

    Parameters
    ----------
    sailing : Sailing
        The log.
    legs : sequence of LegSpan
        Beats, runs and reaches of the race.
    losses : sequence of Loss
        Tacks and gybes; each takes the rows from its entry to 95 % of its speed.
    roundings : sequence of (int, int, str)
        First row, the one after the last, and ``set`` or ``drop``.
    stopped : bool array, optional
        Further seconds known to be stopped.
    """
    count = sailing.rows
    leg, kind = np.full(count, -1, dtype=np.int64), np.zeros(count, dtype=np.int8)
    for number, one in enumerate(legs):
        leg[one.first : one.end] = number
        kind[one.first : one.end] = KIND_NAMES[one.kind]
    charge = np.full(count, SAILED, dtype=np.int8)
    slow = _lasting(sailing.speed_kn < STOPPED_KN, STOPPED_S)
    charge[slow if stopped is None else slow | stopped] = code("stopped")
    for first, end, what in roundings:
        charge[first:end] = code(what)
    for loss in losses:
        charge[loss.first_row : loss.end_row] = code(loss.kind)
    away = _lasting(_away(sailing, kind), AWAY_S)
    charge[away & (charge == SAILED)] = code("extra_distance")
    plain = (charge == SAILED) & (leg >= 0)
    return LedgerRows(
        sailing.wind_kn,
        sailing.angle_deg,
        sailing.speed_kn,
        sailing.heel_deg,
        kind,
        leg,
        charge,
        angle_noise_deg=white_noise_deg(np.abs(sailing.angle_deg), plain),
    )


def from_the_turn(sailing: Sailing, legs: Sequence[LegSpan]) -> list[LegSpan]:
    """Return the legs with each beat that follows a run begun where the bow begins to come up.

    Notes
    -----
    Legs part where a share of the turn is done. A second or two of the turn counted as a run costs next to
    nothing, as a beat two seconds each: the whole turn is held against one target, the beat's.
    """
    found = list(legs)
    for place in range(1, len(found)):
        run, beat = found[place - 1 : place + 1]
        if run.kind != "run" or beat.kind != "up" or beat.first - run.end > 1:
            continue
        angle = np.abs(sailing.angle_deg[max(run.end - BEFORE_TURN_S, run.first) : run.end])
        usual = float(np.nanmedian(angle)) if np.isfinite(angle).any() else float("nan")
        last = angle[-LONGEST_COMING_UP_S:]
        still = np.flatnonzero(last >= usual - COMING_UP_DEG)
        first = run.end - last.size + (int(still[-1]) + 1 if still.size else last.size)
        found[place - 1], found[place] = replace(run, end=first), replace(beat, first=first)
    return found


def _away(sailing: Sailing, kind: NDArray[np.int8]) -> Mask:
    """Return where the boat sails away from where the leg leads."""
    windward = mean_around(sailing.to_windward_kn(), 5)
    away: Mask = ((kind == UPWIND) & (windward < 0.0)) | ((kind == RUN) & (windward > 0.0))
    return away


def _lasting(flag: Mask, least: int) -> Mask:
    """Return where a flag holds for at least so many rows on end."""
    if flag.size < least:
        return np.zeros(flag.size, dtype=bool)
    held = sum_around(flag.astype(float), least) >= least - 0.5
    return sum_around(held.astype(float), least + 1 - least % 2) * flag > 0.5


def overstood(
    sailing: Sailing,
    legs: Sequence[LegSpan],
    losses: Sequence[Loss],
    target_deg: Array,
    place: tuple[Array, Array],
) -> Mask:
    """Return the seconds of last boards on which the mark lies so free that the layline was overstood.

    Parameters
    ----------
    sailing : Sailing
        The log.
    legs, losses
        Legs, and tacks and gybes.
    target_deg : array, shape (n,)
        Target angle at the wind of each second.
    place : tuple of array
        Latitude and longitude [deg].

    Notes
    -----
    The mark is where the leg ends. Upwind its angle off the wind is larger than the target by `FREED_DEG`, on
    a run smaller; what is lost there to the angle was lost when the boat sailed past the layline.
    """
    north, east = position_metres(*place)
    found = np.zeros(sailing.rows, dtype=bool)
    for one in legs:
        turns = [loss.end_row for loss in losses if one.first <= loss.first_row < one.end]
        rows = np.arange(max(turns, default=one.end), one.end - 5)
        if one.kind == "reach" or rows.size < FREED_S:
            continue
        last = min(one.end, sailing.rows - 1)
        bearing = radians_to_degrees(np.arctan2(east[last] - east[rows], north[last] - north[rows]))
        angle = np.abs(difference_deg(sailing.wind_from_deg[rows], bearing))
        freed = (angle - target_deg[rows]) * (1.0 if one.kind == "up" else -1.0)
        found[rows] = np.nanmedian(freed) > FREED_DEG if np.isfinite(freed).any() else False
    return found


def with_overstood(split: Split, rows: Mask) -> Split:
    """Return the split with what the angle cost on overstood boards charged to extra distance."""
    seconds = split.seconds.copy()
    angle, distance = code("angle"), code("extra_distance")
    seconds[distance, rows] += seconds[angle, rows]
    seconds[angle, rows] = 0.0
    return Split(seconds, split.leg)
