"""The race inside a log: wind, legs, what manoeuvres cost, heel, the time ledger, and what to do about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.track.circle import circular_mean_deg, circular_spread_deg
from cringle.track.debrief.advice import Advice, Sailed, advise
from cringle.track.debrief.picture import LegPicture, leg_picture
from cringle.track.debrief.race_notes import race_notes
from cringle.track.frozen_polar import FrozenPolar
from cringle.track.heel.discipline import HeelDiscipline, heel_discipline
from cringle.track.heel.felt import Felt, FeltBias, felt_biases
from cringle.track.heel.rows import CALLED_S, heel_rows
from cringle.track.heel.spotted import HeelSpotted, Spotted, spotted_heel
from cringle.track.ledger.baseline import BASELINES, own_best_tenth
from cringle.track.ledger.interval import (
    HEEL_SDS_DEG,
    TARGET_SHARES,
    WIND_SHARES,
    Doubt,
    Ledger,
    draws_of,
    ledger_of,
)
from cringle.track.ledger.ledger import RUN, SAILED, UPWIND, Baseline, LedgerRows, Split, split
from cringle.track.ledger.roundings import clear_of, handling_rows
from cringle.track.ledger.rows import LegSpan, from_the_turn, ledger_rows, overstood, with_overstood
from cringle.track.race.correct import Missed, followed
from cringle.track.race.correction import Correction
from cringle.track.race.legs import find_legs
from cringle.track.race.marks import Course
from cringle.track.race.structure import REACH, Leg, Structure
from cringle.track.reading.complete import Complete
from cringle.track.sailing.sailing import Sailing, sailing_of
from cringle.track.turns.loss import Loss, manoeuvre_losses
from cringle.track.turns.manoeuvre import KINDS, Judged, KindSummary, PlayPlan, judged, summarised
from cringle.track.turns.tacks import Manoeuvre
from cringle.track.wind.series import BY_HAND, FILE, INFERRED, INSTRUMENTS, WindSeries
from cringle.track.wind.stream import Stream
from cringle.track.wind.strength import Strength

Array = NDArray[np.float64]

STRENGTH_NAMES: Final = {INSTRUMENTS: "instruments", BY_HAND: "entered", FILE: "file", INFERRED: "inferred"}
LEG_NAMES: Final = {"up": "beat", "run": "run", "reach": "reach"}


@dataclass(frozen=True)
class RaceOptions:
    """What a person or a book adds for the race inside a log.

    Parameters
    ----------
    polar : FrozenPolar
        Targets and speeds of the boat.
    boat_known : bool
        Whether they are this boat's own; else they are the demo class's, and every page says so.
    fitted : bool
        Whether factors fitted to this boat's own logs are in them.
    baseline : str
        ``model``, ``fitted``, ``own`` or ``boat``.
    other : Baseline or None
        With ``boat``: what the named boat reached.
    strength, stream, course
        Wind speed by hand or from a file; the water's own motion; marks.
    targets_deg : mapping
        ``upwind`` or ``downwind`` to the heel to keep, going before the polar's.
    felt : tuple of Felt
        What people said the heel was.
    plans : tuple of PlayPlan
        The plays for tacks and gybes.
    corrections : tuple of Correction
        What a person corrected in what is found, in the order it was said.
    spotted : tuple of Spotted
        Heel as a spotter read it now and then.
    """

    polar: FrozenPolar
    boat_known: bool = True
    fitted: bool = False
    baseline: str = "model"
    other: Baseline | None = None
    strength: Strength | None = None
    stream: Stream | None = None
    course: Course | None = None
    targets_deg: Mapping[str, float] = field(default_factory=dict)
    felt: tuple[Felt, ...] = ()
    plans: tuple[PlayPlan, ...] = ()
    corrections: tuple[Correction, ...] = ()
    spotted: tuple[Spotted, ...] = ()

    def __post_init__(self) -> None:
        if self.baseline not in BASELINES:
            raise InputError(
                f"no baseline {self.baseline!r}", next_step=f"use one of: {', '.join(BASELINES)}"
            )


@dataclass(frozen=True)
class Side:
    """Sailing with the wind from one side: seconds, and seconds lost against the baseline."""

    sailed_s: float
    lost_s: float


@dataclass(frozen=True)
class RaceLeg:
    """One beat, run or reach: its name, what was found, its ledger (None on a reach), and both sides."""

    name: str
    leg: Leg
    ledger: Ledger | None
    starboard: Side | None
    port: Side | None


@dataclass(frozen=True)
class Race:
    """What a log tells about the race in it.

    Parameters
    ----------
    wind : WindSeries
        The true wind.
    structure : Structure
        Legs, start, roundings, finish.
    sailing : Sailing
        One row a second.
    legs : tuple of RaceLeg
        In order of time.
    manoeuvres : tuple of Judged
        Tacks and gybes, ranked.
    kinds : tuple of KindSummary
        Best, middle and worst of each kind.
    heel : HeelDiscipline or None
        Heel against its target.
    felt : tuple of FeltBias
        What people said, against what was measured.
    spotted : HeelSpotted or None
        Heel from few readings.
    ledger : Ledger or None
        Where the time went; None without legs.
    advice : tuple of Advice
        Keep, change, try.
    notes : tuple of str
        What the data cannot tell, in sentences.
    pictures : tuple of LegPicture
        The track of each leg, wind from the top.
    rows : LedgerRows
        What the ledger was drawn up from.
    missed : tuple of Missed
        Corrections of the race that fit nothing in it.
    """

    wind: WindSeries
    structure: Structure
    sailing: Sailing
    legs: tuple[RaceLeg, ...]
    manoeuvres: tuple[Judged, ...]
    kinds: tuple[KindSummary, ...]
    heel: HeelDiscipline | None
    felt: tuple[FeltBias, ...]
    spotted: HeelSpotted | None
    ledger: Ledger | None
    advice: tuple[Advice, ...]
    notes: tuple[str, ...]
    pictures: tuple[LegPicture, ...]
    rows: LedgerRows
    missed: tuple[Missed, ...] = ()

    @property
    def wind_from_deg(self) -> float:
        """Mean direction of the true wind while the log holds the boat's course, in [0, 360)."""
        return float(np.mod(circular_mean_deg(self._winds), 360.0))

    @property
    def wind_spread_deg(self) -> float:
        """Its circular standard deviation."""
        return circular_spread_deg(self._winds)

    @property
    def _winds(self) -> Array:
        return self.sailing.wind_from_deg[np.isfinite(self.sailing.angle_deg)]


@dataclass(frozen=True)
class _Held:
    """The ledger's rows held against a baseline."""

    rows: LedgerRows
    baseline: Baseline
    split: Split
    draws: tuple[Split, ...]

    def ledger(self, leg: int | None = None) -> Ledger:
        return ledger_of(self.split, self.draws, rows=self.rows, baseline=self.baseline.name, leg=leg)


def race_of(log: Complete, wind: WindSeries, found: Sequence[Manoeuvre], options: RaceOptions) -> Race:
    """Return the race inside a log.

    Parameters
    ----------
    log : Complete
        The log on the even clock, with the wind in it.
    wind : WindSeries
        That wind, and how sure it is.
    found : sequence of Manoeuvre
        Tacks and gybes.
    options : RaceOptions
        Polar, baseline, and what else is known.

    Raises
    ------
    InputError
        The baseline asked for cannot be had from this log.
    """
    sailing = sailing_of(log)
    structure, missed = followed(find_legs(log, wind, options.course), options.corrections, log.series)
    spans = from_the_turn(sailing, [LegSpan(one.kind, one.first, one.end) for one in structure.legs])
    handled = handling_rows(sailing, spans, [sailing.row_of(one.at) for one in found], options.polar)
    turns, clear = [(one.at, one.kind) for one in found], clear_of(spans, handled)
    losses = manoeuvre_losses(sailing, turns, polar=options.polar, legs=clear)
    rows = ledger_rows(sailing, spans, losses, roundings=handled, stopped=_stopped(structure, sailing.rows))
    rows = _without_reaches(rows, structure)
    raced = [one for one in losses if rows.leg[one.first_row : one.end_row].max(initial=-1) >= 0]
    if not raced:
        rows = replace(rows, leg=np.full_like(rows.leg, -1))
    held = _held(rows, sailing, wind, options, (losses, spans), log)
    kept = heel_rows(rows, options.polar, options.targets_deg)
    heel = heel_discipline(kept)
    spotted = spotted_heel(options.spotted, kept, start=sailing.start, steady=rows.charge == SAILED)
    kinds = tuple(summarised(raced, kind, options.plans) for kind in KINDS)
    ledger = held.ledger() if (rows.leg >= 0).any() else None
    legs = _legs(structure, held, sailing)
    return Race(
        wind=wind,
        structure=structure,
        sailing=sailing,
        legs=legs,
        manoeuvres=judged(_off_the_legs(losses, raced), options.plans),
        kinds=kinds,
        heel=heel,
        spotted=spotted,
        felt=felt_biases(options.felt, sailing),
        ledger=ledger,
        advice=() if ledger is None else advise(_sailed(ledger, legs, heel, kinds, _errors(rows, options))),
        notes=race_notes(
            wind, ledger, heel, borrowed=_borrowed(options), spotted=spotted, structure=structure
        ),
        pictures=_pictures(log, structure, losses),
        rows=rows,
        missed=missed,
    )


def _off_the_legs(losses: Sequence[Loss], raced: Sequence[Loss]) -> tuple[Loss, ...]:
    """Return the losses, no metres off the legs: reaching about, nothing was to be won to windward."""
    return tuple(one if one in raced else replace(one, metres_lost=None) for one in losses)


def _borrowed(options: RaceOptions) -> str | None:
    return None if options.boat_known else options.polar.name


def _pictures(log: Complete, structure: Structure, losses: Sequence[Loss]) -> tuple[LegPicture, ...]:
    """Return the track of each leg with what its manoeuvres cost beside them."""
    marks = [(round((one.at - log.series.start).total_seconds()), _metres(one)) for one in losses]
    return tuple(
        leg_picture(
            log.series,
            (one.first, one.end),
            circular_mean_deg(log.series.twd[one.first : one.end]),
            marks,
        )
        for one in structure.legs
    )


def _metres(one: Loss) -> str:
    return "" if one.metres_lost is None else f"{one.metres_lost:z.0f} m"


def _stopped(structure: Structure, rows: int) -> NDArray[np.bool_]:
    mask = np.zeros(rows, dtype=bool)
    for one in structure.stops:
        mask[one.first : one.end] = True
    return mask


def _without_reaches(rows: LedgerRows, structure: Structure) -> LedgerRows:
    """Return the rows with reaches off the ledger: a few seconds to the offset mark have no target angle."""
    reaches = [number for number, one in enumerate(structure.legs) if one.kind == REACH]
    return replace(rows, leg=np.where(np.isin(rows.leg, reaches), -1, rows.leg))


def _held(
    rows: LedgerRows,
    sailing: Sailing,
    wind: WindSeries,
    options: RaceOptions,
    sailed: tuple[tuple[Loss, ...], list[LegSpan]],
    log: Complete,
) -> _Held:
    baseline = _baseline(rows, options)
    target = np.where(
        rows.kind == UPWIND,
        options.polar.target(sailing.wind_kn, upwind=True).angle_deg,
        options.polar.target(sailing.wind_kn, upwind=False).angle_deg,
    )
    losses, spans = sailed
    over = overstood(sailing, spans, losses, target, (log.series.lat, log.series.lon))
    known = STRENGTH_NAMES.get(wind.strength_source or "", "inferred")
    doubt = Doubt(
        wind_from_deg=_mean(wind.twd_sd_deg, 2.0),
        wind_share=WIND_SHARES[known],
        heel_deg=HEEL_SDS_DEG[known],
        target_share=TARGET_SHARES.get(baseline.name, 0.02),
    )
    draws = draws_of(rows, baseline, doubt)
    return _Held(
        rows,
        baseline,
        with_overstood(split(rows, baseline), over),
        tuple(with_overstood(one, over) for one in draws),
    )


def _baseline(rows: LedgerRows, options: RaceOptions) -> Baseline:
    if options.baseline == "own":
        return own_best_tenth(rows, options.polar)
    if options.baseline == "boat":
        if options.other is None:
            raise InputError("no boat to hold against", next_step="name its log: --against FILE")
        return options.other
    if options.baseline == "fitted" and not options.fitted:
        raise InputError(
            "no fitted targets in the book yet", next_step="run: cringle speed fit, or use --baseline model"
        )
    return Baseline(options.polar, name=f"{options.baseline} target")


def _mean(values: Array, otherwise: float) -> float:
    known = values[np.isfinite(values)]
    return float(known.mean()) if known.size else otherwise


def _legs(structure: Structure, held: _Held, sailing: Sailing) -> tuple[RaceLeg, ...]:
    counts: dict[str, int] = {}
    found = []
    for number, leg in enumerate(structure.legs):
        counts[leg.kind] = counts.get(leg.kind, 0) + 1
        name = f"{LEG_NAMES[leg.kind]} {counts[leg.kind]}"
        if leg.kind == REACH or not (held.rows.leg == number).any():
            found.append(RaceLeg(name, leg, None, None, None))
            continue
        lost = held.split.seconds.sum(axis=0)
        inside = held.rows.leg == number
        sides = [
            Side(float((inside & side).sum()), float(lost[inside & side].sum()))
            for side in (sailing.angle_deg >= 0.0, sailing.angle_deg < 0.0)
        ]
        found.append(RaceLeg(name, leg, held.ledger(number), *sides))
    return tuple(found)


def _errors(rows: LedgerRows, options: RaceOptions) -> tuple[float | None, float | None]:
    """Return how far the angle is off the target on average, upwind and on the run [deg]."""
    steady = (rows.charge == SAILED) & (rows.leg >= 0)
    found: list[float | None] = []
    for kind in (UPWIND, RUN):
        target = options.polar.target(rows.wind_kn, upwind=kind == UPWIND).angle_deg
        part = (np.abs(rows.angle_deg) - target)[steady & (rows.kind == kind)]
        part = part[np.isfinite(part)]
        found.append(float(part.mean()) if part.size >= CALLED_S else None)
    return found[0], found[1]


def _sailed(
    ledger: Ledger,
    legs: Sequence[RaceLeg],
    heel: HeelDiscipline | None,
    kinds: Sequence[KindSummary],
    errors: tuple[float | None, float | None],
) -> Sailed:
    named = [(one.name, one.ledger) for one in legs if one.ledger is not None]
    return Sailed(ledger, named, heel, kinds, *errors)
