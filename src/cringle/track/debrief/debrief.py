"""The first debrief of a log: what happened, in findings that screens, pages and JSON all take from here."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Final

import numpy as np
import polars as pl

from cringle.track.debrief.correct import corrected_found, missed_sentences, missed_without_race
from cringle.track.debrief.picture import TrackPicture, track_picture
from cringle.track.debrief.race import Race, RaceOptions, race_of
from cringle.track.debrief.summary import (
    SpeedSummary,
    Typical,
    WindSummary,
    speed_summary,
    typical,
    wind_summary,
)
from cringle.track.debrief.unknown import reader_sentences, stayed_within_m, what_is_unknown
from cringle.track.distance import Travelled, travelled
from cringle.track.heel.discipline import BAND_DEG
from cringle.track.heel.spotted import Spotted, sparse_heel
from cringle.track.race.correct import Missed
from cringle.track.race.correction import Correction
from cringle.track.reading.complete import Complete, Origins, complete
from cringle.track.reading.read import TrackLog
from cringle.track.sailing.heel import HeelBand, HeelSummary, heel_summary
from cringle.track.series import series_of
from cringle.track.turns.tacks import Found, Manoeuvre, find_manoeuvres
from cringle.track.turns.turns import Turn, find_turns
from cringle.track.wind.estimate import estimate_wind
from cringle.track.wind.series import WindSeries, with_wind
from cringle.track.wind.stream import through_water
from cringle.units import metres_to_nautical_miles

SHORTEST_GAP_S: Final = 10.0
"""A pause between fixes counts as a gap from this length [s], or from five intervals of a slow receiver."""

GAP_INTERVALS: Final = 5.0

COMPUTED: Final = "computed"
"""Source of a band that a polar gives."""


@dataclass(frozen=True)
class LogFacts:
    """What the reader says about the file.

    Parameters
    ----------
    name, format, sha256, date_source : str
        File name, ``nmea``, ``gpx`` or ``csv``, hash of the original, and where the date came from.
    lines_read : int
        Lines, points or rows in the file.
    lines_skipped : mapping
        Reason to count.
    rows, duplicates, gap_count : int
        Fixes kept, fixes dropped as repeats, pauses without fixes.
    clock_repairs : mapping
        Kind of clock fault to the number of times rebuilt.
    magnetic_variation_deg : float or None
        Variation in the log, east positive.
    """

    name: str
    format: str
    sha256: str
    date_source: str
    lines_read: int
    lines_skipped: Mapping[str, int]
    rows: int
    duplicates: int
    gap_count: int
    clock_repairs: Mapping[str, int]
    magnetic_variation_deg: float | None


@dataclass(frozen=True)
class Debrief:
    """Everything the first debrief found in one log.

    Parameters
    ----------
    log : LogFacts
        The file and what was read from it.
    start, end : datetime
        First and last fix, UTC.
    distance_nm, gap_distance_nm : float
        Sailed along the fixes, and as the crow flies across pauses in the log (not counted as sailed).
    faulty_steps : int
        Steps between fixes too fast to be true; left out.
    speed : SpeedSummary
        Speeds.
    wind : WindSummary or None
        True wind, when the log has it or it can be worked out.
    turns : tuple of Turn
        Turns of 60 degrees or more.
    manoeuvres : tuple of Manoeuvre or None
        Tacks and gybes; None when the log carries no wind.
    refused : mapping or None
        Why other changes of the wind's side are no manoeuvres: reason to count.
    heel : HeelSummary or None
        Heel, when the log has it.
    origins : Origins
        What was measured and what was worked out.
    picture : TrackPicture
        The track with the true wind from the top.
    unknown : tuple of str
        What the data cannot tell, in sentences.
    time_zone : str
        IANA name of the zone times are shown in.
    boat : str or None
        Name of the boat, when it was given.
    race : Race or None
        The race inside the log: legs, losses, heel against its target, the ledger, advice. None without a
        polar to hold it against, or where not even the courses tell the wind.
    corrections : tuple of Correction
        What a person corrected and this debrief follows.
    missed : tuple of Missed
        Corrections that fit nothing in this log.
    day : date or None
        Local date of the sailing; None where nobody cut the log into days.
    days : tuple of date
        All days in the file.
    """

    log: LogFacts
    start: datetime
    end: datetime
    distance_nm: float
    gap_distance_nm: float
    faulty_steps: int
    speed: SpeedSummary
    wind: WindSummary | None
    turns: tuple[Turn, ...]
    manoeuvres: tuple[Manoeuvre, ...] | None
    refused: Mapping[str, int] | None
    heel: HeelSummary | None
    origins: Origins
    picture: TrackPicture
    unknown: tuple[str, ...]
    time_zone: str
    boat: str | None
    race: Race | None = None
    corrections: tuple[Correction, ...] = ()
    missed: tuple[Missed, ...] = ()
    day: date | None = None
    days: tuple[date, ...] = ()

    @property
    def duration_s(self) -> float:
        """Seconds from the first fix to the last."""
        return (self.end - self.start).total_seconds()

    @property
    def tacks(self) -> int | None:
        """Number of tacks, or None without wind."""
        return self._count("tack")

    @property
    def gybes(self) -> int | None:
        """Number of gybes, or None without wind."""
        return self._count("gybe")

    def typical(self, kind: str) -> Typical:
        """Return the medians over all tacks, or over all gybes."""
        return typical(self.manoeuvres or (), kind)

    def _count(self, kind: str) -> int | None:
        return None if self.manoeuvres is None else sum(one.kind == kind for one in self.manoeuvres)


def no_bands(wind_kn: float | None) -> Mapping[str, HeelBand]:
    """Return no heel band, whatever the wind."""
    del wind_kn
    return {}


@dataclass(frozen=True)
class DebriefOptions:
    """What a person or a book adds to a log.

    Parameters
    ----------
    bands_for : callable
        Mean true wind [kn, None when unknown] to the heel band of each point of sail that has one.
    time_zone : str
        IANA name of the zone times are shown in.
    boat : str or None
        Name of the boat.
    race : RaceOptions or None
        Polar, baseline and what else is known for the race inside the log.
    """

    bands_for: Callable[[float | None], Mapping[str, HeelBand]] = no_bands
    time_zone: str = "UTC"
    boat: str | None = None
    race: RaceOptions | None = None


def debrief(log: TrackLog, *, name: str, options: DebriefOptions | None = None) -> Debrief:
    """Return the first debrief of a log.

    Parameters
    ----------
    log : TrackLog
        The log as read.
    name : str
        What to call it: the file's name.
    options : DebriefOptions, optional
        Heel bands, time zone and name of the boat.

    Raises
    ------
    InputError
        The log has no fix, or spans more than a week.
    """
    wanted = options or DebriefOptions()
    full, wind_series = _winded(complete(series_of(log.track, log.side)), wanted.race)
    said = () if wanted.race is None else wanted.race.corrections
    found, missed = corrected_found(find_manoeuvres(full), said, full)
    full, readings = _heel_read_now_and_then(full, log)
    wind = wind_summary(full.series)
    bands = _bands(None if wind is None else wind.tws_mean_kn, wanted)
    heel = heel_summary(full.series, bands)
    turns = find_turns(full)
    race = _race(full, wind_series, found, _with_targets(wanted.race, bands, readings))
    missed += missed_without_race(said) if race is None else race.missed
    known = heel if race is None else heel or race.spotted
    unknown = what_is_unknown(full, wind=wind, heel=known, gap_count=log.report.gap_count)
    sailed = _sailed(log, full)
    notes = (*missed_sentences(missed, wanted.time_zone), *(() if race is None else race.notes))
    return Debrief(
        log=_facts(log, name),
        start=log.track["time"][0],
        end=log.track["time"][-1],
        distance_nm=metres_to_nautical_miles(sailed.sailed),
        gap_distance_nm=metres_to_nautical_miles(sailed.across_gaps),
        faulty_steps=sailed.faulty_steps,
        speed=speed_summary(full),
        wind=wind,
        turns=turns,
        manoeuvres=None if found is None else found.manoeuvres,
        refused=None if found is None else found.refused,
        heel=heel,
        origins=full.origins,
        picture=_picture(full, found, turns, wind),
        unknown=(*notes, *unknown, *reader_sentences(log.report)),
        time_zone=wanted.time_zone,
        boat=wanted.boat,
        race=race,
        corrections=tuple(one for one in said if one not in [out.correction for out in missed]),
        missed=missed,
    )


def _bands(wind_kn: float | None, wanted: DebriefOptions) -> Mapping[str, HeelBand]:
    """Return the bands of heel: the polar's targets, and before them what a person or the book says."""
    said = wanted.bands_for(wind_kn)
    if wanted.race is None or wind_kn is None:
        return said
    targets = {
        name: float(wanted.race.polar.target(wind_kn, upwind=name == "upwind").heel_deg)
        for name in ("upwind", "downwind")
    }
    computed = {name: HeelBand(heel - BAND_DEG, heel + BAND_DEG, COMPUTED) for name, heel in targets.items()}
    return {**computed, **said}


def _heel_read_now_and_then(full: Complete, log: TrackLog) -> tuple[Complete, tuple[Spotted, ...]]:
    """Return a log without its heel, and the readings, where they are far apart; else the log as it is."""
    table = log.side.get("attitude", log.track)
    seconds = table["time"].dt.epoch("us").to_numpy().astype(np.float64) / 1e6
    return sparse_heel(full, seconds, table["roll"].to_numpy().astype(np.float64))


def _with_targets(
    race: RaceOptions | None, bands: Mapping[str, HeelBand], readings: tuple[Spotted, ...]
) -> RaceOptions | None:
    """Return the race's options with the heel to keep, one for all pages, and heel that was read by hand."""
    if race is None:
        return None
    said = {
        name: 0.5 * (band.low_deg + band.high_deg) for name, band in bands.items() if band.source != COMPUTED
    }
    spotted = (*race.spotted, *readings)
    return replace(race, targets_deg={**said, **race.targets_deg}, spotted=spotted)


def _winded(full: Complete, race: RaceOptions | None) -> tuple[Complete, WindSeries | None]:
    """Return the log with the best wind there is in it, the stream taken off, and that wind."""
    if race is None:
        return full, None
    wind = estimate_wind(full, polar=race.polar, strength=race.strength, stream=race.stream)
    moved = full if race.stream is None else through_water(full, race.stream)
    return (moved, None) if wind is None else (with_wind(moved, wind), wind)


def _race(
    full: Complete, wind: WindSeries | None, found: Found | None, options: RaceOptions | None
) -> Race | None:
    if wind is None or found is None or options is None:
        return None
    return race_of(full, wind, found.manoeuvres, options)


def _sailed(log: TrackLog, full: Complete) -> Travelled:
    """Return the distance sailed; of a boat that never left, the receiver's noise is none."""
    sailed, stayed = _travelled(log.track, full.series.fix_interval_s), stayed_within_m(full)
    return sailed if stayed is None else sailed._replace(sailed=min(sailed.sailed, 2.0 * stayed))


def _travelled(track: pl.DataFrame, interval_s: float) -> Travelled:
    """Return the distance along the fixes, one a second at most, so that noise adds little."""
    thinned = (
        track.select("time", "lat", "lon")
        .drop_nulls()
        .with_columns(second=pl.col("time").dt.truncate("1s"))
        .unique("second", keep="first", maintain_order=True)
    )
    seconds = thinned["time"].dt.epoch("us").to_numpy().astype(np.float64) / 1e6
    longest = max(SHORTEST_GAP_S, GAP_INTERVALS * interval_s)
    return travelled(seconds, thinned["lat"].to_numpy(), thinned["lon"].to_numpy(), longest_step_s=longest)


def _facts(log: TrackLog, name: str) -> LogFacts:
    report = log.report
    return LogFacts(
        name=name,
        format=report.format,
        sha256=report.sha256,
        date_source=report.date_source,
        lines_read=report.lines_read,
        lines_skipped=dict(report.lines_skipped),
        rows=log.track.height,
        duplicates=report.duplicates,
        gap_count=report.gap_count,
        clock_repairs=dict(report.clock_repairs),
        magnetic_variation_deg=report.magnetic_variation_deg,
    )


def _picture(
    full: Complete, found: Found | None, turns: tuple[Turn, ...], wind: WindSummary | None
) -> TrackPicture:
    """Return the track with its manoeuvres marked, or its turns where there is no wind."""
    instants = [one.at for one in (turns if found is None else found.manoeuvres)]
    rows = [round((at - full.series.start).total_seconds()) for at in instants]
    direction = None if wind is None else wind.twd_mean_deg
    return track_picture(full.series, marks=rows, wind_from_deg=direction)
