"""Simulated logs of a book's boat, or of the demo's: files that read like recorded ones, with the truth."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from cringle.boat.read import read_book_files
from cringle.boat.write import write_atomically
from cringle.errors import InputError, OutOfRangeError
from cringle.speed.ensemble import members
from cringle.speed.model import SpeedModel, Surroundings
from cringle.track.frozen_polar import FrozenPolar, polar_of_model
from cringle.track.simulator.options import SimOptions
from cringle.track.simulator.simulate import SimBoat, simulate
from cringle.track.simulator.write import write_wind, writer_of
from cringle.track.wind.strength import WIND_ENDING
from cringle.workflows.examples import examples_folder
from cringle.workflows.speed.boat_polar import boat_polar

MEMBERS: Final = 16
"""Draws from the spreads of the coefficients that a race may be simulated with."""

Tell = Callable[[str], None]


@dataclass(frozen=True)
class SimRequest:
    """What is to be simulated, and where it goes.

    Parameters
    ----------
    out : Path
        Folder for the files; made when absent. A file of the same name is replaced.
    seed : int
        Same seed and options, same files.
    format : str
        ``nmea``, ``gpx`` or ``csv``.
    book : Path or None
        Whose boat and crew; None takes the demo's.
    member : int
        0 sails the best values of the speed model's coefficients, 1 to `MEMBERS` a draw from their spreads:
        then boat and analysis do not share one model.
    options : SimOptions
        The race.
    """

    out: Path
    seed: int = 1
    format: str = "nmea"
    book: Path | None = None
    member: int = 0
    options: SimOptions = field(default_factory=SimOptions)


@dataclass(frozen=True)
class SimFile:
    """One boat's files: name, log, truth, wind record or None, number of fixes, tacks and gybes in it."""

    name: str
    log: Path
    truth: Path
    wind: Path | None
    fixes: int
    tacks: int
    gybes: int

    def to_json(self) -> dict[str, Any]:
        """Return it as plain values."""
        return {
            "boat": self.name,
            "log": str(self.log),
            "truth": str(self.truth),
            "wind": None if self.wind is None else str(self.wind),
            "fixes": self.fixes,
            "tacks": self.tacks,
            "gybes": self.gybes,
        }


def simulate_logs(request: SimRequest, tell: Tell = lambda _: None) -> list[SimFile]:
    """Simulate a race and write each boat's log and truth.

    Parameters
    ----------
    request : SimRequest
        What and where.
    tell : callable
        Told each step before it starts.

    Raises
    ------
    InputError, BookFileError
        A file of the book or an option cannot be used.
    NotConvergedError
        A boat cannot get round the course.
    BookError
        The folder cannot be written.
    """
    write = writer_of(request.format)
    if request.out.exists() and not request.out.is_dir():
        raise InputError(f"{request.out} is a file", next_step="give a folder with --out")
    tell("asking the speed model for the boat's polar")
    polar = book_polar(request.book, sea=request.options.sea, member=request.member)
    tell(f"sailing {request.options.boats} boats")
    fleet = simulate(request.options, polar, request.seed)
    request.out.mkdir(parents=True, exist_ok=True)
    tell("writing logs and truth")
    return [_written(request, write, boat, number) for number, boat in enumerate(fleet.boats)]


def book_polar(book: Path | None, *, sea: str = "chop", member: int = 0) -> FrozenPolar:
    """Return the polar of a book's boat with her crew, or of the demo's boat; of a member of the ensemble."""
    if not 0 <= member <= MEMBERS:
        raise OutOfRangeError("member", member, 0, MEMBERS)
    if member == 0:
        return boat_polar(book, sea=sea).polar
    files = read_book_files(book or examples_folder())
    model = SpeedModel.from_files(files.class_file, files.crew_file, Surroundings(sea=sea))
    drawn = members(model, count=MEMBERS)[member - 1]
    return polar_of_model(drawn, name=f"the speed model of {files.boat_file.boat.name}, member {member}")


def _written(request: SimRequest, write: Callable[..., bytes], boat: SimBoat, number: int) -> SimFile:
    log = request.out / f"{boat.name}.{request.format}"
    truth = request.out / f"{boat.name}.truth.json"
    write_atomically(log, write(boat.fixes, boat.name))
    values = boat.truth.to_json(request.options, request.seed)
    write_atomically(truth, (json.dumps(values, indent=1, allow_nan=False) + "\n").encode())
    wind = _write_wind(request, boat, number)
    kinds = [one.kind for one in boat.truth.manoeuvres]
    return SimFile(boat.name, log, truth, wind, boat.fixes.rows, kinds.count("tack"), kinds.count("gybe"))


def _write_wind(request: SimRequest, boat: SimBoat, number: int) -> Path | None:
    """Write the wind that a chase boat read beside the boat, under the name by which a debrief finds it."""
    sensors, path = request.options.sensors, request.out / f"{boat.name}{WIND_ENDING}"
    if sensors.wind_record_s <= 0.0:
        path.unlink(missing_ok=True)
        return None
    truth = boat.truth
    write_atomically(path, write_wind(truth.start, truth.tws_kn, sensors, seed=1000 * request.seed + number))
    return path
