"""The scale of a control: where each mark lies, and whether the scale is any good."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from cringle.boat.boat_file import Control

USEFUL_STEP_MM = 13.0
"""A useful step is about half an inch of line and often less. Common practice, no source."""

MID_SCALE_SHARE = 0.25
"""The middle of the numbers in use should lie at least this share of the scale away from both ends.
A choice of this program: near an end there is no room to explore."""

Verdict = Literal["good", "look", "unknown"]


@dataclass(frozen=True)
class ScaleCheck:
    """One check of a scale.

    Parameters
    ----------
    control : str
        Id of the control.
    what : str
        ``step``, ``mid-scale``, ``pair`` or ``stops``.
    verdict : str
        ``good``, ``look`` or ``unknown``.
    words : str
        What was found and what to do, in one sentence.
    """

    control: str
    what: Literal["step", "mid-scale", "pair", "stops"]
    verdict: Verdict
    words: str


def step_mm(control: Control) -> float:
    """Return the smallest change worth making, as a length of line [mm]."""
    return control.step * control.mm_per_mark


def check_step(control: Control) -> ScaleCheck:
    """Check that the step is fine enough, as a length of line."""
    length_mm = step_mm(control)
    if length_mm <= USEFUL_STEP_MM:
        return ScaleCheck(control.id, "step", "good", f"one step is {length_mm:g} mm of line")
    words = (
        f"one step is {length_mm:g} mm of line; about {USEFUL_STEP_MM:g} mm is a useful step: "
        "mark it finer where the boat feels it"
    )
    return ScaleCheck(control.id, "step", "look", words)


def check_mid_scale(control: Control, used: Sequence[float]) -> ScaleCheck:
    """Check that the numbers in use lie around the middle of the scale.

    Parameters
    ----------
    control : Control
        The control.
    used : sequence of float
        Every number of the table for this control [mark].
    """
    if not used:
        return ScaleCheck(control.id, "mid-scale", "unknown", "no number of the table uses it yet")
    low, high = min(used), max(used)
    share = ((low + high) / 2.0 - control.low) / (control.high - control.low)
    if low - control.step < control.low or high + control.step > control.high:
        end = "low" if low - control.step < control.low else "high"
        return ScaleCheck(
            control.id,
            "mid-scale",
            "look",
            f"the numbers in use ({low:g} to {high:g}) reach the {end} end of the scale: "
            "no room for one more step; move the datum on a marking day",
        )
    if MID_SCALE_SHARE <= share <= 1.0 - MID_SCALE_SHARE:
        return ScaleCheck(control.id, "mid-scale", "good", f"in use {low:g} to {high:g}, about mid-scale")
    words = f"in use {low:g} to {high:g}, all near one end: move the datum on a marking day"
    return ScaleCheck(control.id, "mid-scale", "look", words)


def check_stops(control: Control) -> ScaleCheck:
    """Check that no mark lies beyond a physical stop."""
    beyond = marks_beyond_stops(control)
    if control.stop_low_mm is None or control.stop_high_mm is None:
        return ScaleCheck(
            control.id, "stops", "unknown", "the physical stops were never found; do a marking day"
        )
    if not beyond:
        return ScaleCheck(control.id, "stops", "good", "no mark lies beyond a stop")
    named = ", ".join(f"{one:g}" for one in beyond)
    return ScaleCheck(control.id, "stops", "look", f"end mark {named} lies beyond the physical stop")


def marks_beyond_stops(control: Control) -> list[float]:
    """Return the end marks that lie beyond a known physical stop."""
    ends = (control.low, control.high)
    low = control.stop_low_mm if control.stop_low_mm is not None else float("-inf")
    high = control.stop_high_mm if control.stop_high_mm is not None else float("inf")
    return [mark for mark in ends if not low <= control.to_mm(mark) <= high]


def check_pair(control: Control, matches: Sequence[tuple[float, float]]) -> ScaleCheck:
    """Check that port and starboard agree to half a mark.

    Parameters
    ----------
    control : Control
        One of the two lines.
    matches : sequence of (float, float)
        Readings at the same shape of the sail: one side's mark, the other's. Without any nothing is known:
        equal scales say nothing of leads that differ from side to side.
    """
    if not matches:
        words = "never compared at the same sail shape: set both sides alike and read both on a marking day"
        return ScaleCheck(control.id, "pair", "unknown", words)
    worst = max(abs(ours - theirs) for ours, theirs in matches)
    if worst <= 0.5:
        return ScaleCheck(control.id, "pair", "good", f"port and starboard agree within {worst:.2g} mark")
    words = f"port and starboard differ by {worst:.2g} marks at the same sail shape; match them closer"
    return ScaleCheck(control.id, "pair", "look", words)
