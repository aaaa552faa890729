"""The demo's evening: the same bytes from the same seed, and signals that hang together."""

from __future__ import annotations

from functools import reduce
from operator import xor
from pathlib import Path
from types import ModuleType

import numpy as np
from numpy.testing import assert_allclose

from cringle.track.distance import steps
from cringle.units import knots_to_metres_per_second


def test_the_example_is_what_the_script_makes(evenings: ModuleType, examples: Path) -> None:
    made = evenings.make_evening()
    assert made == (examples / "evening.nmea").read_bytes()
    assert len(made) < 600_000


def test_another_seed_is_another_evening(evenings: ModuleType) -> None:
    assert evenings.make_evening(evenings.Plan(seed=2)) != evenings.make_evening()


def test_positions_agree_with_speed(evenings: ModuleType) -> None:
    columns = evenings.sail(evenings.Plan()).columns
    sailed = steps(columns["lat"][::10], columns["lon"][::10]).length.sum()
    assert_allclose(sailed, knots_to_metres_per_second(columns["sog"]).sum(), rtol=0.03)


def test_the_wind_crosses_over_at_every_manoeuvre(evenings: ModuleType) -> None:
    sailed = evenings.sail(evenings.Plan())
    awa = sailed.columns["awa"]
    for second, kind in sailed.manoeuvres:
        assert np.sign(awa[second - 15]) == -np.sign(awa[second + 15]), (second, kind)
        assert (np.abs(awa[second]) < 90.0) == (kind == "tack")


def test_she_heels_to_leeward_upwind(evenings: ModuleType) -> None:
    columns = evenings.sail(evenings.Plan()).columns
    upwind = np.abs(columns["awa"]) < 40.0
    assert np.mean(np.sign(columns["roll"][upwind]) == -np.sign(columns["awa"][upwind])) > 0.9


def test_sentences_carry_their_checksum(evenings: ModuleType) -> None:
    text = evenings.sentence("GPRMC,1,2")
    body, digits = text[1:].split("*")
    assert int(digits, 16) == reduce(xor, body.encode())


def test_a_few_lines_are_spoilt(evenings: ModuleType) -> None:
    lines = list(evenings.nmea_lines(evenings.sail(evenings.Plan())))
    spoilt = evenings.spoil(lines, 1)
    assert sum(a != b for a, b in zip(lines, spoilt, strict=True)) == evenings.BAD_LINES


def test_no_speed_head_to_wind(evenings: ModuleType) -> None:
    assert evenings.boat_speed_kn(12.0, 0.0) == 0.0
    assert evenings.boat_speed_kn(12.0, 100.0) > evenings.boat_speed_kn(12.0, 42.0) > 3.0
