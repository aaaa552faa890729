"""Sailing higher or lower than the target, and the lower lane for a while: what it costs and when it pays."""

from __future__ import annotations

import math

from cringle.errors import InputError, OutOfRangeError
from cringle.speed.lanes import LaneAnswer, LanePolar, Point, minutes_of, track_of
from cringle.units import degrees_to_radians, metres_per_second_to_knots

LONGEST_S = 7200.0
"""A lane is held no longer than this [s]."""


def check_seconds(seconds: float) -> None:
    """Refuse a time that is none.

    Raises
    ------
    OutOfRangeError
        Not more than 0, or longer than two hours.
    """
    if not 0.0 < seconds <= LONGEST_S:
        raise OutOfRangeError("time in the lane", seconds, 1.0, LONGEST_S, unit="s", next_step="give seconds")


def beside_target(polar: LanePolar, *, point: Point, lower_deg: float, seconds: float) -> LaneAnswer:
    """Return what sailing lower (positive) or higher (negative) than the target costs.

    Parameters
    ----------
    polar : LanePolar
        The boat in one wind.
    point : {"up", "down"}
        On the wind or on the run.
    lower_deg : float
        Farther from the wind than the target.
    seconds : float
        How long.

    Raises
    ------
    InputError
        No angle is asked about.
    OutOfRangeError
        The angle leaves the polar, or the time is none.

    Notes
    -----
    Break-even speed: speed made good at the target over the cosine of the other angle. The gain in clear air
    that would reverse the loss is that speed over the one available, less one.
    """
    if lower_deg == 0.0:
        raise InputError("the lane is the target itself", next_step="give an angle, such as 4 or -4")
    check_seconds(seconds)
    target = polar.target_deg(point)
    angle = target + lower_deg
    needed = polar.made_good(target) / abs(math.cos(float(degrees_to_radians(angle))))
    there, speed = polar.speed(target), polar.speed(angle)
    gain = (polar.made_good(angle) - polar.made_good(target)) * seconds
    reverse = 100.0 * (needed / speed - 1.0)
    way = f"{abs(lower_deg):g}° {'lower' if lower_deg > 0.0 else 'higher'} than the target"
    minute = gain / minutes_of(seconds)
    words = (
        f"{way}: {abs(gain):.0f} m {'gained' if gain > 0.0 else 'lost'} in {seconds:.0f} s"
        f" ({minute:+.1f} m a minute). {float(metres_per_second_to_knots(needed)):.2f} kn break even,"
        f" {float(metres_per_second_to_knots(speed)):.2f} kn are there"
    )
    return LaneAnswer(
        question="beside_target",
        words=words,
        gain_m=gain,
        break_even=reverse,
        break_even_unit="percent",
        break_even_words="more boat speed from clear air in that lane makes it even",
        numbers=(
            ("target_twa_deg", target),
            ("twa_deg", angle),
            ("target_speed_kn", float(metres_per_second_to_knots(there))),
            ("available_speed_kn", float(metres_per_second_to_knots(speed))),
            ("break_even_speed_kn", float(metres_per_second_to_knots(needed))),
            ("gain_m_per_min", minute),
        ),
        tracks=(
            track_of("target", [(target, there * seconds)]),
            track_of(way, [(angle, speed * seconds)]),
        ),
    )


def lower_lane(
    polar: LanePolar, *, seconds: float, gybe_loss_m: float, leg_minutes: float, clear_air_share: float = 0.0
) -> LaneAnswer:
    """Return what gybing down to a lower lane for a while and gybing back costs and buys.

    Parameters
    ----------
    polar : LanePolar
        The boat in one wind.
    seconds : float
        On the other gybe.
    gybe_loss_m : float
        Made good lost in one gybe.
    leg_minutes : float
        Left of the leg after the second gybe.
    clear_air_share : float
        How much faster the lower lane is, as a share of boat speed; 0 where it is as clear as the old one.

    Raises
    ------
    OutOfRangeError
        A time, loss or share is impossible.

    Notes
    -----
    On the other gybe the boat goes down the wind as fast as before: only the gybes cost, and the lanes end up
    apart by the distance sailed times the sine of the angle between the gybes. It pays when what clear air
    gives on the rest of the leg is more than two gybes.
    """
    check_seconds(seconds)
    _check_loss(gybe_loss_m)
    if not -0.5 <= clear_air_share <= 1.0 or not 0.0 < leg_minutes <= 240.0:
        raise InputError(
            f"clear air {clear_air_share:g} of boat speed over {leg_minutes:g} min",
            next_step="give a share between -0.5 and 1, and up to 240 minutes",
        )
    target = polar.target_deg("down")
    speed, made = polar.speed(target), polar.made_good(target)
    apart = speed * seconds * abs(math.sin(2.0 * float(degrees_to_radians(target))))
    left_s = 60.0 * leg_minutes
    gain = clear_air_share * made * left_s - 2.0 * gybe_loss_m
    needed = 100.0 * 2.0 * gybe_loss_m / (made * left_s)
    words = (
        f"{seconds:.0f} s on the other gybe put you {apart:.0f} m lower; two gybes cost"
        f" {2 * gybe_loss_m:.0f} m. Over {leg_minutes:g} min the new lane must be {needed:.1f} % faster"
    )
    total = speed * left_s
    return LaneAnswer(
        question="lower_lane",
        words=words,
        gain_m=gain,
        break_even=needed,
        break_even_unit="percent",
        break_even_words="more boat speed in the lower lane pays for two gybes",
        numbers=(
            ("twa_deg", target),
            ("speed_kn", float(metres_per_second_to_knots(speed))),
            ("lanes_apart_m", apart),
            ("two_gybes_m", 2.0 * gybe_loss_m),
            ("clear_air_percent", 100.0 * clear_air_share),
        ),
        tracks=(
            track_of("stay", [(target, speed * seconds + total)]),
            track_of("lower lane", [(-target, speed * seconds), (target, total * (1.0 + clear_air_share))]),
        ),
    )


def _check_loss(gybe_loss_m: float) -> None:
    if not 0.0 <= gybe_loss_m <= 200.0:
        raise OutOfRangeError(
            "loss in a gybe", gybe_loss_m, 0.0, 200.0, unit="m", next_step="see the debrief of a log"
        )


def split_downwind(
    polar: LanePolar, *, seconds: float, gybe_loss_m: float, slowed_share: float
) -> LaneAnswer:
    """Return what gybing away makes good against following in disturbed air.

    Parameters
    ----------
    polar : LanePolar
        The boat in one wind.
    seconds : float
        How long the other boat would be followed.
    gybe_loss_m : float
        Made good lost in one gybe.
    slowed_share : float
        Share of boat speed lost while following.

    Raises
    ------
    OutOfRangeError
        A time, loss or share is impossible.

    Notes
    -----
    The one extra gybe is charged, as the boat that gybes away must come back some time or has the next one
    before the other; a leg on which it would have been due anyway makes it free. The wind is taken as steady:
    what the other side of the course may bring is a question of the shift.
    """
    check_seconds(seconds)
    _check_loss(gybe_loss_m)
    if not 0.0 <= slowed_share < 0.9:
        raise OutOfRangeError("share of speed lost", slowed_share, 0.0, 0.9, next_step="such as 0.05")
    target = polar.target_deg("down")
    speed, made = polar.speed(target), polar.made_good(target)
    gain = slowed_share * made * seconds - gybe_loss_m
    even = gybe_loss_m / (slowed_share * made) if slowed_share > 0.0 else float("nan")
    follow = f"following costs {100 * slowed_share:.0f} % of your speed"
    pays = f"gybing away pays after {even:.0f} s" if slowed_share > 0.0 else "gybing away buys nothing"
    return LaneAnswer(
        question="split_downwind",
        words=f"{follow}: {pays}; in {seconds:.0f} s it makes {gain:+.0f} m",
        gain_m=gain,
        break_even=even,
        break_even_unit="s",
        break_even_words="of following in disturbed air cost as much as one gybe",
        numbers=(
            ("twa_deg", target),
            ("speed_kn", float(metres_per_second_to_knots(speed))),
            ("gybe_loss_m", gybe_loss_m),
            ("slowed_percent", 100.0 * slowed_share),
        ),
        tracks=(
            track_of("follow", [(target, speed * seconds * (1.0 - slowed_share))]),
            track_of("gybe away", [(-target, speed * seconds - gybe_loss_m)]),
        ),
    )
