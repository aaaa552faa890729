"""Steady stretches of a log, for a fit of the speed model and for trials."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from cringle.boat.write import write_atomically
from cringle.errors import InputError
from cringle.track.debrief.steady import OverPolar, Steady, find_steady, over_polar, steady_csv
from cringle.track.race.legs import find_legs
from cringle.track.race.mixed import refuse_mixed
from cringle.track.reading.complete import complete
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.read import read_log
from cringle.track.series import series_of
from cringle.track.turns.tacks import find_manoeuvres
from cringle.track.wind.estimate import estimate_wind
from cringle.track.wind.series import with_wind
from cringle.workflows.afloat.logs_race import RaceWishes, race_options, said_or_beside


@dataclass(frozen=True)
class SteadyFound:
    """What was steady in a log.

    Parameters
    ----------
    stretches : tuple of Steady
        In order of time.
    over : tuple of OverPolar
        Observed over predicted speed, for each kind of leg with enough of them.
    wind_source : str
        Where direction and speed of the wind came from.
    """

    stretches: tuple[Steady, ...]
    over: tuple[OverPolar, ...]
    wind_source: str

    def to_json(self) -> dict[str, Any]:
        """Return it as plain values; unknown is None."""
        return {
            "schema": 1,
            "wind_source": self.wind_source,
            "stretches": [{**asdict(one), "start": one.start.isoformat()} for one in self.stretches],
            "over_polar": [asdict(one) for one in self.over],
        }


def steady_of_log(
    log: Path,
    *,
    book: Path | None = None,
    options: ReadOptions | None = None,
    wishes: RaceWishes | None = None,
) -> SteadyFound:
    """Return the stretches of steady sailing on the legs of a log.

    Parameters
    ----------
    log : Path
        The log.
    book : Path or None
        Whose polar the speeds are held against; None takes the demo's class.
    options : ReadOptions, optional
        What the log does not say itself.
    wishes : RaceWishes, optional
        Wind and stream that a person gives.

    Raises
    ------
    LogError, InputError
        The log cannot be read, or its courses do not tell the wind.
    """
    track = read_log(log, options=options)
    refuse_mixed(track.track, log.name, elsewhere=track.report.elsewhere)
    race = race_options(book, said_or_beside(wishes or RaceWishes(), log), targets_deg={})
    plain = complete(series_of(track.track, track.side))
    wind = estimate_wind(plain, polar=race.polar, strength=race.strength, stream=race.stream)
    if wind is None:
        raise InputError(
            f"{log.name}: its courses do not tell the wind",
            next_step="use a log with instruments, or of a race",
        )
    full = with_wind(plain, wind)
    found = find_manoeuvres(full)
    turns = [] if found is None else [one.at for one in found.manoeuvres]
    stretches = find_steady(full, wind, find_legs(full, wind), manoeuvres=turns)
    return SteadyFound(stretches, over_polar(stretches, race.polar), wind.source)


def write_steady(found: SteadyFound, path: Path) -> None:
    """Write the stretches as a CSV that ``cringle speed fit`` reads, whole or not at all."""
    write_atomically(path, steady_csv(found.stretches).encode())
