"""How strong the wind was: by hand, from a file, inferred."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import LogError, OutOfRangeError
from cringle.track.frozen_polar import FrozenPolar
from cringle.track.sim_options import SimOptions
from cringle.track.wind_series import BY_HAND, FILE, INFERRED
from cringle.track.wind_strength import entered_strength, read_strength, strength_on_clock


def test_by_hand_is_taken_to_ten_metres() -> None:
    assert entered_strength(12.0).tws_kn == (12.0,)
    ratio = 12.0 / entered_strength(12.0, height_m=2.0).tws_kn[0]
    assert_allclose(ratio, np.log(2.0 / 0.0002) / np.log(10.0 / 0.0002), rtol=1e-6)
    with pytest.raises(OutOfRangeError):
        entered_strength(-3.0)


def test_a_file_is_read_between_its_readings_and_not_beyond(
    tmp_path: Path, simulated: Callable[..., Any]
) -> None:
    log = simulated(SimOptions(), 1).log
    start = log.series.start
    path = tmp_path / "committee.csv"
    rows = [f"{(start + timedelta(seconds=s)).isoformat()},{kn}" for s, kn in ((0, 8.0), (600, 12.0))]
    path.write_text("\n".join(["time,tws_kn", *rows]), encoding="utf-8")
    found = strength_on_clock(read_strength(path), log, log.series.cog, None)
    assert found.source == FILE
    assert_allclose(found.tws_kn[[0, 300, 600]], [8.0, 10.0, 12.0])
    assert np.isnan(found.tws_kn[-1]) == (log.series.rows > 2400)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("when,tws_kn\n", "no column time"),
        ("time,tws_kn\n", "no reading"),
        ("time,tws_kn\n2026-06-17T18:00:00Z,fast\n", ":2"),
        ("time,tws_kn\nyesterday,9\n", ":2"),
        ("time,tws_kn\n2026-06-17T18:00:00Z,99\n", "accepted 0 to 60"),
    ],
)
def test_bad_files_say_where(tmp_path: Path, text: str, message: str) -> None:
    path = tmp_path / "wind.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(LogError, match=message):
        read_strength(path)


def test_inferred_is_near_and_marked(simulated: Callable[..., Any], sketch: FrozenPolar) -> None:
    found = simulated(SimOptions(), 2)
    blown = strength_on_clock(None, found.log, found.wind.twd_deg, sketch)
    assert blown.source == INFERRED
    assert "inferred" in blown.notes[0]
    rows = slice(400, 2000)
    assert_allclose(np.nanmean(blown.tws_kn[rows]), found.truth.tws_kn[rows].mean(), atol=1.6)


def test_nothing_known_says_so(simulated: Callable[..., Any]) -> None:
    found = simulated(SimOptions(), 2)
    blown = strength_on_clock(None, found.log, found.wind.twd_deg, None)
    assert blown.source is None
    assert np.isnan(blown.tws_kn).all()
    held = strength_on_clock(entered_strength(9.0), found.log, found.wind.twd_deg, None)
    assert held.source == BY_HAND
    assert_allclose(held.tws_kn, 9.0)
