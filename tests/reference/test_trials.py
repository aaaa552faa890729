"""Trials against general-purpose statistics libraries, certified data and simulation."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from arch.bootstrap import CircularBlockBootstrap, optimal_block_length
from scipy.signal import lfilter
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import RBF, ConstantKernel
from statsmodels.stats.power import TTestPower
from statsmodels.tsa.stattools import acf

from cringle.trials.always_valid import is_ruled_out
from cringle.trials.autocorrelation import (
    autocorrelation,
    corrected_first,
    effective_samples,
    effective_samples_measured,
)
from cringle.trials.bootstrap import block_length, block_means, resample
from cringle.trials.noise import contrasts, noise_grid
from cringle.trials.power import t_test_power
from cringle.trials.process import fit, squared_exponential

NIST = Path(__file__).parents[1] / "data" / "nist"
PHI = 0.8


@pytest.fixture(scope="module")
def recipe() -> np.ndarray:
    """Return 20,000 values of a first-order autoregression with phi 0.8."""
    shocks = np.random.default_rng(1).standard_normal(20_000)
    shocks[0] /= np.sqrt(1.0 - PHI**2)
    return lfilter([1.0], [1.0, -PHI], shocks)


def noise_runs(rng: np.random.Generator, runs: int, seconds: int, forgetting: float) -> np.ndarray:
    """Return exponentially correlated noise in bins of 10 s, one run a row."""
    phi = np.exp(-1.0 / forgetting)
    shocks = rng.standard_normal((runs, seconds))
    shocks[:, 0] /= np.sqrt(1.0 - phi**2)
    record = lfilter([1.0], [1.0, -phi], shocks, axis=1)
    return record.reshape(runs, seconds // 10, 10).mean(axis=2)


def test_autocorrelation(outside, recipe) -> None:
    outside.close(
        id="T01",
        what="sample autocorrelation, lags 1 to 5",
        got=autocorrelation(recipe, 5),
        expected=acf(recipe, nlags=5),
        rtol=1e-12,
        source="statsmodels, tsa.stattools.acf",
        kind="evidence",
    )
    outside.close(
        id="T02",
        what="autocorrelation of an autoregression with phi 0.8",
        got=autocorrelation(recipe, 3)[1:],
        expected=[PHI, PHI**2, PHI**3],
        atol=0.02,
        source="theory of the first-order autoregression",
        kind="evidence",
    )


def test_effective_samples(outside, recipe) -> None:
    first = corrected_first(float(autocorrelation(recipe, 1)[1]), recipe.size)
    expected = recipe.size * (1.0 - PHI) / (1.0 + PHI)
    outside.close(
        id="T03",
        what="effective samples from the first autocorrelation",
        got=effective_samples(first, recipe.size),
        expected=expected,
        rtol=0.05,
        source="theory: n (1 - phi) / (1 + phi)",
        kind="evidence",
    )
    outside.close(
        id="T04",
        what="effective samples measured",
        got=effective_samples_measured(recipe),
        expected=2278.8,
        rtol=0.01,
        source="Geyer's initial positive sequence of the same series, computed independently",
        kind="evidence",
    )


def test_certified_autocorrelation(outside) -> None:
    speeds = np.loadtxt(NIST / "michelso.csv", delimiter=",", skiprows=1, ndmin=1).ravel()
    outside.close(
        id="T05",
        what="first autocorrelation of Michelso",
        got=autocorrelation(speeds, 1)[1],
        expected=0.535199668621283,
        rtol=1e-12,
        source="NIST Statistical Reference Datasets, Michelso",
        kind="evidence",
    )
    for base in (1.0, 1e6, 1e7):
        values = np.concatenate([[base + 0.2], np.tile([base + 0.1, base + 0.3], 500)])
        outside.close(
            id=f"T06-{base:g}",
            what=f"first autocorrelation of NumAcc on {base:g}",
            got=autocorrelation(values, 1)[1],
            expected=-0.999,
            rtol=1e-6,
            source="NIST Statistical Reference Datasets, NumAcc2 to NumAcc4",
            kind="evidence",
        )


def test_least_squares(outside) -> None:
    rows = np.loadtxt(NIST / "Norris.dat", skiprows=60)
    design = np.stack([np.ones(rows.shape[0]), rows[:, 1]], axis=1)
    grid = noise_grid(np.arange(rows.shape[0]) * 10.0, 10.0)
    found = contrasts(rows[None, :, 0], design, [[1.0, 0.0], [0.0, 1.0]], grid)[0]
    outside.close(
        id="T07",
        what="least-squares line through Norris: intercept and slope",
        got=[one.value for one in found],
        expected=[-0.262323073774029, 1.00211681802045],
        rtol=1e-9,
        source="NIST Statistical Reference Datasets, Norris",
        kind="evidence",
    )


def test_bootstrap(outside, recipe) -> None:
    values = recipe[:2000]
    theirs = CircularBlockBootstrap(36, values, seed=np.random.default_rng(7))
    means = theirs.apply(np.mean, 4000).ravel()
    outside.close(
        id="T08",
        what="s.d. of a mean by circular blocks of 36",
        got=resample(values, block=36, resamples=20_000, seed=7).standard_error,
        expected=means.std(ddof=1),
        rtol=0.05,
        source="arch, CircularBlockBootstrap",
        kind="evidence",
    )
    outside.close(
        id="T09",
        what="percentile interval by circular blocks of 36",
        got=np.quantile(block_means(values, 36, resamples=20_000, seed=7), [0.05, 0.95]),
        expected=np.quantile(means, [0.05, 0.95]),
        atol=0.02,
        source="arch, CircularBlockBootstrap",
        kind="evidence",
    )
    outside.close(
        id="T10",
        what="block length, circular",
        got=block_length(recipe),
        expected=float(optimal_block_length(recipe)["circular"].iloc[0]),
        atol=1.0,
        source="arch, optimal_block_length (Politis, White 2004; Patton 2009)",
        kind="evidence",
    )


def test_power(outside) -> None:
    for effect, samples in ((0.5, 20.0), (0.3, 45.0), (1.0, 15.0)):
        outside.close(
            id=f"T11-{samples:g}",
            what=f"power of a t test, effect {effect:g}, {samples:g} samples",
            got=t_test_power(effect, samples),
            expected=TTestPower().power(effect, samples, 0.10, alternative="two-sided"),
            rtol=1e-8,
            source="statsmodels, TTestPower",
            kind="evidence",
        )


def test_gaussian_process(outside) -> None:
    rng = np.random.default_rng(3)
    places, at = rng.uniform(-2.0, 2.0, (40, 2)), rng.uniform(-2.0, 2.0, (25, 2))
    values, noise = rng.standard_normal(40), rng.uniform(0.1, 0.6, 40)
    lengths = np.array([0.8, 1.7])
    theirs = GaussianProcessRegressor(
        ConstantKernel(2.5) * RBF(lengths), alpha=noise, optimizer=None, normalize_y=False
    ).fit(places, values)
    mean, covariance = theirs.predict(at, return_cov=True)
    ours = fit(values, 2.5 * squared_exponential(places, places, lengths), noise)
    cross = 2.5 * squared_exponential(at, places, lengths)
    prior = 2.5 * squared_exponential(at, at, lengths)
    names = ("posterior mean", "posterior covariance", "log marginal likelihood")
    got = (ours.mean(cross), ours.covariance(prior, cross), ours.log_evidence)
    expected = (mean, covariance, theirs.log_marginal_likelihood_value_)
    for number, (name, one, two) in enumerate(zip(names, got, expected, strict=True)):
        outside.close(
            id=f"T12-{number}",
            what=f"Gaussian process: {name}",
            got=one,
            expected=two,
            atol=1e-6,
            source="scikit-learn, GaussianProcessRegressor",
            kind="evidence",
        )


@pytest.mark.parametrize("minutes", [10, 20, 60])
@pytest.mark.parametrize("kind", ["first order", "two speeds"])
def test_coverage(outside, minutes: int, kind: str) -> None:
    rng = np.random.default_rng(100 + minutes)
    if kind == "first order":
        values = np.concatenate(
            [noise_runs(rng, 400, minutes * 60, t) for t in (20.0, 30.0, 40.0, 50.0, 60.0)]
        )
    else:
        values = np.sqrt(0.5) * sum(noise_runs(rng, 2000, minutes * 60, t) for t in (60.0, 8.0))
    if minutes == 60:
        values = values.reshape(values.shape[0], -1, 3).mean(axis=2)
    width = minutes * 60.0 / values.shape[1]
    grid = noise_grid((np.arange(values.shape[1]) + 0.5) * width, width)
    found = contrasts(values, np.ones((values.shape[1], 1)), [[1.0]], grid)
    outside.within(
        id=f"T13-{minutes}-{kind.replace(' ', '-')}",
        what=f"share of 90 % intervals that hold the truth, {minutes} min, {kind}, 2,000 runs",
        got=np.mean([one[0].low <= 0.0 <= one[0].high for one in found]),
        low=0.86,
        high=0.94,
        source="simulation; the full run of 2,000 is in the benchmarks",
        kind="simulation",
    )


def test_looking_every_minute(outside) -> None:
    rng = np.random.default_rng(200)
    values = np.concatenate([noise_runs(rng, 100, 1800, t) for t in (20.0, 40.0, 60.0)])
    alarmed = np.zeros(300, dtype=bool)
    for count in range(6, 181, 6):
        grid = noise_grid((np.arange(count) + 0.5) * 10.0, 10.0)
        alarmed |= is_ruled_out(values[:, :count], np.zeros(300), grid)
    outside.within(
        id="T14",
        what="false alarms of the always-valid interval, looked at every minute for 30 minutes",
        got=alarmed.mean(),
        low=0.0,
        high=0.10,
        source="simulation; the full run of 2,000 is in the benchmarks",
        kind="simulation",
    )
