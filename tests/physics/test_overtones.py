import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.overtones import Search, Spectrum, find_peaks, fit_comb, tooth_numbers
from cringle.physics.vibration import overtones

RATE = 4000.0


def tone(fundamental: float, inharmonicity: float, seconds: float = 6.0) -> np.ndarray:
    time = np.arange(int(seconds * RATE)) / RATE
    number = np.arange(6, 40)
    pitch = overtones(fundamental, inharmonicity, number)
    decay = np.exp(-time[:, None] * (0.2 + 0.003 * pitch))
    return np.sum(decay * np.sin(2 * np.pi * pitch * time[:, None]) / number, axis=1)


def test_tooth_numbers_invert_overtones():
    number = np.arange(1.0, 30.0)
    assert_allclose(tooth_numbers(overtones(11.0, 1.5e-4, number), 11.0, 1.5e-4), number, rtol=1e-9)
    assert_allclose(tooth_numbers(np.array([55.0]), 11.0, 0.0), 5.0, rtol=1e-9)


def test_missing_fundamental_is_found():
    peaks = find_peaks(tone(12.3, 1e-4), RATE, low=60.0, high=600.0)
    comb = fit_comb(peaks, Search(6.0, 25.0))
    assert_allclose(comb.fundamental, 12.3, rtol=2e-3)
    assert_allclose(comb.inharmonicity, 1e-4, rtol=0.1)
    assert comb.explained > 0.9


def test_ignoring_stiffness_would_err_by_more_than_a_tenth():
    peaks = find_peaks(tone(12.3, 2e-4), RATE, low=200.0, high=600.0).frequency
    spacing = float(np.mean(np.diff(peaks)))
    assert (spacing / 12.3) ** 2 - 1 > 0.14


def test_several_channels_are_one_spectrum():
    one = tone(12.3, 0.0)
    both = np.stack([0.2 * one, 0.8 * one], axis=1)
    assert_allclose(
        find_peaks(both, RATE, low=60.0, high=600.0).frequency,
        find_peaks(one, RATE, low=60.0, high=600.0).frequency,
    )


def test_silence_says_so():
    with pytest.raises(InputError, match="stands out"):
        fit_comb(find_peaks(np.zeros(4000), RATE, low=60.0, high=600.0), Search(5.0, 30.0))


def test_too_short_has_no_peaks():
    assert len(find_peaks(np.zeros(16), RATE, low=60.0, high=600.0).frequency) == 0


def test_unrelated_tones_fit_no_wire():
    rng = np.random.default_rng(4)
    peaks = Spectrum(np.sort(rng.uniform(100.0, 900.0, 25)), np.full(25, 30.0), 0.1)
    with pytest.raises(InputError, match="fits no wire"):
        fit_comb(peaks, Search(25.0, 30.0))


def test_impossible_search():
    with pytest.raises(InputError, match="cannot be"):
        Search(30.0, 5.0)
