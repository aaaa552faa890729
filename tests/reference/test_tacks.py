"""Tacks read from the signals of real logs, and distances against an independent geodesic library."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from cringle.track.debrief.debrief import Debrief, debrief
from cringle.track.debrief.known import beside, magnetic_deg, read_noted
from cringle.track.distance import steps, travelled
from cringle.track.reading.read import TrackLog, read_log

LOGS = Path(__file__).parents[1] / "data" / "logs"
SIGNALS = (
    "recorded log upwind-tacks-2008 (Apache-2.0); six tacks read by hand from apparent wind and compass, "
    "windows 45 to 20 s before and 20 to 45 s after"
)
GEODESIC = "geographiclib (C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87, 2013)"


@pytest.fixture(scope="module")
def upwind_log() -> TrackLog:
    return read_log(LOGS / "upwind-tacks-2008.log")


@pytest.fixture(scope="module")
def upwind(upwind_log: TrackLog) -> Debrief:
    return debrief(upwind_log, name="upwind-tacks-2008.log")


def test_the_six_tacks(outside, upwind: Debrief) -> None:
    pairs = beside(upwind, read_noted(LOGS / "upwind-tacks-2008-tacks.csv"))
    both = [pair for pair in pairs if pair.noted is not None and pair.found is not None]
    counts = [len(both), len(pairs) - len(both), upwind.gybes]
    outside.close(
        id="D01",
        what="tacks found as noted; missed or invented; gybes (the first five are turns from reach to reach)",
        got=counts,
        expected=[6, 0, 0],
        source=SIGNALS,
    )
    outside.within(
        id="D02",
        what="time of each tack, found less noted [s]",
        got=[pair.late_s for pair in both],
        low=-10.0,
        high=10.0,
        source=SIGNALS,
    )
    variation = upwind.log.magnetic_variation_deg
    for number, name, tolerance in (
        ("D03", "heading_before", 3.0),
        ("D04", "heading_after", 3.0),
        ("D05", "awa_before", 5.0),
        ("D06", "awa_after", 5.0),
    ):
        got = [getattr(pair.found, f"{name}_deg") for pair in both]
        is_heading = name.startswith("heading")
        if is_heading:
            got = [magnetic_deg(one, variation) for one in got]
        column = f"{name}_mag_deg" if is_heading else f"{name}_deg"
        outside.close(
            id=number,
            what=f"{name.replace('_', ' ')} each tack [deg{' magnetic' if is_heading else ''}]",
            got=got,
            expected=[pair.noted.numbers[column] for pair in both if pair.noted],
            atol=tolerance,
            source=SIGNALS,
        )
    for number, name in (("D07", "stw_before_kn"), ("D08", "stw_lowest_kn"), ("D09", "sog_lowest_kn")):
        outside.close(
            id=number,
            what=f"{name.removesuffix('_kn').replace('_', ' ')} each tack [kn]",
            got=[getattr(pair.found, name) for pair in both],
            expected=[pair.noted.numbers[name] for pair in both if pair.noted],
            atol=0.1,
            source=SIGNALS,
        )


def test_heading_up_by_45_degrees_is_no_tack(outside, upwind: Debrief) -> None:
    near = [one for one in upwind.manoeuvres or () if one.at.strftime("%H:%M") in {"20:03", "20:04", "20:05"}]
    outside.true(
        id="D10",
        what="at 20:04:00 the boat heads up 45 degrees on one side: no tack",
        ok=not near,
        got=f"{len(near)} found from 20:03 to 20:05",
        source=SIGNALS,
    )


def test_no_tack_is_invented_under_engine(outside) -> None:
    found = debrief(read_log(LOGS / "motoring-2014.log", date=date(2014, 6, 1)), name="motoring")
    outside.close(
        id="D11",
        what="tacks and gybes in four hours under engine (the wind's angle changes sign hundreds of times)",
        got=[found.tacks, found.gybes],
        expected=[0, 0],
        source="recorded log motoring-2014 (Apache-2.0); no manoeuvre under sail by its signals",
    )


def test_no_manoeuvre_on_a_steady_reach_or_at_the_mooring(outside) -> None:
    counts = []
    for name in ("reach-heel-2018.log", "malformed-xdr-2014.log"):
        found = debrief(read_log(LOGS / name), name=name)
        counts += [found.tacks, found.gybes, len(found.turns)]
    outside.close(
        id="D12",
        what="tacks, gybes and turns on a steady reach, then at the mooring",
        got=counts,
        expected=[0] * 6,
        source="recorded logs reach-heel-2018 (BSD-2-Clause) and malformed-xdr-2014 (Apache-2.0)",
    )


def test_wind_on_the_reach_agrees_with_the_instruments(outside) -> None:
    log = read_log(LOGS / "reach-heel-2018.log")
    kept = {name: table for name, table in log.side.items() if name not in {"true_wind", "wind_direction"}}
    blind = TrackLog(
        log.track.with_columns(*(log.track[name] * None for name in ("twa", "tws", "twd"))), kept, log.report
    )
    ours, theirs = debrief(blind, name="x").wind, debrief(log, name="x").wind
    assert ours is not None
    assert theirs is not None
    source = "the instruments' own true wind in recorded log reach-heel-2018 (MWV T, MWD)"
    outside.close(
        id="D13",
        what="mean true wind speed worked out from apparent wind and log [kn]",
        got=ours.tws_mean_kn,
        expected=theirs.tws_mean_kn,
        atol=0.5,
        source=source,
    )
    outside.close(
        id="D14",
        what="mean true wind direction worked out [deg]",
        got=ours.twd_mean_deg,
        expected=theirs.twd_mean_deg,
        atol=3.0,
        source=source,
    )


def test_distance_along_a_real_log(outside, upwind_log: TrackLog) -> None:
    lat, lon = (upwind_log.track[name].to_numpy() for name in ("lat", "lon"))
    legs = [
        Geodesic.WGS84.Inverse(lat[i], lon[i], lat[i + 1], lon[i + 1])["s12"] for i in range(lat.size - 1)
    ]
    seconds = np.arange(lat.size) * 2.0
    outside.close(
        id="D15",
        what="distance along the fixes of upwind-tacks-2008, without its one jump of 214 m [m]",
        got=travelled(seconds, lat, lon, longest_step_s=10.0).sailed,
        expected=sum(legs) - max(legs),
        rtol=1e-6,
        source=GEODESIC,
    )


def test_a_step_of_a_kilometre(outside) -> None:
    rng = np.random.default_rng(11)
    got, expected = [], []
    for lat, lon, bearing in zip(
        rng.uniform(-75, 75, 200), rng.uniform(-180, 180, 200), rng.uniform(0, 360, 200), strict=True
    ):
        end = Geodesic.WGS84.Direct(lat, lon, bearing, 1000.0)
        got.append(float(steps(np.array([lat, end["lat2"]]), np.array([lon, end["lon2"]])).length[0]))
        expected.append(1000.0)
    outside.close(
        id="D16",
        what="local formula for a step of 1 km, 200 places to 75 degrees of latitude [m]",
        got=got,
        expected=expected,
        rtol=2e-6,
        source=GEODESIC,
    )


def test_one_minute_at_sixty_north(outside) -> None:
    north = steps(np.array([60.0, 60.0 + 1 / 60]), np.array([24.0, 24.0])).length[0]
    east = steps(np.array([60.0, 60.0]), np.array([24.0, 24.0 + 1 / 60])).length[0]
    outside.close(
        id="D17",
        what="one minute of latitude and of longitude at 60 N 24 E [m]",
        got=[north, east],
        expected=[1856.873818, 930.000024],
        rtol=1e-6,
        source=f"{GEODESIC}, and PROJ 9.5.1 through pyproj, agreeing to 2e-9 m",
    )
