"""Whatever a log holds, a debrief is made, is JSON, and makes a page; or the refusal says what to do."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta

import numpy as np
import polars as pl
from hypothesis import given, settings
from hypothesis import strategies as st

from cringle.errors import InputError
from cringle.track.debrief.as_json import as_json
from cringle.track.debrief.debrief import DebriefOptions, debrief
from cringle.track.reading.read import TrackLog
from cringle.track.reading.report import ReadReport
from cringle.track.sailing.heel import HeelBand
from cringle.track.schema import DIRECTIONS, SIGNED_ANGLES, TRACK_SCHEMA

START = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)
BANDS = {"upwind": HeelBand(10.0, 14.0, "given")}


def values(name: str, rng: np.random.Generator, rows: int) -> np.ndarray:
    """Return plausible, constant or wild values, with gaps."""
    spans = {"lat": (-90.0, 90.0), "lon": (-180.0, 180.0), "roll": (-90.0, 90.0)}
    low, high = spans.get(name, (0.0, 60.0))
    if name in DIRECTIONS:
        low, high = 0.0, 359.9
    if name in SIGNED_ANGLES:
        low, high = -179.9, 180.0
    style = rng.integers(3)
    if style == 0:
        out = np.full(rows, rng.uniform(low, high))
    elif style == 1:
        out = rng.uniform(low, high, rows)
    else:
        out = np.clip(rng.uniform(low, high) + np.cumsum(rng.standard_normal(rows)), low, high)
    out[rng.random(rows) < rng.choice([0.0, 0.3, 1.0])] = np.nan
    return out


def random_log(seed: int, rows: int) -> TrackLog:
    rng = np.random.default_rng(seed)
    pace = rng.choice([0.05, 1.0, 5.0, 40.0, 5000.0])
    steps = rng.choice([pace, pace, pace, 7.0 * pace], rows)
    columns = {
        name: values(name, rng, rows) for name in TRACK_SCHEMA if name != "time" and rng.random() < 0.7
    }
    time = [START + timedelta(seconds=float(one)) for one in np.cumsum(steps)]
    table = pl.DataFrame(
        {"time": time, **columns}, schema_overrides={"time": pl.Datetime("us", "UTC")}
    ).fill_nan(None)
    missing = [
        pl.lit(None, kind).alias(name)
        for name, kind in TRACK_SCHEMA.items()
        if name not in columns | {"time": 0}
    ]
    return TrackLog(
        table.with_columns(missing).select(list(TRACK_SCHEMA)),
        {},
        ReadReport("csv", "0" * 64, rows, rows, rows, {}),
    )


@settings(max_examples=150)
@given(st.integers(0, 2**32 - 1), st.integers(1, 400))
def test_any_log_gives_a_debrief(seed: int, rows: int) -> None:
    log = random_log(seed, rows)
    try:
        found = debrief(log, name="any.csv", options=DebriefOptions(lambda _: BANDS))
    except InputError as error:
        assert error.next_step
        return
    said = as_json(found)
    json.dumps(said, allow_nan=False)
    assert said["rows"] == rows
    assert said["distance_nm"] >= 0.0
    assert (said["tacks"] is None) == (said["manoeuvres"] is None)
    if found.heel is not None and found.heel.in_band_share is not None:
        assert 0.0 <= found.heel.in_band_share <= 1.0
    directions = [found.wind.twd_mean_deg] if found.wind and found.wind.twd_mean_deg is not None else []
    assert all(0.0 <= one < 360.0 for one in directions)
