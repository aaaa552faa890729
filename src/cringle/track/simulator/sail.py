"""One simulated boat from the dock to the finish: pieces joined end to end, each integrated to positions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.simulator.handling import SimHandling, handle
from cringle.track.simulator.modes import Mode, Modes
from cringle.track.simulator.noise import SimWind, wander
from cringle.track.simulator.options import SimOptions
from cringle.track.simulator.plan import FINAL_SIDE, Place, Reach, plan_leg
from cringle.track.simulator.turns import OVERSHOOT_DEG, Path, SimManoeuvre, turn
from cringle.units import degrees_to_radians, knots_to_metres_per_second

Array = NDArray[np.float64]

JOINT_TURN_S: Final = 6.0
JOINT_SPEED_S: Final = 6.0
"""At a mark the angle swings over in this time, and the speed follows with this memory [s]."""

TOW_SPEED_M_PER_S: Final = 2.3
TOW_ANGLE_DEG: Final = 25.0
"""The tow goes closer to the mean wind than any boat sails."""

WAIT_SPEED_M_PER_S: Final = 0.4
WAIT_ANGLE_DEG: Final = 60.0
RECALL_S: Final = 80
RECALL_BACK_S: Final = 100

LINE_SPACING_M: Final = 12.0
"""Boats start so far apart along the line."""


@dataclass(frozen=True)
class SimLeg:
    """One leg: ``up``, ``run`` or ``reach``; rows of its first and last second; the mark at its end."""

    kind: str
    start: int
    end: int
    mark: str


@dataclass(frozen=True)
class Sailed:
    """One boat, one row a second.

    Parameters
    ----------
    angle_deg : array, shape (n,)
        Angle of the course through the water to the wind, signed, unwound through gybes.
    speed : array, shape (n,)
        Through the water [m/s].
    roll_deg : array, shape (n,)
        Starboard side down positive.
    right, up : array, shape (n,)
        Metres from the middle of the start line, across and along the mean wind.
    velocity : array, shape (n, 2)
        Over ground, across and along the mean wind [m/s].
    manoeuvres : tuple of SimManoeuvre
        Tacks and gybes.
    handlings : tuple of SimHandling
        Sets and drops of the kite.
    legs : tuple of SimLeg
        Of the race.
    gun : int
        Row of the start.
    starts : tuple of int
        Rows of every start, recalled ones too.
    whole : bool
        False when the wind ran out before the finish.
    """

    angle_deg: Array
    speed: Array
    roll_deg: Array
    right: Array
    up: Array
    velocity: Array
    manoeuvres: tuple[SimManoeuvre, ...]
    handlings: tuple[SimHandling, ...]
    legs: tuple[SimLeg, ...]
    gun: int
    starts: tuple[int, ...]
    whole: bool


_Turns = tuple[int, tuple[int, ...]]
"""Side on which a leg begins, and the rows of its manoeuvres."""


@dataclass
class _Voyage:
    """What grows while the boat sails."""

    pieces: list[Path] = field(default_factory=list)
    manoeuvres: list[SimManoeuvre] = field(default_factory=list)
    handlings: list[SimHandling] = field(default_factory=list)
    legs: list[SimLeg] = field(default_factory=list)
    starts: list[int] = field(default_factory=list)
    reaches: dict[bool, Reach] = field(default_factory=dict)
    side: int = FINAL_SIDE
    row: int = 0
    right: float = 0.0
    up: float = 0.0
    whole: bool = True


@dataclass(frozen=True)
class _Boat:
    """Everything about one boat that does not change: her modes, the wind, the water, her dice."""

    options: SimOptions
    up: Mode
    run: Mode
    reach: Mode
    turn_deg: Array
    stream: tuple[float, float]
    rng: np.random.Generator
    number: int


def sail(options: SimOptions, modes: Modes, wind: SimWind, *, boat: int, rng: np.random.Generator) -> Sailed:
    """Return one boat's race."""
    one = _Boat(
        options,
        _of_boat(modes.up, boat),
        _of_boat(modes.run, boat),
        _of_boat(modes.reach, boat),
        wind.turn_deg,
        _stream(options),
        rng,
        boat,
    )
    voyage = _Voyage()
    _before_start(one, voyage)
    voyage.right, voyage.up = LINE_SPACING_M * (boat - 0.5 * (options.boats - 1)), -3.0
    gun = voyage.row
    _race(one, voyage)
    rows = np.arange(min(voyage.row + int(options.after_s), wind.turn_deg.size))[voyage.row :]
    if rows.size:
        _add(one, voyage, _drift(one, rows, voyage.side))
    return _whole(one, voyage, gun)


def _of_boat(mode: Mode, boat: int) -> Mode:
    return Mode(mode.angle_deg[boat], mode.heel_deg[boat], mode.speed[boat], mode.target_heel_deg[boat])


def _stream(options: SimOptions) -> tuple[float, float]:
    """Return the stream across and along the mean wind [m/s]."""
    toward = degrees_to_radians(options.weather.stream_to_deg - options.weather.wind_from_deg)
    speed = knots_to_metres_per_second(options.weather.stream_kn)
    return speed * float(np.sin(toward)), speed * float(np.cos(toward))


def _path(mode: Mode, rows: NDArray[np.intp], side: int) -> Path:
    return Path(side * mode.angle_deg[rows], mode.speed[rows].copy(), -side * mode.heel_deg[rows])


def _before_start(boat: _Boat, voyage: _Voyage) -> None:
    """Lie at the dock, be towed out, wait; with recalls, start, sail back and wait again."""
    options = boat.options
    for seconds, make in ((options.dock_s, _moored), (options.tow_s, _towed), (options.wait_s, _waiting)):
        _for_seconds(boat, voyage, int(seconds), make)
    for _ in range(options.recalls):
        voyage.starts.append(voyage.row)
        _for_seconds(boat, voyage, RECALL_S, lambda one, rows: _path(one.up, rows, FINAL_SIDE))
        _for_seconds(boat, voyage, RECALL_BACK_S, lambda one, rows: _path(one.run, rows, FINAL_SIDE))
        _for_seconds(boat, voyage, int(options.wait_s), _waiting)
    voyage.starts.append(voyage.row)


def _for_seconds(boat: _Boat, voyage: _Voyage, seconds: int, make: object) -> None:
    rows = np.arange(voyage.row, min(voyage.row + seconds, boat.turn_deg.size))
    if rows.size and callable(make):
        _add(boat, voyage, make(boat, rows))


def _moored(boat: _Boat, rows: NDArray[np.intp]) -> Path:
    sway = wander(boat.rng, (rows.size,), spread=1.0, memory=4.0)
    return Path(np.zeros(rows.size) + sway, np.zeros(rows.size), sway)


def _towed(boat: _Boat, rows: NDArray[np.intp]) -> Path:
    sway = wander(boat.rng, (rows.size,), spread=1.0, memory=4.0)
    return Path(boat.turn_deg[rows] + TOW_ANGLE_DEG + sway, np.full(rows.size, TOW_SPEED_M_PER_S), sway)


def _waiting(boat: _Boat, rows: NDArray[np.intp]) -> Path:
    sway = wander(boat.rng, (rows.size,), spread=6.0, memory=15.0)
    speed = np.abs(WAIT_SPEED_M_PER_S + wander(boat.rng, (rows.size,), spread=0.15, memory=15.0))
    return Path(FINAL_SIDE * (WAIT_ANGLE_DEG + sway), speed, -2.0 + 0.2 * sway)


def _drift(boat: _Boat, rows: NDArray[np.intp], side: int) -> Path:
    clock = np.arange(rows.size)
    speed = WAIT_SPEED_M_PER_S + boat.up.speed[rows] * 0.3 * np.exp(-clock / 15.0)
    return Path(np.full(rows.size, side * WAIT_ANGLE_DEG), speed, np.full(rows.size, -2.0))


def _race(boat: _Boat, voyage: _Voyage) -> None:
    options = boat.options
    for lap in range(options.laps):
        final = lap == options.laps - 1
        if not _leg(boat, voyage, upwind=True, mark="windward"):
            return
        if final and options.finish == "up":
            return
        if options.offset_m > 0.0:
            _offset(boat, voyage)
        if not _leg(boat, voyage, upwind=False, mark="finish" if final else "gate"):
            return


def _offset(boat: _Boat, voyage: _Voyage) -> None:
    """Reach from the windward mark to the offset mark."""
    ahead = np.arange(voyage.row, boat.turn_deg.size)
    travelled = np.cumsum(boat.reach.speed[ahead])
    rows = ahead[: int(np.searchsorted(travelled, boat.options.offset_m)) + 1]
    first = voyage.row
    _add(boat, voyage, _path(boat.reach, rows, voyage.side))
    voyage.legs.append(SimLeg("reach", first, voyage.row, "offset"))


def _leg(boat: _Boat, voyage: _Voyage, *, upwind: bool, mark: str) -> bool:
    """Sail a beat or a run; return False when the wind ran out before the mark."""
    options, mode = boat.options, boat.up if upwind else boat.run
    losses = options.crew.tack_loss_m if upwind else options.crew.gybe_loss_m
    to_go = options.leg_m - voyage.up if upwind else voyage.up + _kite_metres(options, last=mark == "finish")
    first = voyage.row
    if upwind not in voyage.reaches:
        voyage.reaches[upwind] = _reach(boat, mode, upwind=upwind)
    plan = plan_leg(
        voyage.reaches[upwind],
        Place(first, voyage.right, to_go, voyage.side),
        boards_s=boat.rng.uniform(*options.crew.board_s, 200),
        loss_m=float(np.mean(losses)),
        overstand_m=float(boat.rng.uniform(0.0, options.crew.overstand_m)),
    )
    rows = np.arange(first, plan.end)
    if rows.size == 0:
        voyage.whole = False
        return False
    path, made = _turned(boat, mode, rows, (voyage.side, plan.turns), losses)
    if not upwind:
        _handle_kite(boat, voyage, path, last=mark == "finish")
    _add(boat, voyage, path, made)
    voyage.side *= (-1) ** len(plan.turns)
    voyage.legs.append(SimLeg("up" if upwind else "run", first, voyage.row, mark))
    voyage.whole = plan.reached
    return plan.reached


def _kite_metres(options: SimOptions, *, last: bool) -> float:
    """Return the metres to leeward that a set and a drop are expected to cost on a run."""
    crew = options.crew
    return float(np.mean(crew.set_loss_m)) + (0.0 if last else float(np.mean(crew.drop_loss_m)))


def _handle_kite(boat: _Boat, voyage: _Voyage, path: Path, *, last: bool) -> None:
    """Set the kite at the start of a run, and take it down before the mark unless that is the finish.

    A drop takes the seconds of the turn onto the beat too.
    """
    crew = boat.options.crew
    for kind, metres in (("set", crew.set_loss_m), ("drop", crew.drop_loss_m)):
        wanted = float(boat.rng.uniform(*metres))
        if not (last and kind == "drop"):
            made = handle(path, kind, row=voyage.row, wanted_m=wanted)
            onto = int(JOINT_TURN_S) if kind == "drop" else 0
            voyage.handlings.append(replace(made, end=made.end + onto))


def _turned(
    boat: _Boat,
    mode: Mode,
    rows: NDArray[np.intp],
    plan: _Turns,
    losses: tuple[float, float],
) -> tuple[Path, list[SimManoeuvre]]:
    """Return the path of a leg with its manoeuvres in it."""
    first_side, turns = plan
    side = first_side * (1.0 - 2.0 * (np.searchsorted(np.array(turns, dtype=int), rows, side="right") % 2))
    path = Path(side * mode.angle_deg[rows], mode.speed[rows].copy(), -side * mode.heel_deg[rows])
    made = []
    for row in turns:
        kind = "tack" if mode is boat.up else "gybe"
        found = turn(
            path,
            row - int(rows[0]),
            kind,
            wanted_m=float(boat.rng.uniform(*losses)),
            overshoot_deg=float(boat.rng.uniform(*OVERSHOOT_DEG)),
        )
        made.append(SimManoeuvre(row, kind, found.metres_lost, found.dip))
    return path, made


def _reach(boat: _Boat, mode: Mode, *, upwind: bool) -> Reach:
    """Return how a mode moves on either side, from the first row of the wind."""
    across, along = {}, {}
    sign = 1.0 if upwind else -1.0
    for side in (1, -1):
        east, north = _velocity(boat, side * mode.angle_deg, mode.speed, boat.turn_deg)
        across[side], along[side] = np.cumsum(east), sign * np.cumsum(north)
    typical = float(np.median(mode.angle_deg))
    made_good = float(np.median(mode.speed)) * abs(np.cos(degrees_to_radians(typical)))
    return Reach(across, along, abs(float(np.tan(degrees_to_radians(typical)))), float(made_good))


def _velocity(boat: _Boat, angle_deg: Array, speed: Array, turn_deg: Array) -> tuple[Array, Array]:
    """Return the velocity over ground across and along the mean wind [m/s]."""
    course = degrees_to_radians(turn_deg - angle_deg)
    return speed * np.sin(course) + boat.stream[0], speed * np.cos(course) + boat.stream[1]


def _add(boat: _Boat, voyage: _Voyage, path: Path, made: list[SimManoeuvre] | None = None) -> None:
    """Join a piece to what was sailed: angle and speed swing over, and the position moves on."""
    clock = np.arange(1, path.speed.size + 1)
    if voyage.pieces and voyage.pieces[-1].speed.size:
        last = voyage.pieces[-1]
        before = 180.0 - np.mod(180.0 - last.angle_deg[-1], 360.0)
        path.angle_deg += (before - path.angle_deg[0]) * np.maximum(1.0 - clock / JOINT_TURN_S, 0.0)
        path.speed += (last.speed[-1] - path.speed[0]) * np.exp(-clock / JOINT_SPEED_S)
        path.roll_deg += (last.roll_deg[-1] - path.roll_deg[0]) * np.maximum(1.0 - clock / JOINT_TURN_S, 0.0)
    rows = slice(voyage.row, voyage.row + path.speed.size)
    east, north = _velocity(boat, path.angle_deg, path.speed, boat.turn_deg[rows])
    voyage.right += float(east.sum())
    voyage.up += float(north.sum())
    voyage.row = rows.stop
    voyage.pieces.append(path)
    voyage.manoeuvres.extend(made or ())


def _whole(boat: _Boat, voyage: _Voyage, gun: int) -> Sailed:
    angle, speed, roll = (
        np.concatenate(list(parts))
        for parts in (_each(voyage, "angle_deg"), _each(voyage, "speed"), _each(voyage, "roll_deg"))
    )
    east, north = _velocity(boat, angle, speed, boat.turn_deg[: speed.size])
    moored = int(boat.options.dock_s)
    east[:moored], north[:moored] = 0.0, 0.0
    right, up = (np.concatenate(([0.0], np.cumsum(0.5 * (one[1:] + one[:-1])))) for one in (east, north))
    line = LINE_SPACING_M * (boat.number - 0.5 * (boat.options.boats - 1))
    return Sailed(
        angle_deg=angle,
        speed=speed,
        roll_deg=roll,
        right=right - right[gun] + line,
        up=up - up[gun] - 3.0,
        velocity=np.column_stack((east, north)),
        manoeuvres=tuple(voyage.manoeuvres),
        handlings=tuple(voyage.handlings),
        legs=tuple(voyage.legs),
        gun=gun,
        starts=tuple(voyage.starts),
        whole=voyage.whole,
    )


def _each(voyage: _Voyage, name: str) -> Iterator[Array]:
    return (getattr(one, name) for one in voyage.pieces)
