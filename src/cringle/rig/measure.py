"""Tension measured on the dock: gauge, counted swings, recordings; symmetry and mast-in-the-middle checks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from cringle.errors import InputError
from cringle.physics.frame import chords
from cringle.physics.gauge import Gauge, tension_from_gauge
from cringle.physics.overtones import Search, find_peaks, fit_comb
from cringle.physics.vibration import (
    clamped_frequency_factor,
    string_frequency,
    tension_from_frequency,
)
from cringle.rig.base import BaseTune
from cringle.rig.model import Strand
from cringle.rig.recording import Recording, after_pluck
from cringle.units import millimetres_to_metres

METHODS = ("gauge", "swing", "motion", "wav", "turns", "entered")
"""How a tension can have been found."""

LEAST_N, SHARE_OF_BREAK = 60.0, 0.60
"""Tensions a frequency may mean: from hardly taut to most of the wire's break load. [N]"""

SYMMETRY_SHARE = 0.05
"""Larger than this share of the mean, port and starboard differ (a gauge repeats to 3 %, from memory)."""

STRAND_BENDING = 0.25
"""A strand's bending stiffness as a share of a solid rod's: its wires slip (from memory)."""

MIDDLE_MM = 5.0
"""A masthead further than this from the middle is off it (common practice, no source). [mm]"""


@dataclass(frozen=True)
class WirePart:
    """A piece of wire that can be measured.

    Parameters
    ----------
    name : str
        Its wire.
    strand : Strand
        Row of the model.
    length_m : float
        Free length of this part. [m]
    whole_m : float
        Length of the whole wire, past the spreader. [m]
    """

    name: str
    strand: Strand
    length_m: float
    whole_m: float


@dataclass(frozen=True)
class TensionReading:
    """One tension as measured.

    Parameters
    ----------
    wire : str
        Which wire.
    tension_n, low_n, high_n : float
        With its 90 % interval.
    method : str
        One of `METHODS`.
    frequency_hz, inharmonicity : float or None
        For vibration.
    notes : tuple of str
        What was corrected, what to know.
    """

    wire: str
    tension_n: float
    low_n: float
    high_n: float
    method: str
    frequency_hz: float | None = None
    inharmonicity: float | None = None
    notes: tuple[str, ...] = ()


def wire_part(base: BaseTune, name: str, *, length_m: float | None = None, upper: bool = False) -> WirePart:
    """Return a wire's part at the deck (or above the spreader) with its free length.

    Parameters
    ----------
    base : BaseTune
        The rig.
    name : str
        ``cap_port``, ``lower_starboard``, ``forestay`` ...
    length_m : float, optional
        Free length as measured; from the class file's points when left out. [m]
    upper : bool
        The part above the spreader.

    Raises
    ------
    InputError
        No such wire.
    """
    number = base.model.strand(name, lower=not upper)
    every = chords(base.model.frame, base.equilibrium.position)[0]
    found = float(every[number])
    whole = sum(float(every[n]) for n, one in enumerate(base.model.strands) if one.name == name)
    length = found if length_m is None else length_m
    if length <= 0.2:
        raise InputError(
            f"a free length of {length:g} m cannot be", next_step="measure from end fitting to end fitting"
        )
    return WirePart(name, base.model.strands[number], length, max(whole, length))


def _refuse_covered(part: WirePart) -> None:
    if part.strand.wire.covered:
        raise InputError(
            f"{part.name} is covered (furler, foil or sleeve): its swing is not the wire's",
            next_step="use a gauge on the bare wire, or count screw turns",
        )


def by_gauge(part: WirePart, *, span_mm: float, deflection_mm: float, force_n: float) -> TensionReading:
    """Return tension from a three-point gauge of any make.

    Parameters
    ----------
    part : WirePart
        The wire.
    span_mm, deflection_mm : float
        Between the outer supports; how far the middle pushes the wire.
    force_n : float
        Middle force.

    Raises
    ------
    InputError
        Impossible geometry, or a force the gauge itself already causes.
    """
    wire = part.strand.wire
    tool = Gauge(millimetres_to_metres(span_mm), millimetres_to_metres(deflection_mm))
    reading = tension_from_gauge(
        tool,
        force_n,
        stiffness=wire.EA,
        length=part.whole_m,
        diameter=millimetres_to_metres(wire.diameter_mm),
    )
    bend = STRAND_BENDING * reading.bending * (reading.tension + reading.added) / force_n
    _check_tension(part, reading.tension)
    notes = (
        f"the gauge adds {reading.added:.0f} N while it is on; taken off",
        f"bending of the strand may have added {bend:.0f} N",
    )
    low = max(reading.tension * 0.97 - bend, 0.0)
    return TensionReading(part.name, reading.tension, low, reading.tension * 1.03, "gauge", notes=notes)


def by_swing(part: WirePart, *, cycles: float, seconds: float) -> TensionReading:
    """Return tension from counted swings of the whole wire.

    Parameters
    ----------
    part : WirePart
        A bare wire.
    cycles, seconds : float
        Counted cycles in a time. [s]

    Raises
    ------
    InputError
        A covered wire, nothing counted, or a frequency that fits no tension of this wire.
    """
    _refuse_covered(part)
    if cycles <= 0.0 or seconds <= 0.0:
        raise InputError(
            "count at least one swing in a time above zero", next_step="count 30 swings against a watch"
        )
    frequency = cycles / seconds
    spread = float(np.hypot(0.5 / cycles, 0.3 / seconds))
    return _from_frequency(part, frequency, spread, "swing")


def _from_frequency(
    part: WirePart, frequency: float, spread: float, method: str, inharmonicity: float | None = None
) -> TensionReading:
    """Return a tension with the interval of the frequency's own relative spread and of mass and length."""
    wire = part.strand.wire
    plain = float(tension_from_frequency(frequency, part.length_m, wire.mass_per_m))
    _check_tension(part, plain, frequency)
    rigidity = bending_rigidity(part)
    raised = clamped_frequency_factor(rigidity, plain, part.length_m)
    tension = plain / raised
    relative = 2.0 * 1.645 * float(np.hypot(spread, 0.01))
    notes = (f"ends taken as half clamped: {100 * (raised - 1):.1f} % off; mass and length to 1 %",)
    return TensionReading(
        part.name,
        tension,
        tension * (1.0 - relative),
        tension * (1.0 + relative),
        method,
        frequency,
        inharmonicity,
        notes,
    )


def bending_rigidity(part: WirePart) -> float:
    """Return a strand's E I, a quarter of a solid rod's because its wires slip (from memory). [N m2]."""
    wire = part.strand.wire
    diameter = millimetres_to_metres(wire.diameter_mm)
    return STRAND_BENDING * wire.EA * diameter**2 / 16.0


def _check_tension(part: WirePart, tension: float, frequency: float | None = None) -> None:
    most = SHARE_OF_BREAK * part.strand.wire.break_load
    if LEAST_N <= tension <= most:
        return
    heard = "that reading" if frequency is None else f"{frequency:.2f} Hz"
    low, high = frequency_range(part)
    raise InputError(
        f"{heard} would be {tension:.0f} N in {part.name}; this wire can carry {LEAST_N:.0f} to {most:.0f} N",
        next_step=f"check which wire it was, and its length of {part.length_m:.2f} m; "
        f"it swings between {low:.1f} and {high:.1f} Hz",
    )


def frequency_range(part: WirePart) -> tuple[float, float]:
    """Return the fundamentals that are possible for a wire, hardly taut to most of its break load. [Hz]."""
    wire = part.strand.wire
    ends = string_frequency(
        np.array([LEAST_N, SHARE_OF_BREAK * wire.break_load]), part.length_m, wire.mass_per_m
    )
    return float(ends[0]), float(ends[1])


def by_recording(part: WirePart, recording: Recording, *, expected_n: float | None = None) -> TensionReading:
    """Return tension from a recording of a plucked wire.

    Parameters
    ----------
    part : WirePart
        A bare wire.
    recording : Recording
        Sound, or a phone's motion taped to the wire.
    expected_n : float, optional
        What the model expects; narrows the search to half to double of it.

    Raises
    ------
    InputError
        A covered wire, nothing that stands out, or overtones that fit no tension of this wire.

    Notes
    -----
    A phone hears little below about 90 Hz, so the fundamental is found from the spacing of the
    overtones, their stretching by the wire's stiffness fitted along.
    """
    _refuse_covered(part)
    low, high = frequency_range(part)
    if expected_n is not None:
        middle = float(string_frequency(expected_n, part.length_m, part.strand.wire.mass_per_m))
        low, high = max(low, middle / 1.6), min(high, middle * 1.6)
    ringing = after_pluck(recording)
    if recording.kind == "sound":
        peaks = find_peaks(ringing.signal, ringing.rate, low=max(60.0, 2.0 * low), high=900.0)
        comb = fit_comb(peaks, Search(low, high))
    else:
        floor = max(0.8 * low, 2.0)
        peaks = find_peaks(ringing.signal, ringing.rate, low=floor, high=0.5 * ringing.rate)
        comb = fit_comb(peaks, Search(low, high, heard_from=floor))
    spread = comb.spread / max(comb.numbers) / comb.fundamental + 2e-3
    found = _from_frequency(
        part, comb.fundamental, spread, "wav" if recording.kind == "sound" else "motion", comb.inharmonicity
    )
    heard = f"{len(comb.numbers)} overtones, numbers {comb.numbers[0]} to {comb.numbers[-1]}"
    share = f"{100 * comb.explained:.0f} % of what sounds lies on them"
    return TensionReading(
        found.wire,
        found.tension_n,
        found.low_n,
        found.high_n,
        found.method,
        found.frequency_hz,
        found.inharmonicity,
        (*found.notes, f"{heard}; {share}"),
    )


@dataclass(frozen=True)
class PairCheck:
    """Port against starboard.

    Parameters
    ----------
    wire : str
        Wire id of the pair.
    port_n, starboard_n : float
        Tensions.
    differ : bool
        Whether by more than 5 % of the mean.
    words : str
        What to do.
    """

    wire: str
    port_n: float
    starboard_n: float
    differ: bool
    words: str


def symmetry(tensions_n: Mapping[str, float]) -> list[PairCheck]:
    """Return port against starboard for every pair that was measured on both sides."""
    found = []
    for name, port in tensions_n.items():
        other = f"{name.removesuffix('_port')}_starboard"
        if not name.endswith("_port") or other not in tensions_n:
            continue
        starboard = tensions_n[other]
        mean = 0.5 * (port + starboard)
        differ = mean > 0.0 and abs(port - starboard) > SYMMETRY_SHARE * mean
        tighter = "port" if port > starboard else "starboard"
        words = (
            f"{tighter} is {abs(port - starboard):.0f} N tighter: "
            "check that the mast stands in the middle, then share the turns"
            if differ
            else "port and starboard agree"
        )
        found.append(PairCheck(name.removesuffix("_port"), port, starboard, differ, words))
    return found


@dataclass(frozen=True)
class MiddleCheck:
    """Whether the mast stands in the middle.

    Parameters
    ----------
    offset_mm : float
        Masthead to port of the middle; negative to starboard.
    is_off : bool
        Whether by more than 5 mm.
    words : str
        What to do.
    """

    offset_mm: float
    is_off: bool
    words: str


def middle_by_halyard(base: BaseTune, *, port_mm: float, starboard_mm: float) -> MiddleCheck:
    """Return the masthead's place from a halyard or tape led to both chainplates.

    Parameters
    ----------
    base : BaseTune
        Geometry.
    port_mm, starboard_mm : float
        Masthead to the port and to the starboard chainplate.

    Raises
    ------
    InputError
        Lengths that differ too much to be one masthead.

    Notes
    -----
    Two right triangles over the same half width b: y = (Ls^2 - Lp^2) / (4 b).
    """
    shrouds = [one.wire for one in base.model.strands if one.wire.pair]
    if not shrouds:
        raise InputError("class.toml has no pair of shrouds", next_step="measure to any two symmetric points")
    half = abs(base.model.rig.points[shrouds[0].start][1])
    port, starboard = millimetres_to_metres(port_mm), millimetres_to_metres(starboard_mm)
    if port <= 0.0 or starboard <= 0.0 or abs(port - starboard) > 0.5 * half:
        raise InputError(
            f"{port_mm:.0f} mm and {starboard_mm:.0f} mm cannot be one masthead",
            next_step="lead the same halyard, same tension, to the same point of both chainplates",
        )
    offset = 1000.0 * (starboard**2 - port**2) / (4.0 * half)
    is_off = abs(offset) > MIDDLE_MM
    side, tight = ("port", "starboard") if offset > 0.0 else ("starboard", "port")
    words = (
        f"the masthead leans {abs(offset):.0f} mm to {side}: "
        f"ease the {side} shrouds and tighten the {tight} ones alike"
        if is_off
        else "the mast stands in the middle"
    )
    return MiddleCheck(offset, is_off, words)
