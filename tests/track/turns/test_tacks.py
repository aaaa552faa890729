"""Tacks and gybes on invented evenings with known truth, and on signals that must give none."""

from datetime import UTC, datetime
from types import ModuleType

import numpy as np
import polars as pl
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.track.frozen_polar import sketch_polar
from cringle.track.reading.complete import Complete, complete
from cringle.track.series import series_of
from cringle.track.simulator.options import SimOptions, SimSensors
from cringle.track.simulator.simulate import simulate
from cringle.track.turns.tacks import Found, find_manoeuvres, manoeuvre_at
from cringle.track.wind.estimate import estimate_wind
from cringle.track.wind.series import with_wind
from cringle.units import wrap_degrees, wrap_signed_degrees

START = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)
MATCH_S = 10.0


def log_of(columns: dict[str, np.ndarray], step: int = 1) -> Complete:
    rows = len(next(iter(columns.values())))
    time = pl.datetime_range(
        START, START.replace(day=18), interval="1s", time_unit="us", time_zone="UTC", eager=True
    )
    table = pl.DataFrame({"time": time[:rows], **columns}).gather_every(step)
    return complete(series_of(table))


def random_evening(evenings: ModuleType, seed: int):
    rng = np.random.default_rng(seed)
    plan = evenings.Plan(
        seed=seed,
        start=START,
        wind_kn=float(rng.uniform(5.0, 20.0)),
        wind_from_deg=float(rng.uniform(0.0, 360.0)),
        upwind_deg=float(rng.uniform(38.0, 48.0)),
        downwind_deg=float(rng.uniform(135.0, 165.0)),
        swing_deg=float(rng.uniform(3.0, 12.0)),
        board_s=(55.0, float(rng.uniform(80.0, 200.0))),
    )
    return evenings.sail(plan)


def score(found: Found, truth: tuple[tuple[int, str], ...]) -> tuple[int, int, int]:
    """Return matched, missed and invented manoeuvres."""
    left = [((one.at - START).total_seconds(), one.kind) for one in found.manoeuvres]
    matched = 0
    for second, kind in truth:
        near = [one for one in left if one[1] == kind and abs(one[0] - second) <= MATCH_S]
        if near:
            left.remove(near[0])
            matched += 1
    return matched, len(truth) - matched, len(left)


@pytest.mark.parametrize(
    ("step", "vane_deg", "without"),
    [(1, 0.0, ()), (1, 5.0, ()), (1, -5.0, ()), (5, 0.0, ()), (1, 0.0, ("hdg",)), (1, 0.0, ("stw", "hdg"))],
    ids=["1 s", "vane 5 right", "vane 5 left", "5 s", "no compass", "GPS and wind only"],
)
def test_recall_and_precision(
    evenings: ModuleType, step: int, vane_deg: float, without: tuple[str, ...]
) -> None:
    totals = np.zeros(3, dtype=int)
    for seed in range(100, 108):
        sailed = random_evening(evenings, seed)
        columns = {name: values for name, values in sailed.columns.items() if name not in without}
        columns["awa"] = wrap_signed_degrees(columns["awa"] + vane_deg)
        found = find_manoeuvres(log_of(columns, step))
        assert found is not None
        totals += score(found, sailed.manoeuvres)
    matched, missed, invented = totals
    assert matched > 80
    assert matched / (matched + missed) >= 0.98
    assert matched / (matched + invented) >= 0.98


def straight(rows: int = 600, **changed: np.ndarray | float) -> dict[str, np.ndarray]:
    """Return a boat on a straight course, wind as given."""
    values = {"hdg": 90.0, "cog": 90.0, "sog": 6.0, "stw": 6.0, "aws": 12.0, "awa": 40.0, **changed}
    return {name: np.full(rows, 1.0) * value for name, value in values.items()}


def test_under_engine_with_the_wind_swinging_over_the_bow_there_is_none() -> None:
    clock = np.arange(1800)
    angle = 35.0 * np.sign(np.sin(2.0 * np.pi * clock / 180.0)) + 3.0 * np.sin(clock)
    found = find_manoeuvres(log_of(straight(1800, awa=angle)))
    assert found is not None
    assert found.manoeuvres == ()
    assert sum(found.refused.values()) == 19
    assert set(found.refused) == {"hardly_turned"}


def test_at_the_mooring_with_the_boat_swinging_there_is_none() -> None:
    clock = np.arange(1800)
    swing = 50.0 * np.sign(np.sin(2.0 * np.pi * clock / 240.0))
    still = straight(1800, awa=swing, hdg=wrap_degrees(90.0 - swing), sog=0.1, stw=0.0)
    found = find_manoeuvres(log_of(still))
    assert found is not None
    assert found.manoeuvres == ()
    assert found.refused == {"not_sailing": 14}


def test_a_turn_while_the_wind_goes_the_other_way_is_none() -> None:
    half = np.repeat([0.0, 1.0], 300)
    columns = straight(awa=np.where(half > 0, -60.0, 60.0), hdg=np.where(half > 0, 20.0, 90.0))
    columns["cog"] = columns["hdg"]
    found = find_manoeuvres(log_of(columns))
    assert found is not None
    assert found.refused == {"wind_moved": 1}


def test_heading_up_and_bearing_away_again_is_none() -> None:
    ramp = np.concatenate(
        [np.full(200, 68.0), np.linspace(68, 36, 20), np.full(200, 36.0), np.full(180, 68.0)]
    )
    columns = straight(awa=ramp, hdg=158.0 - ramp)
    found = find_manoeuvres(log_of(columns))
    assert found is not None
    assert found.manoeuvres == ()
    assert found.refused == {}


def test_in_irons_for_a_minute_is_none() -> None:
    angle = np.concatenate([np.full(200, 40.0), np.linspace(8.0, -8.0, 60), np.full(200, -40.0)])
    columns = straight(460, awa=angle, hdg=wrap_degrees(130.0 - 1.6 * angle))
    found = find_manoeuvres(log_of(columns))
    assert found is not None
    assert found.refused == {"crossing_too_long": 1}


@pytest.mark.parametrize(("size", "kind"), [(150.0, "gybe"), (100.0, "tack"), (60.0, "tack")])
def test_the_kind_is_told_by_bow_or_stern_not_by_the_size_of_the_turn(size: float, kind: str) -> None:
    """From reach to reach a boat turns as far either way."""
    over_stern = kind == "gybe"
    swing = np.linspace(size, 360.0 - size, 12) if over_stern else np.linspace(size, -size, 12)
    angle = np.concatenate([np.full(120, size), swing, np.full(120, -size)])
    unwound = np.concatenate([np.full(120, size), swing, np.full(120, 360.0 - size if over_stern else -size)])
    columns = straight(
        angle.size, awa=wrap_signed_degrees(angle), hdg=wrap_degrees(200.0 - unwound), aws=25.0
    )
    columns["cog"] = columns["hdg"]
    found = find_manoeuvres(log_of(columns))
    assert found is not None
    (one,) = found.manoeuvres
    assert one.kind == kind
    assert_allclose(one.turn_deg, unwound[0] - unwound[-1], atol=1e-6)
    assert_allclose([one.awa_before_deg, one.awa_after_deg], [size, -size], atol=1e-6)


@pytest.mark.parametrize(("turn", "kind"), [(170.0, "tack"), (-190.0, "gybe")])
def test_readings_too_rare_to_tell_bow_from_stern_leave_it_to_the_turn(turn: float, kind: str) -> None:
    angle = np.concatenate([np.full(100, 85.0), np.full(100, -85.0)])
    heading = np.concatenate(
        [np.full(90, 90.0), np.linspace(90.0, 90.0 + turn, 20), np.full(90, 90.0 + turn)]
    )
    columns = straight(200, awa=angle, hdg=wrap_degrees(heading), aws=40.0)
    found = find_manoeuvres(log_of(columns))
    assert found is not None
    assert [one.kind for one in found.manoeuvres] == [kind]


def test_an_engine_alone_can_hold_the_wind_so_near_the_bow() -> None:
    """Six knots under engine with the true wind 23 degrees either side, and a turn through it."""
    angle = np.concatenate([np.full(100, 12.0), np.full(100, -12.0)])
    columns = straight(200, awa=angle, hdg=np.where(angle > 0, 90.0, 137.0))
    found = find_manoeuvres(log_of(columns))
    assert found is not None
    assert found.refused == {"too_near_the_bow": 1}


def test_exact_zeros_in_the_tack_do_not_hide_it() -> None:
    angle = np.concatenate([np.full(100, 35.0), [20.0, 0.0, 0.0, 0.0, -20.0], np.full(100, -35.0)])
    columns = straight(angle.size, awa=angle, hdg=wrap_degrees(90.0 - 1.3 * angle))
    found = find_manoeuvres(log_of(columns))
    assert found is not None
    assert [one.kind for one in found.manoeuvres] == ["tack"]
    assert abs((found.manoeuvres[0].at - START).total_seconds() - 102.0) <= 1.0


def test_speeds_of_one_tack() -> None:
    angle = np.concatenate([np.full(100, 35.0), np.linspace(30.0, -30.0, 8), np.full(100, -35.0)])
    speed = np.concatenate(
        [np.full(100, 6.0), np.linspace(5.0, 3.2, 8), np.linspace(3.2, 6.2, 20), np.full(80, 6.2)]
    )
    columns = straight(
        angle.size, awa=angle, hdg=wrap_degrees(90.0 - 1.3 * angle), stw=speed, sog=speed + 0.5
    )
    (one,) = find_manoeuvres(log_of(columns)).manoeuvres  # type: ignore[union-attr]
    assert_allclose([one.stw_before_kn, one.stw_lowest_kn], [6.0, 3.2])
    assert_allclose([one.sog_before_kn, one.sog_lowest_kn], [6.5, 3.7])
    assert_allclose([one.heading_before_deg, one.heading_after_deg], [44.5, 135.5], atol=1e-6)


def test_two_tacks_close_together_are_both_found() -> None:
    ramp = np.linspace(30.0, -30.0, 8)
    angle = np.concatenate([np.full(90, 35.0), ramp, np.full(30, -35.0), -ramp, np.full(90, 35.0)])
    columns = straight(angle.size, awa=angle, hdg=wrap_degrees(90.0 - 1.3 * angle))
    found = find_manoeuvres(log_of(columns))
    assert found is not None
    assert [one.kind for one in found.manoeuvres] == ["tack", "tack"]
    assert_allclose(found.manoeuvres[1].awa_before_deg, -35.0, atol=3.0)


def test_without_wind_nothing_is_said() -> None:
    columns = straight()
    del columns["awa"], columns["aws"]
    assert find_manoeuvres(log_of(columns)) is None


def test_true_wind_angle_serves_where_there_is_no_apparent_wind(evenings: ModuleType) -> None:
    sailed = random_evening(evenings, 7)
    columns = {name: values for name, values in sailed.columns.items() if name not in {"aws", "awa"}}
    columns["twa"] = sailed.columns["awa"] * 1.2
    columns["twa"] = np.clip(columns["twa"], -170.0, 170.0)
    found = find_manoeuvres(log_of(columns))
    assert found is not None
    matched, missed, invented = score(found, sailed.manoeuvres)
    assert (missed, invented) == (0, 0)
    assert matched == len(sailed.manoeuvres)


@pytest.mark.parametrize("instruments", [True, False])
def test_with_a_fifth_of_the_fixes_missing(instruments: bool) -> None:
    sensors = SimSensors(rate_hz=5.0, instruments=instruments, dropped_share=0.2)
    found = missed = wrong = 0
    for seed in range(60, 66):
        boat = simulate(SimOptions(sensors=sensors), sketch_polar(), seed).boats[0]
        log = complete(series_of(boat.track()))
        wind = estimate_wind(log, polar=sketch_polar())
        assert wind is not None
        left = list(find_manoeuvres(with_wind(log, wind)).manoeuvres)
        for one in boat.truth.manoeuvres:
            near = [
                each
                for each in left
                if each.kind == one.kind and abs((each.at - one.time).total_seconds()) <= MATCH_S
            ]
            found, missed = found + bool(near), missed + (not near)
            if near:
                left.remove(near[0])
        wrong += len(left)
    assert found + missed > 100
    assert found / (found + missed) >= 0.98
    assert found / (found + wrong) >= 0.98


def test_one_that_a_person_saw_is_measured_like_one_found() -> None:
    boat = simulate(SimOptions(sensors=SimSensors(rate_hz=1.0, instruments=True)), sketch_polar(), 61).boats[
        0
    ]
    log = complete(series_of(boat.track()))
    tack = next(one for one in find_manoeuvres(log).manoeuvres if one.kind == "tack")
    seen = manoeuvre_at(log, tack.at, kind="tack")
    assert (seen.at, seen.kind, seen.stw_before_kn) == (tack.at, "tack", tack.stw_before_kn)
    assert_allclose(
        [seen.turn_deg, seen.awa_before_deg, seen.awa_after_deg],
        [tack.turn_deg, tack.awa_before_deg, tack.awa_after_deg],
        atol=8.0,
    )
    for outside in (log.series.start, log.series.at(log.series.rows + 60)):
        with pytest.raises(InputError, match="a gybe cannot be measured there"):
            manoeuvre_at(log, outside, kind="gybe")
