"""Wind, manoeuvres, legs and heel found in simulated logs against their truth, on seeds used nowhere else."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

from cringle.boat.read import read_book_files
from cringle.speed.model import SpeedModel
from cringle.track.circle import difference_deg
from cringle.track.debrief.race import RaceOptions, race_of
from cringle.track.frozen_polar import FrozenPolar, polar_of_model
from cringle.track.race.legs import find_legs
from cringle.track.race.structure import Structure
from cringle.track.reading.complete import Complete, complete
from cringle.track.reading.read import read_log
from cringle.track.sailing.heel import heel_summary
from cringle.track.series import Series, series_of
from cringle.track.simulator.options import SimCrew, SimOptions, SimSensors, SimWeather
from cringle.track.simulator.simulate import simulate
from cringle.track.simulator.truth import BoatTruth
from cringle.track.turns.tacks import Manoeuvre, find_manoeuvres
from cringle.track.wind.estimate import estimate_wind
from cringle.track.wind.series import FILE, WindSeries, with_wind
from cringle.track.wind.strength import Strength

EXAMPLES = Path(__file__).parents[2] / "examples"
LOGS = Path(__file__).parents[1] / "data" / "logs"
SEEDS = range(9000, 9020)
SOURCE = "the simulator's own truth; positions, speed and course over ground only go into the analysis"
LARGEST_LATE_S = 4.0

HARD = {
    "0.2 Hz": SimOptions(sensors=SimSensors(rate_hz=0.2)),
    "50 Hz": SimOptions(sensors=SimSensors(rate_hz=50.0)),
    "5 % of the time without fixes": SimOptions(sensors=SimSensors(dropped_share=0.05)),
    "log written backwards": SimOptions(sensors=SimSensors(clock="reversed")),
    "antimeridian": SimOptions(lat_deg=-17.0, lon_deg=179.999),
    "89.5 degrees north": SimOptions(lat_deg=89.5),
    "5 kn": SimOptions(weather=SimWeather(wind_kn=5.0)),
    "18 kn": SimOptions(weather=SimWeather(wind_kn=18.0)),
    "waves": SimOptions(sea="waves"),
    "a recall": SimOptions(recalls=1),
}


@dataclass(frozen=True)
class Analysed:
    """One simulated boat with what was found in her log."""

    truth: BoatTruth
    log: Complete
    wind: WindSeries
    found: tuple[Manoeuvre, ...]
    structure: Structure


@lru_cache(maxsize=1)
def demo_polar() -> FrozenPolar:
    files = read_book_files(EXAMPLES)
    return polar_of_model(SpeedModel.from_files(files.class_file, files.crew_file))


@lru_cache(maxsize=64)
def analysed(options: SimOptions, seed: int) -> Analysed:
    boat = simulate(options, demo_polar(), seed).boats[0]
    log = complete(series_of(boat.track()))
    wind = estimate_wind(log)
    assert wind is not None
    full = with_wind(log, wind)
    found = find_manoeuvres(full)
    assert found is not None
    return Analysed(boat.truth, full, wind, found.manoeuvres, find_legs(log, wind))


def wind_error(one: Analysed) -> np.ndarray:
    start = int((one.log.series.start - one.truth.start).total_seconds())
    first, last = (
        int((at - one.truth.start).total_seconds()) for at in (one.truth.gun, one.truth.legs[-1].end)
    )
    last = min(last, one.wind.rows + start)
    return np.asarray(
        difference_deg(one.wind.twd_deg[first - start : last - start], one.truth.twd_deg[first:last])
    )


def matched(one: Analysed) -> Iterator[tuple[object, float | None]]:
    """Yield each true manoeuvre with how late it was found (None: missed), then each invented one."""
    left = list(one.found)
    for true in one.truth.manoeuvres:
        near = [
            (abs((mine.at - true.time).total_seconds()), place)
            for place, mine in enumerate(left)
            if mine.kind == true.kind and abs((mine.at - true.time).total_seconds()) <= LARGEST_LATE_S
        ]
        late = (left.pop(min(near)[1]).at - true.time).total_seconds() if near else None
        yield true, late
    for mine in left:
        yield None, float((mine.at - one.truth.start).total_seconds())


def counts(races: list[Analysed]) -> tuple[float, float, list[float]]:
    """Return recall, precision and how late the found ones are."""
    pairs = [pair for one in races for pair in matched(one)]
    true = [late for what, late in pairs if what is not None]
    hit = [late for late in true if late is not None]
    invented = sum(what is None for what, _ in pairs)
    return len(hit) / len(true), len(hit) / max(len(hit) + invented, 1), hit


def test_twenty_races_at_ten_knots(outside) -> None:
    races = [analysed(SimOptions(), seed) for seed in SEEDS]
    rms = [float(np.sqrt((wind_error(one) ** 2).mean())) for one in races]
    outside.within(
        id="N01", what="true wind direction without instruments, RMS error of each of 20 races [deg]",
        got=rms, low=0.0, high=4.0, source=SOURCE, kind="simulation",
    )  # fmt: skip
    recall, precision, late = counts(races)
    outside.within(
        id="N02",
        what="tacks and gybes found: recall",
        got=recall,
        low=0.98,
        high=1.0,
        source=SOURCE,
        kind="simulation",
    )
    outside.within(
        id="N03",
        what="tacks and gybes found: precision",
        got=precision,
        low=0.98,
        high=1.0,
        source=SOURCE,
        kind="simulation",
    )
    outside.within(
        id="N04", what="time of each tack and gybe, found less true [s]",
        got=late, low=-2.0, high=2.0, source=SOURCE, kind="simulation",
    )  # fmt: skip
    late = [
        (mine.start_at - true.start).total_seconds()
        for one in races
        for mine, true in zip(one.structure.legs, one.truth.legs, strict=True)
    ]
    outside.within(
        id="N07",
        what="start and roundings, found less true [s]",
        got=late,
        low=-10.0,
        high=10.0,
        source=SOURCE,
        kind="simulation",
    )


def test_hard_logs(outside) -> None:
    for number, (name, options) in enumerate(HARD.items(), start=1):
        races = [analysed(options, seed) for seed in list(SEEDS)[:3]]
        rms = [float(np.sqrt((wind_error(one) ** 2).mean())) for one in races]
        recall, precision, late = counts(races)
        outside.within(
            id=f"N1{number - 1}", what=f"{name}: RMS of the direction in three races [deg]",
            got=rms, low=0.0, high=4.0, source=SOURCE, kind="simulation",
        )  # fmt: skip
        outside.within(
            id=f"N2{number - 1}", what=f"{name}: recall, precision of tacks and gybes",
            got=[recall, precision], low=0.95, high=1.0, source=SOURCE, kind="simulation",
        )  # fmt: skip
        outside.within(
            id=f"N3{number - 1}", what=f"{name}: how late they are found [s]",
            got=late, low=-4.0, high=4.0, source=SOURCE, kind="simulation",
        )  # fmt: skip


def heel_above_target(options: SimOptions, seed: int) -> float:
    """Return what the debrief says of heel on the beats: above the target of each minute's wind [deg]."""
    boat = simulate(options, demo_polar(), seed).boats[0]
    log = complete(series_of(boat.track()))
    rows = range(0, boat.truth.tws_kn.size, 5)
    times = tuple(boat.truth.start + timedelta(seconds=row) for row in rows)
    record = Strength(times, tuple(float(boat.truth.tws_kn[row]) for row in rows), 1.0, FILE)
    wind = estimate_wind(log, polar=demo_polar(), strength=record)
    assert wind is not None
    full = with_wind(log, wind)
    found = find_manoeuvres(full)
    assert found is not None
    heel = race_of(full, wind, found.manoeuvres, RaceOptions(demo_polar())).heel
    assert heel is not None and heel.upwind is not None
    return heel.upwind.error_mean_deg


@pytest.mark.parametrize("bias", [-1.0, 0.0, 3.0, 5.0])
def test_injected_heel_is_recovered(outside, bias: float) -> None:
    options = SimOptions(crew=SimCrew(heel_bias_deg=bias))
    got = [heel_above_target(options, seed) for seed in list(SEEDS)[:6]]
    outside.close(
        id=f"N4{[-1.0, 0.0, 3.0, 5.0].index(bias)}",
        what=f"heel above the target injected on beats, {bias:g} deg, six races [deg]",
        got=got, expected=[bias] * 6, atol=0.5, source=SOURCE, kind="simulation",
    )  # fmt: skip


def test_a_heel_sensor_the_wrong_way_round_is_found_out(outside) -> None:
    turned = []
    for sign in (1, -1):
        options = SimOptions(
            weather=SimWeather(wind_kn=12.0),
            crew=SimCrew(heel_bias_deg=2.0),
            sensors=SimSensors(heel_sign=sign),
        )
        summary = heel_summary(analysed(options, 9001).log.series)
        assert summary is not None
        turned.append(summary.sign_turned)
    outside.true(
        id="N45", what="a heel sensor with the wrong sign is told from one with the right sign",
        ok=turned == [False, True], got=str(turned), source=SOURCE, kind="simulation",
    )  # fmt: skip


def blind(series: Series) -> Complete:
    """Return a log with positions, speed and course over ground only."""
    nothing = np.full(series.rows, np.nan)
    names = ("hdg", "hdg_mag", "awa", "aws", "twa", "tws", "twd", "stw")
    return complete(replace(series, **dict.fromkeys(names, nothing)))


def test_recorded_logs_without_their_instruments(outside) -> None:
    told = {}
    for name in (
        "upwind-tacks-2008.log",
        "reach-heel-2018.log",
        "malformed-xdr-2014.log",
        "lossy-line-2016.nmea",
    ):
        log = read_log(LOGS / name)
        told[name] = estimate_wind(blind(series_of(log.track, log.side))) is not None
    outside.true(
        id="N50",
        what="recorded reaches and a mooring, instruments left out: no direction is claimed",
        ok=not any(told.values()),
        got=", ".join(f"{name}: {'a direction' if one else 'none'}" for name, one in told.items()),
        source="recorded logs (see tests/data/logs/README.md); reaches from side to side, a mooring",
    )
