"""What moving people do to the boat: righting moment and heel along a play, and who could move instead.

The wind's moment comes from the steady heel before and after the play: there it balances the boat and the
people at
their places; in between it passes from one to the other while the sails change. Timing of weight is shown,
never tuned for thrust: RRS 42.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from cringle.constants import STANDARD_GRAVITY_M_PER_S2
from cringle.plays.check import Checked
from cringle.plays.crew import Hand
from cringle.plays.play_file import Motion, Spot
from cringle.plays.roll import RollModel, roll_response
from cringle.plays.whereabouts import OUT_ON_THE_RAIL, Track
from cringle.units import degrees_to_radians, radians_to_degrees

Array = NDArray[np.float64]

STEP_S = 0.05
TURN_TAKES_S = 2.0
"""How long the sails take to empty before the windward side changes, and to fill after it where no sheeting
with two hands follows (judgement)."""

SETTLE_S = 4.0
"""Shown beyond the last action."""

LONGEST_SPAN_S = 0.3
"""Heel outside its band for less than this is not worth a warning."""

OffCentre = Callable[[Hand, Spot], float]
"""Place of a person's mass to windward of the centreline [m], for a spot on the windward side it names."""


@dataclass(frozen=True)
class SteadyHeel:
    """Heel before and after a play, to leeward of the side then [deg], and half the width of its band."""

    before_deg: float
    after_deg: float
    band_deg: float
    source: str = "play file"


@dataclass(frozen=True)
class WeightStrip:
    """Moment and heel along a play; heel and moment are counted on the side that is leeward before it.

    Parameters
    ----------
    time_s : array, shape (n,)
        From the call [s].
    crew_moment_n_m : array, shape (n,)
        Of the people, to windward as it is before the play.
    steady_deg, heel_deg : array, shape (n,)
        Heel without and with the boat's own swing.
    low_deg, high_deg : array, shape (n,)
        The band.
    warnings : tuple of str
        When heel leaves the band, and who could move instead.
    source : str
        Where the steady heel comes from.
    """

    time_s: Array
    crew_moment_n_m: Array
    steady_deg: Array
    heel_deg: Array
    low_deg: Array
    high_deg: Array
    warnings: tuple[str, ...] = ()
    source: str = ""
    cautions: tuple[str, ...] = field(
        default=("Weight moves once, in answer to the wind: RRS 42 forbids a rhythm.",)
    )


def weight_strip(
    checked: Checked, roll: RollModel, off_centre: OffCentre, *, heel: SteadyHeel | None = None
) -> WeightStrip:
    """Return the strip under a play's timeline.

    Parameters
    ----------
    checked : Checked
        A play that can be done.
    roll : RollModel
        The boat.
    off_centre : callable
        Place of a person's mass to windward [m].
    heel : SteadyHeel, optional
        From the speed model; the play file's own when left out.
    """
    plan, play = checked.plan, checked.plan.play
    steady = heel or SteadyHeel(play.heel_before_deg, play.heel_after_deg, play.heel_band_deg)
    until = (plan.makespan_s or 0.0) + SETTLE_S
    time = np.arange(0.0, until + STEP_S, STEP_S)
    crew = crew_moment(checked.tracks, off_centre, time)
    wind = _wind_moment(checked, steady, roll, (time, crew))
    quiet = radians_to_degrees((wind - crew) / roll.stiffness)
    swung = radians_to_degrees(roll_response(roll, time, wind - crew))
    low, high = heel_band(time, steady, turn_span(checked))
    strip = WeightStrip(time, crew, quiet, swung, low, high, source=steady.source)
    return WeightStrip(time, crew, quiet, swung, low, high, tuple(_warnings(checked, strip)), steady.source)


def crew_moment(tracks: Sequence[Track], off_centre: OffCentre, time: Array) -> Array:
    """Return the moment of all people to the side that is windward before the play, shape of `time` [N m]."""
    whole = np.zeros_like(time)
    for track in tracks:
        at, out = [0.0], [_signed(off_centre, track.hand, track.first)]
        for leg in track.legs:
            at += [max(leg.start_s, at[-1]), max(leg.end_s, at[-1])]
            out += [out[-1], _signed(off_centre, track.hand, leg.goal)]
        whole += track.hand.mass_kg * STANDARD_GRAVITY_M_PER_S2 * np.interp(time, at, out)
    return whole


def _signed(off_centre: OffCentre, hand: Hand, spot: Spot) -> float:
    side = -1.0 if spot.side == "new" else 1.0
    return side * off_centre(hand, spot)


def _wind_moment(checked: Checked, steady: SteadyHeel, roll: RollModel, crew: tuple[Array, Array]) -> Array:
    """Return the wind's moment: balanced before and after, passing over while the sails change.

    In a turn it falls to nothing until the windward side changes and then grows until the sails are sheeted.
    """
    time, moment = crew
    turn = turn_span(checked)
    after_deg = steady.after_deg if turn is None else -steady.after_deg
    first = roll.stiffness * float(degrees_to_radians(steady.before_deg)) + moment[0]
    last = roll.stiffness * float(degrees_to_radians(after_deg)) + moment[-1]
    if turn is None:
        return np.asarray(first + (last - first) * _passing(time, *_change_span(checked)))
    start, flip, end = turn
    return np.asarray(first * (1.0 - _passing(time, start, flip)) + last * _passing(time, flip, end))


def _passing(time: Array, start: float, end: float) -> Array:
    """Return 0 before a span, 1 after it, and a smooth way between."""
    share = np.clip((time - start) / max(end - start, STEP_S), 0.0, 1.0)
    return np.asarray(share * share * (3.0 - 2.0 * share))


def turn_span(checked: Checked) -> tuple[float, float, float] | None:
    """Return when the sails begin to empty, the windward side changes, and they are full again; else None."""
    plan = checked.plan
    if plan.play.flips_at is None:
        return None
    flip = plan.cue_s[plan.play.flips_at]
    sheeting = [
        plan.end_s[one.id]
        for one in plan.play.actions
        if one.motion is Motion.TRIM and one.hands == 2 and plan.start_s[one.id] >= flip
    ]
    return flip - TURN_TAKES_S, flip, min(sheeting, default=flip + TURN_TAKES_S)


def _change_span(checked: Checked) -> tuple[float, float]:
    """Return when the wind's moment changes without a turn: from the first trim or helm action on."""
    plan = checked.plan
    changing = [
        one.id for one in plan.play.actions if one.motion in (Motion.TRIM, Motion.HELM) and not one.hold
    ]
    if not changing:
        return 0.0, plan.makespan_s or STEP_S
    return min(plan.start_s[one] for one in changing), max(plan.end_s[one] for one in changing)


def heel_band(
    time: Array, steady: SteadyHeel, turn: tuple[float, float, float] | None
) -> tuple[Array, Array]:
    """Return the lower and upper edge of the heel band along a play [deg].

    In a tack or gybe the band holds the heel of the side that is leeward then; the turn itself may pass
    through level.

    Parameters
    ----------
    time : array, shape (n,)
        [s]
    steady : SteadyHeel
        Heel before and after, and the band.
    turn : tuple or None
        Start, change of side and end of the turn [s].
    """
    if turn is None:
        ends = (steady.before_deg, steady.after_deg)
        lowest, highest = min(ends) - steady.band_deg, max(ends) + steady.band_deg
        return np.full_like(time, lowest), np.full_like(time, highest)
    start, flip, end = turn
    turning, before = (time >= start) & (time <= end), time < flip
    middle = np.where(before, steady.before_deg, -steady.after_deg)
    edges = (steady.before_deg, -steady.after_deg)
    low = np.where(turning, min(edges), middle) - steady.band_deg
    high = np.where(turning, max(edges), middle) + steady.band_deg
    return np.asarray(low), np.asarray(high)


def _warnings(checked: Checked, strip: WeightStrip) -> list[str]:
    found = []
    for kind, beyond in (
        ("over", strip.heel_deg - strip.high_deg),
        ("under", strip.low_deg - strip.heel_deg),
    ):
        for start, end in _spans(strip.time_s, beyond > 0.0):
            inside = (strip.time_s >= start) & (strip.time_s <= end)
            worst = float(np.max(beyond[inside]))
            side = _side_now(checked, kind, 0.5 * (start + end))
            who = _who_could_move(checked, 0.5 * (start + end), side)
            found.append(f"heel is {worst:.0f}° {side} its band from {start:.1f} to {end:.1f} s; {who}")
    return found


def _side_now(checked: Checked, kind: str, at: float) -> str:
    """Return whether heel is over or under its band as seen from the side that is leeward at a moment."""
    play, plan = checked.plan.play, checked.plan
    turned = play.flips_at is not None and at > plan.cue_s[play.flips_at]
    return {"over": "under", "under": "over"}[kind] if turned else kind


def _spans(time: Array, outside: NDArray[np.bool_]) -> list[tuple[float, float]]:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], outside, [False]]).astype(int)))
    pairs = zip(edges[::2], edges[1::2], strict=True)
    spans = [(float(time[start]), float(time[min(end, time.size - 1)])) for start, end in pairs]
    return [one for one in spans if one[1] - one[0] >= LONGEST_SPAN_S]


def _who_could_move(checked: Checked, at: float, kind: str) -> str:
    """Return who has no work at a moment and sits where moving would help."""
    plan = checked.plan
    busy = {
        plan.deal[one.id]
        for one in plan.play.actions
        if not one.background and plan.start_s[one.id] <= at <= plan.end_s[one.id]
    }
    idle = [track for track in checked.tracks if track.hand.id not in busy]
    out = {track.hand.id: _posture_out(track, at) for track in idle}
    fitting = [track.hand.name for track in idle if out[track.hand.id] == (kind == "under")]
    if not fitting:
        return "nobody is free to move"
    where = "could stay out or go out" if kind == "over" else "could come in"
    return f"{' or '.join(fitting)} {where}"


def _posture_out(track: Track, at: float) -> bool:
    spot = track.first
    for leg in track.legs:
        if leg.end_s <= at:
            spot = leg.goal
    return spot.posture in OUT_ON_THE_RAIL


def strip_as_json(strip: WeightStrip, every: int = 4) -> dict[str, object]:
    """Return the strip as plain values, thinned to every nth sample."""

    def thin(values: Array) -> list[float]:
        return [round(float(one), 3) for one in values[::every]]

    return {
        "time_s": thin(strip.time_s),
        "crew_moment_n_m": thin(strip.crew_moment_n_m),
        "steady_heel_deg": thin(strip.steady_deg),
        "heel_deg": thin(strip.heel_deg),
        "band_low_deg": thin(strip.low_deg),
        "band_high_deg": thin(strip.high_deg),
        "heel_source": strip.source,
        "warnings": list(strip.warnings),
    }
