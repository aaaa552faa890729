"""Finding a swinging wire's fundamental from a recording that may not hold the fundamental itself.

A comb of overtones n f1 sqrt(1 + B n^2) is laid over the peaks of the spectrum. The comb that explains
the most of what sounds, with the fewest teeth that ought to sound and do not, wins; it is then fitted by
least squares. Ignoring B would put f1 wrong by a third, because a phone hears only the high overtones.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.physics.vibration import overtones

Array = NDArray[np.float64]

INHARMONICITY_LIMIT = 3.0e-4
"""Largest B looked for; strand of this size on a boat stays below 2e-4 (from E I, T and L)."""


MOST_PEAKS = 48
"""The strongest peaks are enough, and a search costs what they are many."""


@dataclass(frozen=True)
class Spectrum:
    """Peaks of a recording.

    Parameters
    ----------
    frequency : array
        Rising. [Hz]
    strength : array
        Height over the noise floor there, as a ratio.
    resolution : float
        How finely two peaks are told apart. [Hz]
    """

    frequency: Array
    strength: Array
    resolution: float


@dataclass(frozen=True)
class Comb:
    """A fitted series of overtones.

    Parameters
    ----------
    fundamental : float
        f1 of the flexible wire. [Hz]
    inharmonicity : float
        B.
    numbers : tuple of int
        Which overtones were found.
    spread : float
        Root mean square of peak minus fit. [Hz]
    explained : float
        Share of the peaks' strength (logarithmic) that lies on the comb.
    loudness : float
        Root of the summed squares of the strengths on the comb.
    """

    fundamental: float
    inharmonicity: float
    numbers: tuple[int, ...]
    spread: float
    explained: float
    loudness: float


@dataclass(frozen=True)
class Search:
    """Where to look for a fundamental.

    Parameters
    ----------
    lowest, highest : float
        Range of f1. [Hz]
    heard_from : float or None
        Overtones above this are expected to sound; None: from the lowest peak up, as behind a phone's
        high-pass. [Hz]
    """

    lowest: float
    highest: float
    heard_from: float | None = None

    def __post_init__(self) -> None:
        if not 0.0 < self.lowest < self.highest:
            raise InputError(
                f"frequency range {self.lowest:g} to {self.highest:g} Hz cannot be",
                next_step="check length and mass of the wire",
            )


def power(signal: Array, padded: int) -> Array:
    """Return the windowed magnitude spectrum of one or several channels, zero-padded.

    Parameters
    ----------
    signal : array, shape (n,) or (n, k)
        Evenly sampled channels.
    padded : int
        Length of the transform, n or more.

    Returns
    -------
    array, shape (padded // 2 + 1,)
        Root of the summed power of all channels.
    """
    columns = signal.reshape(len(signal), -1)
    tapered = (columns - columns.mean(axis=0)) * np.hanning(len(signal))[:, None]
    return np.asarray(np.sqrt(np.sum(np.abs(np.fft.rfft(tapered, padded, axis=0)) ** 2, axis=1)))


def find_peaks(signal: Array, rate: float, *, low: float, high: float, floor: float = 6.0) -> Spectrum:
    """Return the spectral peaks of a recording between two frequencies.

    Parameters
    ----------
    signal : array, shape (n,) or (n, k)
        Evenly sampled.
    rate : float
        Samples a second. [Hz]
    low, high : float
        Band. [Hz]
    floor : float
        A peak stands at least this many times over the median of its neighbourhood.

    Returns
    -------
    Spectrum
        Empty when nothing stands out.
    """
    count = len(signal)
    height = power(signal, 4 * count)
    axis = np.fft.rfftfreq(4 * count, 1.0 / rate)
    keep = (axis >= low) & (axis <= min(high, 0.48 * rate))
    resolution = 2.0 * rate / count
    if np.sum(keep) < 8:
        return Spectrum(np.array([]), np.array([]), resolution)
    return _peaks_over_noise(np.asarray(axis[keep], dtype=np.float64), height[keep], resolution, floor)


def _peaks_over_noise(axis: Array, height: Array, resolution: float, floor: float) -> Spectrum:
    """Return local maxima that stand over the running median, placed by a parabola through the logarithms."""
    from scipy.ndimage import median_filter
    from scipy.signal import find_peaks as local_maxima

    cell = float(axis[1] - axis[0])
    wide = min(max(9, int(40.0 * resolution / cell)), len(height) - 1) | 1
    noise = median_filter(height, size=wide, mode="nearest") + 1e-300
    tops, _ = local_maxima(height, distance=max(1, int(resolution / cell)))
    tops = tops[(height[tops] > floor * noise[tops]) & (height[tops] > 0.004 * np.max(height))]
    tops = np.sort(tops[np.argsort(height[tops])[-MOST_PEAKS:]])
    logs = np.log(height + 1e-300)
    left, middle, right = logs[tops - 1], logs[tops], logs[tops + 1]
    shift = 0.5 * (left - right) / (left - 2.0 * middle + right)
    return Spectrum(axis[tops] + shift * cell, height[tops] / noise[tops], resolution)


def tooth_numbers(frequency: Array, fundamental: Array | float, inharmonicity: Array | float) -> Array:
    """Return which overtone each frequency would be, not rounded: the inverse of n f1 sqrt(1 + B n^2)."""
    squared = (frequency / fundamental) ** 2
    root = 1.0 + np.sqrt(1.0 + 4.0 * np.asarray(inharmonicity, dtype=np.float64) * squared)
    return np.asarray(np.sqrt(2.0 * squared / root), dtype=np.float64)


def _scores(spectrum: Spectrum, search: Search, fundamental: Array, inharmonicity: float) -> Array:
    """Return how well combs of one B and many f1 explain the peaks."""
    weight = np.log(spectrum.strength)
    tooth = 0.5 * spectrum.resolution
    number = np.maximum(np.round(tooth_numbers(spectrum.frequency, fundamental[:, None], inharmonicity)), 1.0)
    teeth = number * fundamental[:, None] * np.sqrt(1.0 + inharmonicity * number**2)
    closeness = np.maximum(1.0 - ((spectrum.frequency - teeth) / tooth) ** 2, 0.0)
    first = number[:, 0] - 1.0
    if search.heard_from is not None:
        first = np.floor(tooth_numbers(np.asarray(search.heard_from), fundamental, inharmonicity))
    on = closeness > 0.0
    last = np.max(np.where(on, number, 0.0), axis=1)
    missing = np.maximum(last - first - np.sum(on, axis=1), 0.0)
    chance = np.minimum(2.0 * tooth / fundamental, 1.0) * (2.0 / 3.0) * np.sum(weight)
    return np.asarray(closeness @ weight - chance - 0.5 * np.mean(weight) * missing)


def fit_comb(spectrum: Spectrum, search: Search) -> Comb:
    """Return the series of overtones of the wire that sounds loudest.

    Parameters
    ----------
    spectrum : Spectrum
        Peaks.
    search : Search
        Range of the fundamental.

    Returns
    -------
    Comb
        Fundamental, inharmonicity and how well they fit.

    Raises
    ------
    InputError
        Nothing sounds, or no comb in the range explains at least a third of what sounds.

    Notes
    -----
    A second wire may sound along and explain more peaks with less sound. So the best comb's peaks are
    taken out, the rest is searched again, and it is the answer where it is clearly the louder one.
    """
    if not len(spectrum.frequency):
        raise InputError(
            "nothing in the recording stands out of the noise",
            next_step="hold the phone to the wire's lower end, pluck harder, record ten quiet seconds",
        )
    first = _polish(spectrum, *_best_comb(spectrum, search))
    if first.explained < 1.0 / 3.0:
        raise InputError(
            "the recording fits no wire in the range looked at: no evenly spaced overtones",
            next_step="check which wire was plucked, its free length and mass a metre; or count swings",
        )
    rest = _without(spectrum, first)
    if len(rest.frequency) < 4:
        return first
    second = _polish(rest, *_best_comb(rest, search))
    return second if len(second.numbers) >= 4 and second.loudness > 1.5 * first.loudness else first


def _without(spectrum: Spectrum, comb: Comb) -> Spectrum:
    """Return the peaks that do not lie on a comb."""
    number = np.round(tooth_numbers(spectrum.frequency, comb.fundamental, comb.inharmonicity))
    miss = np.abs(spectrum.frequency - overtones(comb.fundamental, comb.inharmonicity, number))
    off = miss >= 0.5 * spectrum.resolution
    return Spectrum(spectrum.frequency[off], spectrum.strength[off], spectrum.resolution)


def _best_comb(spectrum: Spectrum, search: Search) -> tuple[float, float]:
    """Return f1 and B of the highest score on a grid fine enough for the highest peak."""
    highest = float(spectrum.frequency[-1])
    step = max(0.3 * spectrum.resolution / highest, 2e-5)
    grid = np.exp(np.arange(np.log(search.lowest), np.log(search.highest), step))
    stiff = highest > 4.0 * search.lowest
    choices = np.linspace(0.0, INHARMONICITY_LIMIT, 41) if stiff else np.zeros(1)
    best = (-np.inf, 0.0, 0.0)
    for inharmonicity in choices:
        score = _scores(spectrum, search, grid, float(inharmonicity))
        place = int(np.argmax(score))
        best = max(best, (float(score[place]), float(grid[place]), float(inharmonicity)))
    return best[1], best[2]


def _polish(spectrum: Spectrum, fundamental: float, inharmonicity: float) -> Comb:
    """Return the comb after least squares on (f/n)^2 = f1^2 + f1^2 B n^2 over the peaks that lie on it."""
    weight = np.log(spectrum.strength)
    for tooth in (1.0, 0.7, 0.5, 0.5, 0.5):
        number = np.maximum(np.round(tooth_numbers(spectrum.frequency, fundamental, inharmonicity)), 1.0)
        miss = spectrum.frequency - overtones(fundamental, inharmonicity, number)
        on = np.abs(miss) < tooth * spectrum.resolution
        if not np.any(on):
            break
        fundamental, inharmonicity = _regress(spectrum.frequency[on], number[on], weight[on])
    number = np.maximum(np.round(tooth_numbers(spectrum.frequency, fundamental, inharmonicity)), 1.0)
    miss = spectrum.frequency - overtones(fundamental, inharmonicity, number)
    on = np.abs(miss) < 0.5 * spectrum.resolution
    explained = float(np.sum(weight[on]) / np.sum(weight))
    spread = float(np.sqrt(np.mean(miss[on] ** 2))) if np.any(on) else np.inf
    loudness = float(np.sqrt(np.sum(spectrum.strength[on] ** 2)))
    found = tuple(int(one) for one in np.unique(number[on]))
    return Comb(fundamental, inharmonicity, found, spread, explained, loudness)


def _regress(frequency: Array, number: Array, weight: Array) -> tuple[float, float]:
    """Return f1 and B from numbered overtones; B only where at least four numbers tell it."""
    value = (frequency / number) ** 2
    share = weight * number**2 / np.maximum(frequency, 1e-9) ** 2 * number**2
    if len(np.unique(number)) < 4:
        return float(np.sqrt(np.average(value, weights=share))), 0.0
    root = np.sqrt(share)
    table = np.stack([np.ones_like(number), number**2], axis=1)
    (start, slope), *_ = np.linalg.lstsq(table * root[:, None], value * root, rcond=None)
    if slope < 0.0 or start <= 0.0:
        return float(np.sqrt(np.average(value, weights=share))), 0.0
    return float(np.sqrt(start)), float(slope / start)
