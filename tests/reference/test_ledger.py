"""The ledger, manoeuvre losses and heel against the truth of simulated races, and the arithmetic by hand."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from cringle.track.complete import complete
from cringle.track.debrief_race import Race, RaceOptions, race_of
from cringle.track.frozen_polar import FrozenPolar, sketch_polar
from cringle.track.heel_pattern import heel_pattern
from cringle.track.ledger import PARTS, SAILED, UPWIND, Baseline, LedgerRows, split
from cringle.track.manoeuvre import KINDS
from cringle.track.series import series_of
from cringle.track.sim_options import SimOptions, SimSensors
from cringle.track.simulate import SimBoat, simulate
from cringle.track.tacks import find_manoeuvres
from cringle.track.wind_estimate import estimate_wind
from cringle.track.wind_series import with_wind

SEEDS = (101, 102, 103, 104)
"""Held out: nothing was chosen by looking at these."""

SIMULATED = "truth of a simulated race with instruments, seeds held out"


@cache
def polar() -> FrozenPolar:
    return sketch_polar()


@cache
def races() -> tuple[tuple[SimBoat, Race], ...]:
    found = []
    for seed in SEEDS:
        options = SimOptions(boats=3, sensors=SimSensors(instruments=True))
        for boat in simulate(options, polar(), seed).boats:
            log = complete(series_of(boat.track()))
            wind = estimate_wind(log, polar=polar())
            assert wind is not None
            winded = with_wind(log, wind)
            turns = find_manoeuvres(winded)
            assert turns is not None
            found.append((boat, race_of(winded, wind, turns.manoeuvres, RaceOptions(polar()))))
    return tuple(found)


def test_total(outside):
    worst = max(
        abs(race.ledger.total.seconds / boat.truth.ledger_s["total"] - 1.0)
        for boat, race in races()
        if race.ledger
    )
    outside.within(
        id="L01",
        what="ledger total: largest error over 12 boats",
        got=worst,
        low=0.0,
        high=0.03,
        source=SIMULATED,
    )


@pytest.mark.parametrize("part", ["heel", "angle", "trim", "tack", "gybe"])
def test_parts(outside, part):
    """Each part within 15 % or 3 s; how many boats lie beyond is recorded, one in six at most."""
    got, beyond = [], 0
    for boat, race in races():
        assert race.ledger is not None
        if len(race.manoeuvres) != len(boat.truth.manoeuvres):
            continue
        true, mine = boat.truth.ledger_s[part], race.ledger.part(part).seconds
        got.append(mine - true)
        beyond += abs(mine - true) > max(3.0, 0.15 * abs(true))
    assert len(got) >= 8
    outside.within(
        id=f"L02-{part}",
        what=f"ledger part {part}: boats beyond 15 % and 3 s, of {len(got)}",
        got=beyond,
        low=0,
        high=len(got) // 6,
        source=SIMULATED,
    )


@pytest.mark.parametrize("kind", KINDS)
def test_mean_loss(outside, kind):
    true = [one.metres_lost for boat, _ in races() for one in boat.truth.manoeuvres if one.kind == kind]
    mine = [
        one.loss.metres_lost
        for _, race in races()
        for one in race.manoeuvres
        if one.loss.kind == kind and one.loss.metres_lost is not None
    ]
    outside.close(
        id=f"L03-{kind}",
        what=f"mean metres lost in a {kind}, {len(true)} of them",
        got=float(np.mean(mine)),
        expected=float(np.mean(true)),
        rtol=0.15,
        source=SIMULATED,
    )


def test_sum_identity(outside):
    """The parts are the total taken apart: by hand for random rows."""
    rng = np.random.default_rng(5)
    n = 2000
    rows = LedgerRows(
        wind_kn=rng.uniform(5.0, 20.0, n),
        angle_deg=rng.uniform(30.0, 60.0, n),
        speed_kn=rng.uniform(3.0, 6.0, n),
        heel_deg=rng.uniform(0.0, 30.0, n),
        kind=np.full(n, UPWIND, dtype=np.int8),
        leg=np.zeros(n, dtype=np.int64),
        charge=np.full(n, SAILED, dtype=np.int8),
    )
    found = split(rows, Baseline(polar()))
    target = polar().target(rows.wind_kn, upwind=True)
    base = polar().speed(rows.wind_kn, target.angle_deg, target.heel_deg) * np.cos(
        np.radians(target.angle_deg)
    )
    whole = float((1.0 - rows.speed_kn * np.cos(np.radians(rows.angle_deg)) / base).sum())
    outside.close(
        id="L04",
        what="sum of the ledger's parts against the seconds lost to windward",
        got=sum(found.by_part[name] for name in PARTS),
        expected=whole,
        atol=1e-6,
        source="seconds lost = sum of (1 - speed made good / target's), worked separately",
        kind="arithmetic",
    )


def test_welch_of_a_sine(outside):
    """A sine's period comes back from the spectrum."""
    found = heel_pattern(4.0 * np.sin(2.0 * np.pi * np.arange(1024.0) / 8.0))
    assert found is not None
    outside.close(
        id="L05",
        what="period of a sine of 8 s from its spectrum [s]",
        got=found.period_s,
        expected=8.0,
        rtol=1e-9,
        source="a sine has all its power at its own frequency (Welch 1967)",
        kind="arithmetic",
    )
