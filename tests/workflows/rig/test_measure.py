from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.io import wavfile

from cringle.book.store import Book
from cringle.errors import InputError, LogError
from cringle.rig.base import base_tune
from cringle.rig.model import RigFactors
from cringle.rig.turns import Setting, role_turns, solve_setting
from cringle.workflows.rig.book import read_rig
from cringle.workflows.rig.measure import MeasureRequest, rig_check, rig_fit, rig_measure
from cringle.workflows.rig.record import record_turns

RATE = 8000


def plucked(path, tension, length, mass):
    """Write the sound of a wire under a tension, its fundamental left out as a phone leaves it out."""
    fundamental = np.sqrt(tension / mass) / (2 * length)
    number = np.arange(int(np.ceil(95.0 / fundamental)), 60)
    time = np.arange(8 * RATE) / RATE
    pitch = number * fundamental * np.sqrt(1 + 5e-5 * number**2)
    sound = np.sum(np.sin(2 * np.pi * pitch * time[:, None]) * np.exp(-0.4 * time[:, None]) / number, axis=1)
    sound += 0.01 * np.random.default_rng(1).normal(size=len(time))
    wavfile.write(path, RATE, (0.5 * sound / np.max(np.abs(sound)) * 32767).astype("int16"))
    return path


def test_swing_beside_the_model(book_folder):
    found = rig_measure(book_folder, MeasureRequest("forestay", swing=(40, 5.0)))
    assert_allclose(found.expected_n, 1380.0, atol=2.0)
    assert_allclose(found.difference_pct, 100 * (found.reading.tension_n / found.expected_n - 1))
    assert not found.kept
    assert not (book_folder / "book.sqlite").exists()


def test_a_recording_of_the_forestay(book_folder, tmp_path):
    part = read_rig(book_folder).base()
    from cringle.rig.measure import wire_part

    length = wire_part(part, "forestay").length_m
    path = plucked(tmp_path / "stay.wav", 1700.0, length, 0.078)
    found = rig_measure(book_folder, MeasureRequest("forestay", wav=path))
    assert_allclose(found.reading.tension_n, 1700.0, rtol=0.03)
    assert found.reading.method == "wav"
    assert found.reading.inharmonicity == pytest.approx(5e-5, rel=0.3)


def test_a_motion_log_of_the_cap(book_folder, tmp_path):
    time = np.arange(1000) / 100.0
    frequency = float(np.sqrt(2500.0 / 0.078) / (2 * 3.836))
    rng = np.random.default_rng(2)
    lines = ["time,x,y,z"]
    lines += [f"{t:.3f},{np.sin(2 * np.pi * frequency * t) + 0.1 * rng.normal():.5f},0.0,9.81" for t in time]
    path = tmp_path / "motion.csv"
    path.write_text("\n".join(lines), encoding="utf-8")
    found = rig_measure(book_folder, MeasureRequest("cap_port", motion=path))
    assert_allclose(found.reading.tension_n, 2500.0, rtol=0.02)
    assert found.reading.method == "motion"


def test_kept_measurements_are_checked_port_against_starboard(book_folder):
    rig_measure(book_folder, MeasureRequest("cap_port", tension_n=2600.0), keep=True, wind_kn=3.0, who="Keo")
    rig_measure(book_folder, MeasureRequest("cap_starboard", tension_n=2900.0), keep=True, who="Keo")
    found = rig_check(book_folder, middle_mm=(9404.0, 9404.0))
    assert [(one.wire, one.differ) for one in found.pairs] == [("cap", True)]
    assert not found.middle.is_off
    with Book.open(book_folder) as book:
        kept = book.history("rig_measurement")
    assert [one.key.subject for one in kept] == ["cap_port", "cap_starboard"]
    assert (kept[0].payload["method"], kept[0].payload["wind_kn"]) == ("entered", 3.0)


@pytest.mark.parametrize(
    "request_",
    [
        MeasureRequest("cap_port"),
        MeasureRequest("cap_port", swing=(30, 4.0), tension_n=2600.0),
    ],
)
def test_one_method_is_needed(book_folder, request_):
    with pytest.raises(InputError, match="one method is needed"):
        rig_measure(book_folder, request_)


def test_impossible_readings(book_folder, tmp_path):
    with pytest.raises(InputError, match="break load"):
        rig_measure(book_folder, MeasureRequest("cap_port", tension_n=20_000.0))
    with pytest.raises(InputError, match="no wire 'kicker'"):
        rig_measure(book_folder, MeasureRequest("kicker", tension_n=100.0))
    with pytest.raises(LogError, match="no such file"):
        rig_measure(book_folder, MeasureRequest("cap_port", wav=tmp_path / "none.wav"))


def test_fit_from_the_book(book_folder):
    """Readings of a rig with softer wires, taken at turns that are on record; the fit finds them softer."""
    files = read_rig(book_folder).files
    real = base_tune(files.class_file, files.boat_file, factors=RigFactors(wire=0.9))
    for turns in ({"cap_shrouds": 3.0, "lower_shrouds": 0.0}, {"cap_shrouds": 3.0, "lower_shrouds": 3.0}):
        record_turns(book_folder, turns, who="Keo")
        state = solve_setting(real, Setting(role_turns(real.model, turns))).state
        for wire in ("cap_port", "cap_starboard", "lower_port"):
            rig_measure(book_folder, MeasureRequest(wire, tension_n=state.tensions_n[wire]), keep=True)
    found = rig_fit(book_folder, keep=True, who="Keo")
    assert found.count == 6
    assert found.factors.wire < 0.99
    assert read_rig(book_folder).factors.wire == found.factors.wire


def test_nothing_to_fit_to(book_folder):
    with pytest.raises(InputError, match="no measurements"):
        rig_fit(book_folder)
