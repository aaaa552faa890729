"""Shared by all tests: the demo files and a copy of them to break."""

from __future__ import annotations

import importlib.util
import os
import shutil
import sys
import tempfile
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from types import ModuleType

import numpy as np
import polars as pl
import pytest
from hypothesis import HealthCheck, settings

from cringle.track.debrief.debrief import Debrief, DebriefOptions, debrief
from cringle.track.reading.read import TrackLog, read_log
from cringle.track.reading.report import ReadReport
from cringle.track.sailing.heel import HeelBand
from cringle.track.schema import TRACK_SCHEMA

ROOT = Path(__file__).parents[1]

os.environ.setdefault("CRINGLE_CACHE", str(Path(tempfile.gettempdir()) / "cringle-test-cache"))
"""Answers of the speed model are made once for all test books; the hash of their inputs keeps them apart."""

settings.register_profile(
    "steady", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("steady")


@pytest.fixture(scope="session")
def examples() -> Path:
    """Return the folder of the demo files; read only."""
    return ROOT / "examples"


@pytest.fixture
def book_folder(tmp_path: Path, examples: Path) -> Path:
    """Return a fresh folder with the demo's four files and no records yet."""
    folder = tmp_path / "book"
    folder.mkdir()
    for name in ("class.toml", "boat.toml", "crew.toml", "survey.toml"):
        shutil.copyfile(examples / name, folder / name)
    return folder


@pytest.fixture(scope="session")
def evenings() -> ModuleType:
    """Return the script that makes invented evenings: `Plan`, `sail`, and the truth of what was sailed."""
    name = "make_demo_evening"
    spec = importlib.util.spec_from_file_location(name, ROOT / "studies" / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def evening(examples: Path) -> Debrief:
    """Return the debrief of the demo's evening."""
    bands = {"upwind": HeelBand(13.0, 17.0, "given"), "downwind": HeelBand(4.0, 8.0, "given")}
    options = DebriefOptions(lambda _: bands, "Europe/London", "Brindle")
    return debrief(read_log(examples / "evening.nmea"), name="evening.nmea", options=options)


@pytest.fixture(scope="session")
def motoring() -> Debrief:
    """Return the debrief of a recorded log under engine."""
    log = ROOT / "tests" / "data" / "logs" / "motoring-2014.log"
    return debrief(read_log(log, date=date(2014, 6, 1)), name=log.name)


@pytest.fixture(scope="session")
def windless() -> Debrief:
    """Return the debrief of a GPS track with one turn to the right and a hostile name."""
    start = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)
    course = np.concatenate([np.full(100, 10.0), np.linspace(10.0, 100.0, 10), np.full(100, 100.0)])
    track = pl.DataFrame(
        {
            "time": [start + timedelta(seconds=row) for row in range(210)],
            "lat": 54.0 + np.cumsum(np.cos(np.radians(course))) * 2e-5,
            "lon": -5.0 + np.cumsum(np.sin(np.radians(course))) * 3.4e-5,
        },
        schema_overrides={"time": pl.Datetime("us", "UTC")},
    )
    missing = [
        pl.lit(None, kind).alias(name) for name, kind in TRACK_SCHEMA.items() if name not in track.columns
    ]
    whole = track.with_columns(missing).select(list(TRACK_SCHEMA))
    log = TrackLog(whole, {}, ReadReport("gpx", "0" * 64, 210, 210, 210, {}))
    return debrief(log, name="<script>alert('x')</script> & co.gpx")
