"""Two boats with a wind shift, and the way to the layline."""

from __future__ import annotations

import math

from cringle.errors import InputError, OutOfRangeError
from cringle.speed.lanes import LaneAnswer, LanePolar, Point, Track, track_of
from cringle.units import degrees_to_radians, metres_per_second_to_knots, radians_to_degrees

MOST_SHIFT_DEG, FARTHEST_M = 60.0, 20_000.0
"""Shifts and distances accepted."""


def wind_shift(
    polar: LanePolar, *, point: Point, right_m: float, ahead_m: float, shift_deg: float
) -> LaneAnswer:
    """Return what a shift gives to the boat that is to the right of another.

    Parameters
    ----------
    polar : LanePolar
        The boats, equally fast.
    point : {"up", "down"}
        On the wind or on the run.
    right_m, ahead_m : float
        Where your boat is from the other, looking to windward: to the right, and ahead along the leg.
    shift_deg : float
        Of the wind, clockwise positive (to the right when looking to windward).

    Raises
    ------
    InputError
        The boats are nowhere apart, or something is out of bounds.

    Notes
    -----
    Boats on one line square to the wind are even. The wind turns by d: the lines turn with it, so the boat to
    the right gains ``right sin d + up (cos d - 1)`` up the new wind, and loses as much on the run. Exact
    for equal speeds and a leg still to be beaten or gybed down in both winds; inside the laylines only.
    """
    if not abs(shift_deg) <= MOST_SHIFT_DEG or max(abs(right_m), abs(ahead_m)) > FARTHEST_M:
        raise InputError(
            f"shift of {shift_deg:g} deg, boats {right_m:g} m and {ahead_m:g} m apart",
            next_step=f"give a shift up to {MOST_SHIFT_DEG:g} deg and distances up to {FARTHEST_M:g} m",
        )
    if right_m == 0.0 and ahead_m == 0.0:
        raise InputError("the boats are in one place", next_step="say how far your boat is to the right")
    sign = 1.0 if point == "up" else -1.0
    up_m, turn = sign * ahead_m, float(degrees_to_radians(shift_deg))
    new_up = right_m * math.sin(turn) + up_m * math.cos(turn)
    gain = sign * (new_up - up_m)
    even = float("nan") if right_m == 0.0 else float(radians_to_degrees(math.atan2(-up_m, right_m)))
    even = (even + 90.0) % 180.0 - 90.0
    made = polar.made_good(polar.target_deg(point))
    side = "right" if shift_deg > 0.0 else "left"
    words = (
        f"a shift of {abs(shift_deg):g}° to the {side} makes {gain:+.0f} m for you ({gain / made:+.0f} s);"
        f" afterwards you are {sign * new_up:+.0f} m ahead"
    )
    return LaneAnswer(
        question="wind_shift",
        words=words,
        gain_m=gain,
        break_even=even,
        break_even_unit="deg",
        break_even_words="of shift, clockwise positive, make the two boats even",
        numbers=(("ahead_after_m", sign * new_up), ("gain_s", gain / made), ("shift_deg", shift_deg)),
        tracks=_shift_tracks(right_m, up_m, turn),
    )


def _shift_tracks(right_m: float, up_m: float, turn: float) -> tuple[Track, ...]:
    """Return both boats and the lines of equal distance through them after the shift."""
    reach = max(abs(right_m), abs(up_m), 20.0)
    x, y = reach * math.cos(turn), -reach * math.sin(turn)
    return (
        Track("line of the other boat, new wind", (-x, x), (-y, y)),
        Track("line of your boat, new wind", (right_m - x, right_m + x), (up_m - y, up_m + y)),
        Track("other boat", (0.0,), (0.0,)),
        Track("you", (right_m,), (up_m,)),
    )


def _boards(turn: float, mark_right_m: float, mark_ahead_m: float) -> tuple[float, float]:
    """Return the lengths of the board to the left and of the one to the right [m]; `turn` is in radians."""
    total = mark_ahead_m / math.cos(turn)
    right = 0.5 * (total + mark_right_m / math.sin(turn))
    if min(total - right, right) < 0.0:
        raise InputError(
            f"the mark is {abs(mark_right_m):g} m to the side, outside the layline",
            next_step="it can be laid without a tack or gybe: use the polar for that angle",
        )
    return total - right, right


def layline(polar: LanePolar, *, point: Point, mark_right_m: float, mark_ahead_m: float) -> LaneAnswer:
    """Return distance and time to the layline and to the mark, and what sailing past it costs.

    Parameters
    ----------
    polar : LanePolar
        The boat in one wind.
    point : {"up", "down"}
        On the wind or on the run.
    mark_right_m, mark_ahead_m : float
        Where the mark is from the boat, looking to windward: to the right, and ahead along the leg.

    Raises
    ------
    InputError
        The mark is behind, or outside both laylines.

    Notes
    -----
    The boat sails the board first that leads to the right layline, then tacks or gybes and lays the mark.
    Overstanding by d square to the layline costs ``d tan(off)`` of distance: ``d / sin(2 off)`` too much on
    the first board, of which the second gives back ``cos(2 off)``. The gain is that of `OVERSTOOD_M`, in
    metres made good; sailing the last board faster with eased sheets gives a little of it back.
    """
    if not 0.0 < mark_ahead_m <= FARTHEST_M:
        raise OutOfRangeError(
            "distance to the mark along the leg", mark_ahead_m, 1.0, FARTHEST_M, unit="m",
            next_step="give how far ahead the mark is",
        )  # fmt: skip
    target = polar.target_deg(point)
    off = target if point == "up" else 180.0 - target
    turn = float(degrees_to_radians(off))
    left, right = _boards(turn, mark_right_m, mark_ahead_m)
    speed = polar.speed(target)
    first, second = (right, left) if right >= left else (left, right)
    past = OVERSTOOD_M * math.tan(turn)
    words = (
        f"{first:.0f} m ({first / speed:.0f} s) to the layline, then {second:.0f} m ({second / speed:.0f} s)"
        f" to the mark; {OVERSTOOD_M:g} m past the layline cost {past / speed:.1f} s"
    )
    board = -target if right >= left else target
    return LaneAnswer(
        question="layline",
        words=words,
        gain_m=-past * math.cos(turn),
        break_even=first / speed,
        break_even_unit="s",
        break_even_words="to the layline on the longer board",
        numbers=(
            ("layline_m", first),
            ("layline_s", first / speed),
            ("mark_m", first + second),
            ("mark_s", (first + second) / speed),
            ("twa_deg", target),
            ("speed_kn", float(metres_per_second_to_knots(speed))),
            ("overstood_m", OVERSTOOD_M),
            ("overstood_cost_s", past / speed),
        ),
        tracks=(track_of("to the mark", [(board, first), (-board, second)]),),
    )


OVERSTOOD_M = 10.0
"""How far past the layline, square to it, the cost is told for."""
