"""Tacks and gybes from the side of the wind, each confirmed by what the boat did before and after.

A tack takes the bow through the wind, a gybe the stern; the size of the turn says nothing about which
(a turn from reach to reach can be either). So the wind must settle on one side, cross over, and settle on
the other, and the boat must have turned, kept the true wind where it was, and been sailing on both sides.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.track.circle import circular_mean_deg, difference_deg, unwind_deg
from cringle.track.reading.complete import Complete, boat_speed
from cringle.track.series import Series
from cringle.track.sides import Change, Run, side_changes
from cringle.units import wrap_degrees

Array = NDArray[np.float64]

WINDOW_FAR_S: Final = 45
WINDOW_NEAR_S: Final = 20
"""What was before is read 45 to 20 s earlier, what is after 20 to 45 s later."""

CLOSE_WINDOW_FAR_S: Final = 25
CLOSE_WINDOW_NEAR_S: Final = 6
SHORTEST_WINDOW_S: Final = 8
"""Between two manoeuvres in quick succession the windows move nearer rather than shrink below 8 s."""

LONGEST_CROSSING_S: Final = 30
"""A boat turning through the eye of the wind has no drive; after half a minute she has stopped, or an engine
turns her (common practice, no source)."""

CLOSEST_SAILING_DEG: Final = 15.0
"""No keelboat sails for long with the apparent wind nearer the bow than about 20 degrees; 5 are left for a
vane that points wrong (common practice, no source)."""

SMALLEST_TACK_DEG: Final = 45.0
"""Between close-hauled on one side and the other no boat turns less than this [deg] (common practice)."""

SMALLEST_GYBE_DEG: Final = 12.0
"""From nearly dead downwind on one side to the other a boat turns little, but turns [deg]."""

LARGEST_WIND_SHIFT_DEG: Final = 45.0
"""The boat turned, not the wind: the true wind's direction before and after differs by less than this. It
leaves 15 degrees each for leeway and stream, for a wrong vane, and for a real shift (our own limit)."""

SLOWEST_SAILING_KN: Final = 1.0
"""Slower than this before or after, the boat is moored or adrift [kn] (our own limit)."""

SLOWEST_SHARE_OF_WIND: Final = 0.2
SURELY_SAILING_KN: Final = 4.0
"""A keelboat under sail makes at least a fifth of the true wind's speed, and at 4 kn is under way in any wind
(common practice, no source)."""

AT_ONCE_S: Final = 12
WAITING_KN: Final = 1.5
"""A boat that gybes just before the line may wait right after it, slower than this [kn]: then the first 12 s
count (our own limits)."""

LOWEST_FROM_S, LOWEST_TO_S = 10, 30
"""The lowest speed is looked for from 10 s before to 30 s after the wind crosses [s]."""

REFUSALS: Final = {
    "not_recorded": "nothing was recorded before or after",
    "crossing_too_long": f"the wind took more than {LONGEST_CROSSING_S} s to settle on the other side",
    "too_near_the_bow": "the wind was too near the bow for sailing on one of the sides",
    "hardly_turned": "the boat did not turn",
    "wind_moved": "the wind moved, not the boat",
    "not_sailing": "too slow for sailing before or after",
}
"""Why a change of the wind's side is no manoeuvre."""


@dataclass(frozen=True)
class Manoeuvre:
    """One tack or gybe.

    Parameters
    ----------
    at : datetime
        When the wind crossed over, UTC.
    kind : str
        ``tack`` or ``gybe``.
    heading_before_deg, heading_after_deg : float or None
        Mean direction of the bow before and after, in [0, 360); of what `Origins.bow` names.
    turn_deg : float or None
        How far the bow turned, clockwise positive; a long way round is more than 180.
    awa_before_deg, awa_after_deg : float
        Mean wind angle, starboard positive: apparent, or true where the log has no apparent wind.
    stw_before_kn, stw_lowest_kn, sog_before_kn, sog_lowest_kn : float or None
        Median speed before, and lowest speed during.
    """

    at: datetime
    kind: str
    heading_before_deg: float | None
    heading_after_deg: float | None
    turn_deg: float | None
    awa_before_deg: float
    awa_after_deg: float
    stw_before_kn: float | None
    stw_lowest_kn: float | None
    sog_before_kn: float | None
    sog_lowest_kn: float | None


@dataclass(frozen=True)
class Found:
    """Manoeuvres in order of time, and why other changes of the wind's side are none (reason to count)."""

    manoeuvres: tuple[Manoeuvre, ...]
    refused: dict[str, int]


@dataclass(frozen=True)
class _Sides:
    """One change of side with the rows before and after it, and what the signals say there."""

    change: Change
    before: slice
    after: slice
    turn_deg: float
    through_bow: bool


def find_manoeuvres(log: Complete) -> Found | None:
    """Return the tacks and gybes of a log, or None when it carries no wind angle.

    Parameters
    ----------
    log : Complete
        The log on the even clock.
    """
    series = log.series
    angle = series.awa if series.has("awa") else series.twa
    if not np.isfinite(angle).any():
        return None
    turned = unwind_deg(log.bow)
    manoeuvres, refused = [], dict.fromkeys(REFUSALS, 0)
    for change in side_changes(angle):
        sides = _read(change, angle, turned)
        reason = _refusal(sides, angle, log)
        if reason is None:
            manoeuvres.append(_manoeuvre(sides, angle, log))
        else:
            refused[reason] += 1
    return Found(tuple(manoeuvres), {reason: count for reason, count in refused.items() if count})


def manoeuvre_at(log: Complete, at: datetime, *, kind: str) -> Manoeuvre:
    """Return the tack or gybe that a person says was made at an instant, measured from the log.

    Parameters
    ----------
    log : Complete
        The log with its wind.
    at : datetime
        When the wind crossed over, UTC.
    kind : str
        ``tack`` or ``gybe``.

    Raises
    ------
    InputError
        The log has no wind around that instant.
    """
    series = log.series
    angle = series.awa if series.has("awa") else series.twa
    row = round((at - series.start).total_seconds())
    inside = 0 < row < series.rows - 1
    side = int(np.sign(circular_mean_deg(angle[max(row - WINDOW_FAR_S, 0) : row]))) if inside else 0
    change = Change(
        Run(max(row - WINDOW_FAR_S, 0), row, side), Run(row, min(row + WINDOW_FAR_S, series.rows), -side), row
    )
    before, after = _windows(change, angle)
    if not (inside and np.isfinite(angle[before]).any() and np.isfinite(angle[after]).any()):
        raise InputError(
            f"no wind in the log around {at.isoformat()}: a {kind} cannot be measured there",
            next_step="give a time while the boat sailed",
        )
    turned = unwind_deg(log.bow)
    turn = _mean(turned[after]) - _mean(turned[before])
    return _manoeuvre(_Sides(change, before, after, turn, kind == "tack"), angle, log)


def _windows(change: Change, angle: Array) -> tuple[slice, slice]:
    """Return the rows that stand for before and after, inside the settled sides.

    Nearer ones stand in where the next manoeuvre is close, or the receiver was silent.
    """
    row, start, end = change.row, change.before.start, change.after.end
    before = slice(max(row - WINDOW_FAR_S, start), row - WINDOW_NEAR_S)
    if _known_rows(angle, before) < SHORTEST_WINDOW_S:
        before = slice(max(row - CLOSE_WINDOW_FAR_S, start), max(row - CLOSE_WINDOW_NEAR_S, start + 1))
    after = slice(row + WINDOW_NEAR_S + 1, min(row + WINDOW_FAR_S + 1, end))
    if _known_rows(angle, after) < SHORTEST_WINDOW_S:
        after = slice(min(row + CLOSE_WINDOW_NEAR_S, end - 1), min(row + CLOSE_WINDOW_FAR_S + 1, end))
    return before, after


def _known_rows(angle: Array, part: slice) -> int:
    """Return how many rows of a window have an angle; none where it ends before it begins."""
    return int(np.isfinite(angle[max(part.start, 0) : max(part.stop, 0)]).sum())


def _read(change: Change, angle: Array, turned: Array) -> _Sides:
    before, after = _windows(change, angle)
    turn = _mean(turned[after]) - _mean(turned[before])
    return _Sides(change, before, after, turn, _through_bow(change, angle, turn))


def _through_bow(change: Change, angle: Array, turn_deg: float) -> bool:
    """Return whether the wind crossed over the bow rather than the stern.

    The two readings next to the crossing decide; where they are too far apart to tell (few readings a
    minute), the direction of the turn does: a tack turns towards the wind.
    """
    old = angle[change.before.start : change.row]
    new = angle[change.row : change.after.end]
    old = old[np.sign(old) == change.before.side]
    new = new[np.sign(new) == change.after.side]
    over_bow = abs(float(old[-1])) + abs(float(new[0]))
    if 100.0 < over_bow < 260.0 and np.isfinite(turn_deg):
        return turn_deg * change.before.side > 0.0
    return over_bow < 180.0


def _refusal(sides: _Sides, angle: Array, log: Complete) -> str | None:
    """Return why this change of side is no manoeuvre, or None when it is one."""
    checks = (
        ("not_recorded", not all(_known_rows(angle, one) for one in (sides.before, sides.after))),
        ("crossing_too_long", sides.change.unsettled_s > LONGEST_CROSSING_S),
        (
            "too_near_the_bow",
            min(_size(angle, sides.before), _size(angle, sides.after)) < CLOSEST_SAILING_DEG,
        ),
        (
            "hardly_turned",
            abs(sides.turn_deg) < (SMALLEST_TACK_DEG if sides.through_bow else SMALLEST_GYBE_DEG),
        ),
        ("wind_moved", _wind_shift(sides, log.series) > LARGEST_WIND_SHIFT_DEG),
        ("not_sailing", not (_sailing(log.series, sides.before) and _sails_on(log.series, sides))),
    )
    return next((reason for reason, failed in checks if failed), None)


def _size(angle: Array, part: slice) -> float:
    return abs(circular_mean_deg(angle[part]))


def _wind_shift(sides: _Sides, series: Series) -> float:
    """Return how far the true wind's direction moved from before to after [deg]; NaN when unknown."""
    before, after = (circular_mean_deg(series.twd[part]) for part in (sides.before, sides.after))
    return float(abs(difference_deg(after, before)))


def _sails_on(series: Series, sides: _Sides) -> bool:
    """Return whether the boat sails after the crossing: later, or at once where she finishes soon after."""
    if _sailing(series, sides.after):
        return True
    row, later = sides.change.row, _median(boat_speed(series)[sides.after])
    return later < WAITING_KN and _sailing(series, slice(row, row + AT_ONCE_S))


def _sailing(series: Series, part: slice) -> bool:
    """Return whether the boat is fast enough for sailing; True where no speed is known."""
    speed = _median(boat_speed(series)[part])
    wind = _median(series.tws[part])
    if not np.isfinite(speed):
        return True
    wanted = min(SLOWEST_SHARE_OF_WIND * wind, SURELY_SAILING_KN) if np.isfinite(wind) else 0.0
    return speed >= max(SLOWEST_SAILING_KN, wanted)


def _manoeuvre(sides: _Sides, angle: Array, log: Complete) -> Manoeuvre:
    series, row = log.series, sides.change.row
    low = slice(max(row - LOWEST_FROM_S, 0), row + LOWEST_TO_S + 1)
    return Manoeuvre(
        at=series.at(row),
        kind="tack" if sides.through_bow else "gybe",
        heading_before_deg=_direction(log.bow[sides.before]),
        heading_after_deg=_direction(log.bow[sides.after]),
        turn_deg=_known(sides.turn_deg),
        awa_before_deg=circular_mean_deg(angle[sides.before]),
        awa_after_deg=circular_mean_deg(angle[sides.after]),
        stw_before_kn=_known(_median(series.stw[sides.before])),
        stw_lowest_kn=_known(_lowest(series.stw[low])),
        sog_before_kn=_known(_median(series.sog[sides.before])),
        sog_lowest_kn=_known(_lowest(series.sog[low])),
    )


def _direction(angles_deg: Array) -> float | None:
    mean = circular_mean_deg(angles_deg)
    return float(wrap_degrees(mean)) if np.isfinite(mean) else None


def _known(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _mean(values: Array) -> float:
    known = values[np.isfinite(values)]
    return float(known.mean()) if known.size else float("nan")


def _median(values: Array) -> float:
    known = values[np.isfinite(values)]
    return float(np.median(known)) if known.size else float("nan")


def _lowest(values: Array) -> float:
    known = values[np.isfinite(values)]
    return float(known.min()) if known.size else float("nan")
