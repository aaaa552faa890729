"""Make the demo's own evening: a windward-leeward practice on Tarrow Water as an NMEA 0183 log.

Everything in it is invented: boat, water, wind and crew. It is a kinematic sketch, not a speed model: the
boat keeps an angle to an oscillating wind, slows down when she turns, heels and wanders. What she did is
returned beside the signals, so that tests can compare a debrief with the truth.

Run: ``python studies/make_demo_evening.py``; it writes ``examples/evening.nmea``, the same bytes each time.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import reduce
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.physics.wind import apparent_wind
from cringle.track.distance import radii
from cringle.units import (
    degrees_to_radians,
    knots_to_metres_per_second,
    metres_per_second_to_knots,
    radians_to_degrees,
    wrap_degrees,
    wrap_signed_degrees,
)

Array = NDArray[np.float64]

EXAMPLE: Final = Path(__file__).resolve().parent.parent / "examples" / "evening.nmea"
BAD_LINES: Final = 4
"""Lines spoilt on purpose: a real evening has some."""


@dataclass(frozen=True)
class Plan:
    """What the evening shall be; all of it invented.

    Parameters
    ----------
    seed : int
        Same seed, same evening.
    start : datetime
        First second, UTC.
    lat_deg, lon_deg : float
        Where the boat lies at first.
    wind_kn, wind_from_deg : float
        Mean true wind.
    swing_deg, swing_s : float
        Amplitude and period of its oscillation.
    upwind_deg, downwind_deg : float
        True wind angle kept on either leg.
    heel_deg : float
        Heel held upwind in the mean wind.
    leg_m : float
        Distance from gate to windward mark along the wind.
    laps : int
        How many times up and down.
    board_s : tuple of float
        Shortest and longest time between two tacks or gybes.
    """

    seed: int = 41
    start: datetime = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)
    lat_deg: float = 54.2
    lon_deg: float = -5.0
    wind_kn: float = 11.0
    wind_from_deg: float = 235.0
    swing_deg: float = 7.0
    swing_s: float = 480.0
    upwind_deg: float = 42.0
    downwind_deg: float = 146.0
    heel_deg: float = 15.0
    leg_m: float = 900.0
    laps: int = 2
    board_s: tuple[float, float] = (70.0, 150.0)


@dataclass(frozen=True)
class Sailed:
    """The signals, one row a second, and the truth: second and kind of every tack and gybe."""

    plan: Plan
    columns: dict[str, Array]
    manoeuvres: tuple[tuple[int, str], ...]


@dataclass
class _Boat:
    """What changes from second to second."""

    heading: float
    speed_kn: float
    side: int
    roll: float = 0.0
    across: float = 0.0
    up: float = 0.0
    turning: int = 0


def wander(rng: np.random.Generator, rows: int, *, spread: float, memory_s: float) -> Array:
    """Return noise with a memory: a first-order autoregressive series of standard deviation `spread`."""
    keep = np.exp(-1.0 / memory_s)
    kicks = rng.standard_normal(rows) * spread * np.sqrt(1.0 - keep**2)
    out = np.empty(rows)
    out[0] = kicks[0]
    for row in range(1, rows):
        out[row] = keep * out[row - 1] + kicks[row]
    return out


def boat_speed_kn(wind_kn: float, angle_deg: float) -> float:
    """Return the speed of the invented boat: none head to wind, most on a broad reach."""
    strength = 7.6 * (1.0 - np.exp(-wind_kn / 7.5))
    size = abs(angle_deg)
    shape = np.interp(size, [0, 25, 42, 60, 90, 120, 146, 180], [0, 0.3, 0.88, 1.0, 1.08, 1.1, 1.0, 0.82])
    return float(strength * shape)


def sail(plan: Plan) -> Sailed:
    """Return one evening: at the dock, out on a reach, laps, and a reach home."""
    rng = np.random.default_rng(plan.seed)
    longest = 600 + int(plan.laps * plan.leg_m * 2.0)
    clock = np.arange(longest)
    wind_from = (
        plan.wind_from_deg
        + plan.swing_deg * np.sin(2.0 * np.pi * clock / plan.swing_s + rng.uniform(0.0, 2.0 * np.pi))
        + wander(rng, longest, spread=2.0, memory_s=20.0)
    )
    wind = plan.wind_kn * (1.0 + wander(rng, longest, spread=0.10, memory_s=40.0).clip(-0.3, 0.4))
    helm = wander(rng, longest, spread=2.5, memory_s=8.0)
    lean = wander(rng, longest, spread=2.5, memory_s=6.0)
    boat = _Boat(heading=plan.wind_from_deg - 90.0, speed_kn=0.0, side=1)
    rows: list[tuple[float, ...]] = []
    truth: list[tuple[int, str]] = []
    for angle, kind in _orders(plan, boat, rng):
        row = len(rows)
        if row >= longest:
            break
        if kind in {"tack", "gybe"}:
            truth.append((row, kind))
        rows.append(
            _second(boat, plan, kind, (angle + helm[row], float(wind_from[row]), float(wind[row]), lean[row]))
        )
    return Sailed(plan, _columns(plan, np.array(rows), rng), _crossings(np.array(rows), truth))


def _orders(plan: Plan, boat: _Boat, rng: np.random.Generator) -> Iterator[tuple[float, str]]:
    """Yield, second by second, the wind angle to keep (without side) and what is being done."""
    yield from ((90.0, "dock") for _ in range(60))
    yield from ((90.0, "reach") for _ in range(120))
    for _ in range(plan.laps):
        yield from _leg(plan, boat, rng, up=True)
        yield from _leg(plan, boat, rng, up=False)
    yield from ((90.0, "reach") for _ in range(120))


def _leg(plan: Plan, boat: _Boat, rng: np.random.Generator, *, up: bool) -> Iterator[tuple[float, str]]:
    """Yield the orders of one leg; the last board is long enough not to turn at the mark."""
    angle = plan.upwind_deg if up else plan.downwind_deg
    kind = "tack" if up else "gybe"
    left = rng.uniform(*plan.board_s)
    while (boat.up < plan.leg_m) if up else (boat.up > 0.0):
        to_go = plan.leg_m - boat.up if up else boat.up
        if left <= 0.0 and to_go > 160.0:
            boat.side = -boat.side
            left = rng.uniform(*plan.board_s)
            yield angle, kind
        else:
            left -= 1.0
            yield angle, "sail"


def _second(
    boat: _Boat, plan: Plan, kind: str, signals: tuple[float, float, float, float]
) -> tuple[float, ...]:
    """Move the boat on by a second; return what the instruments would be shown."""
    angle, wind_from, wind_kn, lean = signals
    if kind in {"tack", "gybe"}:
        boat.turning = boat.side if kind == "gybe" else -boat.side
    _steer(boat, wind_from - boat.side * angle)
    twa = float(wrap_signed_degrees(wind_from - boat.heading))
    wanted = 0.0 if kind == "dock" else boat_speed_kn(wind_kn, twa)
    boat.speed_kn += (wanted - boat.speed_kn) / (9.0 if wanted > boat.speed_kn else 5.0)
    upwind = abs(twa) < 70.0
    heel = 0.0 if kind == "dock" else (plan.heel_deg if upwind else 6.0) * wind_kn / plan.wind_kn + lean
    boat.roll += (-np.sign(twa) * heel - boat.roll) / 3.0
    leeway = np.sign(twa) * (4.0 if upwind else 1.0)
    course = boat.heading - leeway
    along = knots_to_metres_per_second(boat.speed_kn)
    to_wind = degrees_to_radians(course - plan.wind_from_deg)
    boat.up += along * np.cos(to_wind)
    boat.across += along * np.sin(to_wind)
    return boat.heading, course, boat.speed_kn, twa, wind_kn, boat.roll, boat.up, boat.across


def _steer(boat: _Boat, wanted: float) -> None:
    """Turn towards the wanted heading: gently on the helm, at the boat's rate in a manoeuvre."""
    error = float(wrap_signed_degrees(wanted - boat.heading))
    if boat.turning:
        if error * boat.turning < 0.0 and abs(error) > 30.0:
            error += 360.0 * boat.turning
        if abs(error) < 8.0:
            boat.turning = 0
    boat.heading += float(np.clip(error, -11.0, 11.0)) * (1.0 if boat.turning else 0.4)


def _crossings(rows: Array, truth: list[tuple[int, str]]) -> tuple[tuple[int, str], ...]:
    """Return the second in which the wind crossed over, after the order to turn."""
    side = np.sign(rows[:, 3])
    found = []
    for row, kind in truth:
        flips = np.flatnonzero(side[row : row + 40] != side[max(row - 1, 0)])
        found.append((row + int(flips[0]) if flips.size else row, kind))
    return tuple(found)


def _columns(plan: Plan, rows: Array, rng: np.random.Generator) -> dict[str, Array]:
    """Return the signals with the noise of their instruments."""
    heading, course, speed, twa, wind, roll, up, across = rows.T
    count = heading.size
    felt = apparent_wind(
        knots_to_metres_per_second(wind),
        degrees_to_radians(twa),
        boat_speed=knots_to_metres_per_second(speed),
    )
    axis = degrees_to_radians(plan.wind_from_deg)
    north = up * np.cos(axis) - across * np.sin(axis) + wander(rng, count, spread=1.0, memory_s=30.0)
    east = up * np.sin(axis) + across * np.cos(axis) + wander(rng, count, spread=1.0, memory_s=30.0)
    north_radius, east_radius = radii(np.full(count, plan.lat_deg))
    awa = radians_to_degrees(np.asarray(felt.angle)) + wander(rng, count, spread=2.0, memory_s=3.0)
    return {
        "lat": plan.lat_deg + radians_to_degrees(north / north_radius),
        "lon": plan.lon_deg + radians_to_degrees(east / east_radius),
        "sog": np.maximum(speed + 0.1 * rng.standard_normal(count), 0.0),
        "cog": wrap_degrees(course + 1.5 * rng.standard_normal(count)),
        "stw": np.maximum(speed + 0.08 * rng.standard_normal(count), 0.0),
        "hdg": wrap_degrees(heading + 0.7 * rng.standard_normal(count)),
        "awa": wrap_signed_degrees(awa),
        "aws": metres_per_second_to_knots(np.asarray(felt.speed)),
        "roll": roll + 0.4 * rng.standard_normal(count),
    }


def sentence(body: str) -> str:
    """Return a whole NMEA 0183 sentence: the checksum is the exclusive or of all characters of the body."""
    return f"${body}*{reduce(lambda sum_, one: sum_ ^ ord(one), body, 0):02X}"


def nmea_lines(sailed: Sailed) -> Iterator[str]:
    """Yield the sentences of an evening, one group a second."""
    columns = sailed.columns
    for row in range(columns["lat"].size):
        at = sailed.plan.start + timedelta(seconds=row)
        one = {name: float(values[row]) for name, values in columns.items()}
        lat, lon = _angle(one["lat"], "NS", 2), _angle(one["lon"], "EW", 3)
        yield sentence(
            f"GPRMC,{at:%H%M%S}.00,A,{lat},{lon},{one['sog']:.2f},{one['cog']:.1f},{at:%d%m%y},,,A"
        )
        yield sentence(f"HCHDT,{one['hdg']:.1f},T")
        yield sentence(f"IIVHW,,,,,{one['stw']:.2f},N,,")
        yield sentence(f"WIMWV,{one['awa'] % 360.0:.0f},R,{one['aws']:.1f},N,A")
        yield sentence(f"IIXDR,A,{one['roll']:.1f},D,ROLL")


def _angle(value: float, hemispheres: str, digits: int) -> str:
    """Return an angle as degrees and minutes with its hemisphere."""
    degrees, minutes = divmod(round(abs(value) * 60.0, 5), 60.0)
    return f"{int(degrees):0{digits}d}{minutes:08.5f},{hemispheres[0] if value >= 0 else hemispheres[1]}"


def spoil(lines: list[str], seed: int) -> list[str]:
    """Return the lines with a few damaged, as a loose plug would."""
    rng = np.random.default_rng(seed)
    out = list(lines)
    for place in rng.choice(len(lines), BAD_LINES, replace=False):
        line = out[int(place)]
        out[int(place)] = line[: len(line) // 2] + "~" + line[len(line) // 2 + 1 :]
    return out


def make_evening(plan: Plan | None = None) -> bytes:
    """Return the demo's evening as the bytes of a log."""
    wanted = plan or Plan()
    return ("\r\n".join(spoil(list(nmea_lines(sail(wanted))), wanted.seed)) + "\r\n").encode("ascii")


def main() -> None:
    """Write the example file."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--out", type=Path, default=EXAMPLE)
    parser.add_argument("--seed", type=int, default=Plan.seed)
    given = parser.parse_args()
    given.out.write_bytes(make_evening(replace(Plan(), seed=given.seed)))


if __name__ == "__main__":
    main()
