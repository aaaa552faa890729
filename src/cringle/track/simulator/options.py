"""What a simulated race shall be like; every number is an option, and the truth says what was used."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import UTC, datetime
from typing import Any, Final

from cringle.errors import InputError, OutOfRangeError

MOST_BOATS: Final = 500
MOST_LAPS: Final = 30


@dataclass(frozen=True)
class SimWeather:
    """Wind and stream.

    Parameters
    ----------
    wind_kn, wind_from_deg : float
        Mean true wind at 10 m and where it comes from.
    swing_deg, swing_s : float
        Amplitude and period of the wind's oscillation.
    wander_deg, wander_s : float
        Standard deviation and memory of what the direction does besides.
    gust_share, gust_s : float
        Standard deviation of the strength over its mean, and its memory.
    own_gust_share : float
        Part of the gusts' variance that each boat has for herself.
    shift_deg : float
        Lasting shift from the first second to the last, clockwise positive.
    stream_kn, stream_to_deg : float
        Water's own motion over ground.
    """

    wind_kn: float = 10.0
    wind_from_deg: float = 225.0
    swing_deg: float = 10.0
    swing_s: float = 480.0
    wander_deg: float = 1.5
    wander_s: float = 30.0
    gust_share: float = 0.15
    gust_s: float = 40.0
    own_gust_share: float = 0.3
    shift_deg: float = 0.0
    stream_kn: float = 0.0
    stream_to_deg: float = 90.0


@dataclass(frozen=True)
class SimCrew:
    """How the boats are sailed; lengths in s are memories of noise, spreads are standard deviations.

    Parameters
    ----------
    helm_deg, helm_s : float
        Steering error of the angle to the wind.
    habit_deg, habit_s : float
        Slower departure from the target angle.
    angle_bias_deg : float
        How much wider than the target angle the boats sail all the time.
    heel_sd_deg, heel_s : float
        Wander of the heel.
    heel_bias_deg : float or None
        Heel above the target; None draws one for each boat between -1 and 5.
    gust_heel_deg_per_kn : float
        Heel added by each knot of a gust above the mean of the last minute.
    trim_loss, trim_sd, trim_s : float
        Share of the speed lost to trim: mean, spread, memory.
    tack_loss_m, gybe_loss_m : tuple of float
        Range of metres lost to windward in a tack, to leeward in a gybe.
    set_loss_m, drop_loss_m : tuple of float
        Range of metres lost to leeward by hoisting the kite, and by taking it down before a beat.
    board_s : tuple of float
        Shortest and longest time between two tacks or gybes.
    overstand_m : float
        Boats go up to so far past the layline.
    flow_jump_deg, flow_heel_deg, flow_speed_share, flow_leeway_deg, flow_s : float
        Loss of the flow on the keel: a heel that grows by `flow_jump_deg` within two seconds to more than
        `flow_heel_deg` over the target costs this share of speed and adds this leeway, both dying away with
        the memory `flow_s` (common practice, no source).
    """

    helm_deg: float = 3.0
    helm_s: float = 8.0
    habit_deg: float = 2.0
    habit_s: float = 120.0
    angle_bias_deg: float = 0.0
    heel_sd_deg: float = 3.0
    heel_s: float = 6.0
    heel_bias_deg: float | None = None
    gust_heel_deg_per_kn: float = 0.8
    trim_loss: float = 0.03
    trim_sd: float = 0.015
    trim_s: float = 60.0
    tack_loss_m: tuple[float, float] = (8.0, 20.0)
    gybe_loss_m: tuple[float, float] = (5.0, 15.0)
    set_loss_m: tuple[float, float] = (6.0, 16.0)
    drop_loss_m: tuple[float, float] = (3.0, 9.0)
    board_s: tuple[float, float] = (60.0, 150.0)
    overstand_m: float = 15.0
    flow_jump_deg: float = 5.0
    flow_heel_deg: float = 4.0
    flow_speed_share: float = 0.08
    flow_leeway_deg: float = 3.0
    flow_s: float = 5.0


@dataclass(frozen=True)
class SimSensors:
    """What is recorded and how well.

    Parameters
    ----------
    rate_hz : float
        Fixes a second, 0.1 to 50.
    gps_drift_m, gps_drift_s, gps_noise_m : float
        Slow error of the position with its memory, and the error from fix to fix.
    gps_speed_m_per_s : float
        Error of each component of the speed over ground.
    heel_noise_deg, heel_offset_deg : float
        Error of the heel sensor from reading to reading, and its mounting error (starboard down positive).
    heel : bool
        Whether heel is recorded.
    heel_sign : int
        -1 for a sensor that counts the wrong way round.
    instruments : bool
        Whether heading, speed through the water and apparent wind are recorded too.
    dropped_share, drop_s : float
        Share of the time without fixes, and the mean length of a pause.
    wind_record_s, wind_record_kn : float
        A chase boat beside her reads the wind every so many seconds, with this error; 0 s for no record.
    clock : str
        ``good``, ``jump`` (the stamps leap ahead by an hour half way), ``back`` (they step back by two
        seconds twice) or ``reversed`` (the file is written last fix first).
    """

    rate_hz: float = 5.0
    gps_drift_m: float = 1.5
    gps_drift_s: float = 30.0
    gps_noise_m: float = 0.1
    gps_speed_m_per_s: float = 0.05
    heel_noise_deg: float = 0.3
    heel_offset_deg: float = 0.0
    heel: bool = True
    heel_sign: int = 1
    instruments: bool = False
    dropped_share: float = 0.0
    drop_s: float = 3.0
    wind_record_s: float = 5.0
    wind_record_kn: float = 0.2
    clock: str = "good"


CLOCKS: Final = ("good", "jump", "back", "reversed")
SEAS: Final = ("flat", "chop", "waves")
SEA_HEEL_FACTOR: Final = {"flat": 1.0, "chop": 1.0, "waves": 1.4}
SEA_HELM_FACTOR: Final = {"flat": 0.8, "chop": 1.0, "waves": 1.4}
"""A rougher sea makes heel and helm wander more (judgement); its drag is in the polar."""


@dataclass(frozen=True)
class SimOptions:
    """A windward-leeward race of several boats.

    Parameters
    ----------
    boats, laps : int
        How many boats, and how often up and down.
    leg_m : float
        From the start line to the windward mark, along the mean wind.
    offset_m : float
        From the windward mark to the offset mark; 0 for none.
    finish : str
        ``down`` at the start line, or ``up`` at the windward mark.
    recalls : int
        General recalls before the race.
    dock_s, tow_s, wait_s, after_s : float
        At the dock, towed out, waiting for the start, adrift after the finish.
    lat_deg, lon_deg : float
        Middle of the start line.
    start : datetime
        First second of the log, UTC.
    sea : str
        ``flat``, ``chop`` or ``waves``.
    weather, crew, sensors : SimWeather, SimCrew, SimSensors
        Wind and stream; how the boats are sailed; what is recorded.

    Raises
    ------
    InputError, OutOfRangeError
        A number makes no sense; the message says which are accepted.
    """

    boats: int = 1
    laps: int = 2
    leg_m: float = 1000.0
    offset_m: float = 60.0
    finish: str = "down"
    recalls: int = 0
    dock_s: float = 60.0
    tow_s: float = 120.0
    wait_s: float = 180.0
    after_s: float = 90.0
    lat_deg: float = 54.2
    lon_deg: float = -5.0
    start: datetime = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)
    sea: str = "chop"
    weather: SimWeather = SimWeather()
    crew: SimCrew = SimCrew()
    sensors: SimSensors = SimSensors()

    def __post_init__(self) -> None:
        for name, value, low, high, unit in (
            ("boats", self.boats, 1, MOST_BOATS, ""),
            ("laps", self.laps, 1, MOST_LAPS, ""),
            ("leg", self.leg_m, 300.0, 20_000.0, "m"),
            ("offset", self.offset_m, 0.0, 300.0, "m"),
            ("recalls", self.recalls, 0, 5, ""),
            ("latitude", self.lat_deg, -89.9, 89.9, "deg"),
            ("wind", self.weather.wind_kn, 4.0, 24.0, "kn"),
            ("swing", self.weather.swing_deg, 0.0, 40.0, "deg"),
            ("gusts", self.weather.gust_share, 0.0, 0.4, ""),
            ("rate", self.sensors.rate_hz, 0.1, 50.0, "Hz"),
            ("dropped share", self.sensors.dropped_share, 0.0, 0.8, ""),
        ):
            if not low <= value <= high:
                raise OutOfRangeError(name, value, low, high, unit=unit)
        for name, word, accepted in (
            ("clock", self.sensors.clock, CLOCKS),
            ("finish", self.finish, ("down", "up")),
            ("sea", self.sea, SEAS),
        ):
            if word not in accepted:
                raise InputError(f"{name}: found {word!r}", next_step=f"use one of: {', '.join(accepted)}")
        if self.start.tzinfo is None:
            raise InputError("the start has no time zone", next_step="give it in UTC")

    def to_json(self) -> dict[str, Any]:
        """Return every option as plain values."""
        own = {
            one.name: getattr(self, one.name)
            for one in fields(self)
            if one.name not in {"weather", "crew", "sensors", "start"}
        }
        parts = {name: dict(vars(getattr(self, name))) for name in ("weather", "crew", "sensors")}
        return {**own, "start": self.start.isoformat(), **parts}
