from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from cringle.errors import LogError
from cringle.track.heel.felt import Felt, felt_biases, read_felt
from cringle.track.sailing.sailing import Sailing

START = datetime(2026, 6, 17, 18, 0, tzinfo=UTC)


def sailing(heel: np.ndarray) -> Sailing:
    flat = np.zeros(heel.size)
    return Sailing(START, flat, flat, flat, flat, flat, heel)


def said(who: str, second: float, heel: float) -> Felt:
    return Felt(START + timedelta(seconds=second), who, heel)


def test_bias_of_each_person():
    log = sailing(np.full(600, 18.0))
    felt = [said("helm", t, 14.0) for t in (50, 100, 150, 200)] + [
        said("trim", t, 19.0) for t in (60, 90, 300)
    ]
    found = felt_biases(felt, log)
    assert [(one.who, one.count, one.bias_deg) for one in found] == [("helm", 4, -4.0), ("trim", 3, 1.0)]


def test_interval_from_the_spread():
    log = sailing(np.full(600, 10.0))
    found = felt_biases([said("helm", t, 10.0 + e) for t, e in ((50, 1.0), (100, 2.0), (150, 3.0))], log)[0]
    assert found.bias_deg_high - found.bias_deg == pytest.approx(1.645 / np.sqrt(3.0))


def test_too_few_unknown_and_outside_are_left_out():
    heel = np.full(600, 10.0)
    heel[300:400] = np.nan
    felt = [
        said("a", 50, 9.0),
        said("a", 60, 9.0),
        said("a", 350, 9.0),
        said("a", 9000, 9.0),
        said("a", -50, 9.0),
    ]
    assert felt_biases(felt, sailing(heel)) == ()


def test_a_file_of_readings(tmp_path: Path):
    path = tmp_path / "felt.csv"
    path.write_text(
        "time,who,heel_deg\n2026-06-17T18:05:00Z,helm,14\n2026-06-17T18:06:00,,9.5\n", encoding="utf-8"
    )
    first, second = read_felt(path)
    assert (first.who, first.heel_deg) == ("helm", 14.0)
    assert (second.who, second.at.tzinfo) == ("crew", UTC)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("time,heel_deg\n", "no column who"),
        ("time,who,heel_deg\nyesterday,helm,14\n", "csv:2"),
        ("time,who,heel_deg\n2026-06-17T18:05:00Z,helm,lots\n", "csv:2"),
        ("time,who,heel_deg\n2026-06-17T18:05:00Z,helm,140\n", "up to 60"),
        ("time,who,heel_deg\n2026-06-17T18:05:00Z,helm,nan\n", "up to 60"),
    ],
)
def test_bad_lines_are_named(tmp_path: Path, text: str, words: str):
    path = tmp_path / "felt.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(LogError, match=words):
        read_felt(path)


def test_no_such_file(tmp_path: Path):
    with pytest.raises(LogError, match="cannot be read"):
        read_felt(tmp_path / "none.csv")
