"""One log of a season: read, debriefed, and laid out as one row for each leg. A pure function of a file."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, Final

import numpy as np

from cringle.errors import CringleError
from cringle.track.circle import circular_mean_deg
from cringle.track.debrief.as_json import rounded
from cringle.track.debrief.days import days_of, of_day, only_day
from cringle.track.debrief.debrief import Debrief, DebriefOptions, debrief
from cringle.track.debrief.race import Race, RaceLeg, RaceOptions
from cringle.track.ledger.ledger import PARTS
from cringle.track.race.correction import Correction
from cringle.track.race.mixed import refuse_mixed
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.parts import options_to_dict
from cringle.track.reading.read import TrackLog, read_log
from cringle.track.reading.report import READER_VERSION
from cringle.track.reading.store import read_stored
from cringle.track.turns.loss import Loss

SEASON_VERSION: Final = "2"
"""Raised whenever the same log would give other rows, so that kept rows are made anew."""


@dataclass(frozen=True)
class SeasonTask:
    """One file and what is needed to debrief it; can be sent to another process or machine.

    Parameters
    ----------
    path : str
        The log.
    read : ReadOptions
        What logs do not say themselves.
    race : RaceOptions
        Polar, baseline, wind.
    time_zone : str
        IANA name: where the days of a log begin.
    corrections : mapping
        Hash of a log to what a person corrected in it; of all logs, as only reading a log gives its hash.
    """

    path: str
    read: ReadOptions = field(default_factory=ReadOptions)
    race: RaceOptions | None = None
    time_zone: str = "UTC"
    corrections: Mapping[str, tuple[Correction, ...]] = field(default_factory=dict)


@dataclass(frozen=True)
class SeasonFile:
    """What one file gave.

    Parameters
    ----------
    path : str
        The log.
    sha256 : str or None
        Of the file; None when it could not be read at all.
    rows : tuple of dict
        One for each leg; one without a leg where none was found.
    error : str or None
        Why it gave no rows.
    corrected : str
        Which corrections they follow (`corrections_mark`).
    """

    path: str
    sha256: str | None
    rows: tuple[Mapping[str, Any], ...]
    error: str | None = None
    corrected: str = ""

    def to_json(self) -> dict[str, Any]:
        """Return it as plain values."""
        return {
            "path": self.path,
            "sha256": self.sha256,
            "rows": [dict(one) for one in self.rows],
            "error": self.error,
            "corrected": self.corrected,
        }


def season_file_from(values: Mapping[str, Any]) -> SeasonFile:
    """Return what `SeasonFile.to_json` wrote."""
    rows = tuple(values["rows"])
    return SeasonFile(values["path"], values["sha256"], rows, values["error"], values["corrected"])


def corrections_mark(corrections: Sequence[Correction]) -> str:
    """Return a short text that differs whenever the corrections of a log do; empty without any."""
    if not corrections:
        return ""
    said = json.dumps([one.to_json() for one in corrections], sort_keys=True)
    return hashlib.sha256(said.encode()).hexdigest()[:16]


def signature(task: SeasonTask) -> str:
    """Return a hash of everything but the file that the rows depend on."""
    race = task.race
    parts: list[object] = [SEASON_VERSION, READER_VERSION, sorted(options_to_dict(task.read).items())]
    parts.append(task.time_zone)
    digest = hashlib.sha256()
    if race is not None:
        polar = race.polar
        for values in (polar.speed_kn, polar.up.angle_deg, polar.run.angle_deg, polar.up.heel_deg):
            digest.update(np.ascontiguousarray(values).tobytes())
        parts += [race.baseline, race.boat_known, sorted(race.targets_deg.items()), race.strength]
        parts += [race.stream, race.other and (race.other.up_factor, race.other.run_factor)]
    digest.update(repr(parts).encode())
    return digest.hexdigest()


def season_file(task: SeasonTask) -> SeasonFile:
    """Return the rows of one log; a log that cannot be used gives its reason instead and stops nothing.

    Parameters
    ----------
    task : SeasonTask
        The file and what is needed for it.
    """
    path = Path(task.path)
    try:
        log = _read(path, task.read)
        refuse_mixed(log.track, path.name, elsewhere=log.report.elsewhere)
        said = task.corrections.get(log.report.sha256, ())
        rows = tuple(row for found in _days(log, task, said) for row in rows_of(found, task.path))
    except CringleError as error:
        return SeasonFile(task.path, None, (), str(error).splitlines()[0])
    except Exception as error:  # a fault of ours must not end a run over a season; it is named and counted
        return SeasonFile(task.path, None, (), f"{type(error).__name__}: {error}")
    return SeasonFile(task.path, log.report.sha256, rows, corrected=corrections_mark(said))


def _days(log: TrackLog, task: SeasonTask, said: Sequence[Correction]) -> Iterator[Debrief]:
    """Yield the debrief of each day in a log."""
    days = days_of(log.track, task.time_zone)
    for one in days:
        part = log if len(days) == 1 else only_day(log, one)
        race = None if task.race is None else replace(task.race, corrections=of_day(said, one, days))
        options = DebriefOptions(race=race, time_zone=task.time_zone)
        yield replace(debrief(part, name=Path(task.path).name, options=options), day=one.day)


def _read(path: Path, options: ReadOptions) -> TrackLog:
    """Return a log: a file, or a directory of a book's logs folder."""
    if path.is_dir():
        return read_stored(path.parent, path.name)
    return read_log(path, options=options)


def rows_of(found: Debrief, path: str) -> list[dict[str, Any]]:
    """Return a debrief as one row for each beat and run; one row alone where the log has no leg."""
    day = found.day or found.start.date()
    head = {
        "file": path,
        "sha256": found.log.sha256,
        "log_start": found.start.isoformat(),
        "day": day.isoformat(),
    }
    race = found.race
    legs = [] if race is None else [one for one in race.legs if one.ledger is not None]
    if race is None or not legs:
        return [{**head, **EMPTY, "duration_s": found.duration_s}]
    return [
        {key: rounded(value) for key, value in {**head, **EMPTY, **_row(race, one, number)}.items()}
        for number, one in enumerate(legs, start=1)
    ]


EMPTY: Final[Mapping[str, Any]] = {
    **dict.fromkeys(("leg", "name", "kind", "race", "start", "duration_s", "made_good_m", "confidence")),
    **dict.fromkeys(("tws_kn", "twd_deg", "wind_strength_source", "baseline")),
    **dict.fromkeys(("heel_mean_deg", "heel_error_deg", "heel_in_band_share")),
    **dict.fromkeys(("tacks", "gybes", "tack_loss_m", "gybe_loss_m")),
    **dict.fromkeys(("lost_s", "lost_s_low", "lost_s_high", "lost_s_per_min")),
    **{f"lost_{part}_s": None for part in PARTS},
}
"""Every column of a row; None where it is not known."""


def _row(race: Race, one: RaceLeg, number: int) -> dict[str, Any]:
    leg, ledger = one.leg, one.ledger
    if ledger is None:
        return {}
    part = slice(leg.first, leg.end)
    place = next(index for index, other in enumerate(race.legs) if other is one)
    shares = {} if race.heel is None else dict(race.heel.by_leg)
    share = shares.get(place)
    return {
        "leg": number,
        "name": one.name,
        "kind": leg.kind,
        "race": leg.race,
        "start": leg.start_at.isoformat(),
        "duration_s": float(leg.seconds),
        "made_good_m": leg.made_good_m,
        "confidence": leg.confidence,
        "tws_kn": _mean(race.sailing.wind_kn[part]),
        "twd_deg": _direction(race.sailing.wind_from_deg[part]),
        "wind_strength_source": race.wind.strength_source,
        "baseline": ledger.baseline,
        "heel_mean_deg": _mean(race.sailing.heel_deg[part]),
        "heel_error_deg": None if share is None else share.error_mean_deg,
        "heel_in_band_share": None if share is None else share.in_band_share,
        **_turns([judged.loss for judged in race.manoeuvres], leg.first, leg.end, race),
        "lost_s": ledger.total.seconds,
        "lost_s_low": ledger.total.low,
        "lost_s_high": ledger.total.high,
        "lost_s_per_min": 60.0 * ledger.total.seconds / ledger.sailed_s if ledger.sailed_s else None,
        **{f"lost_{one.name}_s": one.seconds for one in ledger.parts},
        **({} if ledger.heel_known else {"lost_heel_s": None}),
    }


def _turns(losses: list[Loss], first: int, end: int, race: Race) -> dict[str, Any]:
    inside = [one for one in losses if first <= race.sailing.row_of(one.at) < end]
    found: dict[str, Any] = {}
    for kind in ("tack", "gybe"):
        same = [one for one in inside if one.kind == kind]
        metres = [one.metres_lost for one in same if one.metres_lost is not None]
        found[f"{kind}s"] = len(same)
        found[f"{kind}_loss_m"] = float(np.mean(metres)) if metres else None
    return found


def _mean(values: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float | None:
    known = values[np.isfinite(values)]
    return float(known.mean()) if known.size else None


def _direction(values: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float | None:
    mean = circular_mean_deg(values)
    return float(np.mod(mean, 360.0)) if np.isfinite(mean) else None
