"""Synthesised plucked wires: overtones, stiffness, noise, a second wire, and the high-pass of a phone.

The tones are made here from the stiff string's equations alone; nothing of the search is used.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.signal import butter, sosfilt

from cringle.physics.overtones import Search, find_peaks, fit_comb

SOURCE = "stiff string (Fletcher 1964), synthesised, seeds fixed"
RATE = 8000.0


def plucked(rng, time, fundamental, stiffness, *, highest, as_motion=False):
    number = np.arange(1, 200)
    pitch = number * fundamental * np.sqrt(1 + stiffness * number**2)
    number, pitch = number[pitch < highest], pitch[pitch < highest]
    size = np.sin(np.pi * number * rng.uniform(0.05, 0.2)) / number * (np.sqrt(pitch) if as_motion else 1.0)
    decay = np.exp(-time[:, None] * (0.15 + 0.004 * pitch))
    return np.sum(
        size * decay * np.sin(2 * np.pi * pitch * time[:, None] + rng.uniform(0, 6.28, len(number))), axis=1
    )


@pytest.mark.parametrize("case", range(12))
def test_sound_through_a_phone(outside, case):
    rng = np.random.default_rng(100 + case)
    time = np.arange(int(10 * RATE)) / RATE
    fundamental, stiffness = rng.uniform(7, 30), rng.uniform(0, 2e-4)
    second = fundamental * rng.choice([0.73, 1.37])
    sound = plucked(rng, time, fundamental, stiffness, highest=2000)
    sound = sound + 0.4 * plucked(rng, time, second, rng.uniform(0, 2e-4), highest=2000)
    heard = sosfilt(butter(4, 90, "high", fs=RATE, output="sos"), sound)
    heard = heard + rng.choice([0.02, 0.1, 0.3]) * np.std(heard) * rng.normal(size=len(heard))
    peaks = find_peaks(heard, RATE, low=60.0, high=900.0)
    comb = fit_comb(peaks, Search(0.6 * fundamental, 1.6 * fundamental))
    outside.close(
        id=f"V1.{case}",
        what=f"tension over truth, f1 {fundamental:.1f} Hz, B {stiffness:.1e}, second wire",
        got=(comb.fundamental / fundamental) ** 2,
        expected=1.0,
        atol=0.03,
        source=SOURCE,
    )


@pytest.mark.parametrize("case", range(12))
def test_motion_sensor(outside, case):
    rng = np.random.default_rng(200 + case)
    rate = float(rng.choice([100, 200]))
    time = np.arange(int(10 * rate)) / rate
    fundamental, stiffness = rng.uniform(7, 30), rng.uniform(0, 2e-4)
    wire = plucked(rng, time, fundamental, stiffness, highest=0.45 * rate, as_motion=True)
    size = np.std(wire)
    axes = wire[:, None] * rng.normal(size=3) + 0.1 * size * rng.normal(size=(len(time), 3))
    axes = axes + 2 * size * np.sin(2 * np.pi * 0.4 * time)[:, None]
    comb = fit_comb(find_peaks(axes, rate, low=4.0, high=0.5 * rate), Search(5.0, 40.0, heard_from=4.0))
    outside.close(
        id=f"V2.{case}",
        what=f"tension over truth, f1 {fundamental:.1f} Hz at {rate:.0f} a second",
        got=(comb.fundamental / fundamental) ** 2,
        expected=1.0,
        atol=0.02,
        source=SOURCE,
    )


def test_ignoring_stiffness(outside):
    """What the plain spacing of high overtones would give: the reason why B is fitted."""
    errors = []
    for stiffness in (1e-4, 2e-4):
        number = np.arange(16, 40)
        pitch = number * 12.0 * np.sqrt(1 + stiffness * number**2)
        errors.append((np.mean(np.diff(pitch)) / 12.0) ** 2 - 1.0)
    outside.within(
        id="V3",
        what="error of tension from plain spacing, B 1e-4 and 2e-4",
        got=errors,
        low=0.14,
        high=0.5,
        source="stiff string (Fletcher 1964)",
        kind="arithmetic",
    )


def test_elongation_of_strand(outside):
    """Stretch of ten metres of 4 mm strand at a fifth of its break load, against a published factor."""
    from cringle.physics.wire import strand_stiffness

    load_over_square_psi = 2570.0 / 0.004**2 / 6894.757
    published_mm = 10_000.0 * 7.79e-6 / 100.0 * load_over_square_psi
    ours_mm = 10_000.0 * 2570.0 / float(strand_stiffness(0.004))
    outside.close(
        id="V4",
        what="stretch of 10 m of 4 mm 1x19 at 2570 N [mm] (302 against 316 steel)",
        got=ours_mm,
        expected=published_mm,
        rtol=0.06,
        source="published stretch factor of 1x19 strand, 7.79e-6 % a lb over diameter squared",
    )
