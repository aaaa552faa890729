"""Measuring on the dock: a tension by any method, kept, checked port against starboard, fitted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from cringle.book.entries import Entry, NewEntry
from cringle.book.store import Book
from cringle.errors import InputError
from cringle.rig.base import BaseTune
from cringle.rig.fit import Observation, RigFit, fit_factors
from cringle.rig.measure import (
    MiddleCheck,
    PairCheck,
    TensionReading,
    WirePart,
    by_gauge,
    by_recording,
    by_swing,
    middle_by_halyard,
    symmetry,
    wire_part,
)
from cringle.rig.recording import read_motion, read_wav
from cringle.rig.turns import Setting, solve_setting
from cringle.workflows.rig.book import SUBJECT, RigBook, read_rig
from cringle.workflows.rig.shape import SPREAD_MM


@dataclass(frozen=True)
class MeasureRequest:
    """One measurement; exactly one method is given.

    Parameters
    ----------
    wire : str
        ``cap_port``, ``forestay`` ...
    gauge : tuple or None
        Span [mm], deflection [mm], force [N].
    swing : tuple or None
        Cycles, seconds.
    wav, motion : Path or None
        Recordings.
    tension_n : float or None
        Entered as read elsewhere.
    length_m : float or None
        Free length as measured.
    upper : bool
        The part above the spreader.
    wide : bool
        Do not narrow the search to what the model expects.
    """

    wire: str
    gauge: tuple[float, float, float] | None = None
    swing: tuple[float, float] | None = None
    wav: Path | None = None
    motion: Path | None = None
    tension_n: float | None = None
    length_m: float | None = None
    upper: bool = False
    wide: bool = False


@dataclass(frozen=True)
class MeasureAnswer:
    """A measurement beside the model.

    Parameters
    ----------
    reading : TensionReading
        As measured.
    expected_n : float
        By the model at the recorded turns, on the dock.
    difference_pct : float
        Measured against expected.
    turns : dict
        Screw to recorded turns.
    kept : bool
        Whether it was written into the book.
    warnings : tuple of str
        Unlocked screws.
    """

    reading: TensionReading
    expected_n: float
    difference_pct: float
    turns: dict[str, float]
    kept: bool
    warnings: tuple[str, ...]


def rig_measure(
    folder: Path,
    request: MeasureRequest,
    *,
    keep: bool = False,
    wind_kn: float | None = None,
    who: str = "coach",
) -> MeasureAnswer:
    """Return a tension by one method, beside what the model expects; keep it when asked.

    Raises
    ------
    InputError
        No or several methods, a covered wire, a recording or reading that fits no tension of this wire.
    LogError
        A recording that cannot be used: silent, clipped, too short.
    """
    known = read_rig(folder)
    base = known.base()
    part = wire_part(base, request.wire, length_m=request.length_m, upper=request.upper)
    expected = _expected(base, known, request)
    reading = _read(part, request, None if request.wide else expected)
    if keep:
        _keep(folder, reading, known, wind_kn=wind_kn, who=who)
    difference = 100.0 * (reading.tension_n / expected - 1.0) if expected > 0.0 else float("inf")
    return MeasureAnswer(reading, expected, difference, dict(known.turns), keep, known.warnings())


def _expected(base: BaseTune, known: RigBook, request: MeasureRequest) -> float:
    state = solve_setting(base, Setting(known.turns)).state
    if request.upper and request.wire in state.upper_tensions_n:
        return state.upper_tensions_n[request.wire]
    return state.tensions_n[request.wire]


def _read(part: WirePart, request: MeasureRequest, expected: float | None) -> TensionReading:
    given = [
        name
        for name in ("gauge", "swing", "wav", "motion", "tension_n")
        if getattr(request, name) is not None
    ]
    if len(given) != 1:
        raise InputError(
            f"one method is needed, found {len(given)}",
            next_step="give a gauge reading, counted swings, --wav, --motion or --tension",
        )
    if request.gauge is not None:
        span, push, force = request.gauge
        return by_gauge(part, span_mm=span, deflection_mm=push, force_n=force)
    if request.swing is not None:
        return by_swing(part, cycles=request.swing[0], seconds=request.swing[1])
    if request.wav is not None:
        return by_recording(part, read_wav(request.wav), expected_n=expected)
    if request.motion is not None:
        return by_recording(part, read_motion(request.motion), expected_n=expected)
    return _entered(part, float(request.tension_n or 0.0))


def _entered(part: WirePart, tension: float) -> TensionReading:
    most = part.strand.wire.break_load
    if not 0.0 <= tension < most:
        raise InputError(
            f"{tension:g} N in {part.name}, whose break load is {most:.0f} N",
            next_step="give newtons (1 kg is 9.8 N)",
        )
    return TensionReading(part.name, tension, 0.95 * tension, 1.05 * tension, "entered")


def _keep(folder: Path, reading: TensionReading, known: RigBook, *, wind_kn: float | None, who: str) -> None:
    payload: dict[str, Any] = {
        "tension_n": reading.tension_n,
        "tension_n_low": reading.low_n,
        "tension_n_high": reading.high_n,
        "method": reading.method,
        "frequency_hz": reading.frequency_hz,
        "wind_kn": wind_kn,
        "turns": dict(known.turns),
        "notes": list(reading.notes),
    }
    with Book.open(folder, create=True, who=who) as book:
        book.write(
            [NewEntry("rig_measurement", reading.wire, payload)], why=f"{reading.wire} by {reading.method}"
        )


@dataclass(frozen=True)
class CheckAnswer:
    """Port against starboard, and the mast's place."""

    pairs: tuple[PairCheck, ...]
    middle: MiddleCheck | None
    measured: Mapping[str, float] = field(default_factory=dict)


def rig_check(folder: Path, *, middle_mm: tuple[float, float] | None = None) -> CheckAnswer:
    """Return the symmetry of the newest measurements, and whether the mast stands in the middle.

    Parameters
    ----------
    folder : Path
        The book.
    middle_mm : tuple, optional
        Masthead to port and to starboard chainplate, same halyard.
    """
    known = read_rig(folder)
    newest = {one.key.subject: float(one.payload["tension_n"]) for one in _measurements(folder)}
    middle = None
    if middle_mm is not None:
        middle = middle_by_halyard(known.base(), port_mm=middle_mm[0], starboard_mm=middle_mm[1])
    return CheckAnswer(tuple(symmetry(newest)), middle, newest)


def _measurements(folder: Path, field_name: str = "tension_n") -> list[Entry]:
    with Book.open(folder, create=True) as book:
        return [one for one in book.history("rig_measurement") if field_name in one.payload]


def rig_fit(folder: Path, *, keep: bool = False, who: str = "coach") -> RigFit:
    """Return the model's stiffness factors fitted to all measurements in the book; keep them when asked.

    Raises
    ------
    InputError
        There are no measurements away from the base.
    """
    known = read_rig(folder)
    tensions = [_observation(one) for one in _measurements(folder) if any(one.payload["turns"].values())]
    observations = [*tensions, *(_shape(known, one) for one in _measurements(folder, "value_mm"))]
    files = known.files
    fitted = fit_factors(files.class_file, files.boat_file, observations, target=known.target)
    if keep:
        _keep_fit(folder, fitted, who)
    return fitted


def _observation(entry: Entry) -> Observation:
    kept = entry.payload
    spread = max((kept["tension_n_high"] - kept["tension_n_low"]) / 3.29, 0.02 * kept["tension_n"], 10.0)
    turns = {name: float(value) for name, value in kept["turns"].items()}
    return Observation(f"{entry.key.subject}_n", float(kept["tension_n"]), spread, Setting(turns))


def _shape(known: RigBook, entry: Entry) -> Observation:
    kept = entry.payload
    turns = {name: float(value) for name, value in kept["turns"].items()}
    setting = known.setting(turns, float(kept["wind_kn"]), float(kept["backstay_pull_mm"]))
    return Observation(entry.key.subject, float(kept["value_mm"]), SPREAD_MM[entry.key.subject], setting)


def _keep_fit(folder: Path, fitted: RigFit, who: str) -> None:
    factors = fitted.factors
    payload = {
        "wire": factors.wire,
        "mast": factors.mast,
        "sag": factors.sag,
        "half_width": fitted.half_width,
        "n": fitted.count,
    }
    with Book.open(folder, create=True, who=who) as book:
        stands = book.one("rig_fit", SUBJECT)
        entry = NewEntry("rig_fit", SUBJECT, payload, base_id=stands.id if stands else None)
        book.write([entry], why=f"stiffness factors from {fitted.count} measurements")
