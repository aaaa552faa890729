from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.trials.process import fit, squared_exponential

PLACES = np.random.default_rng(1).uniform(-2.0, 2.0, (12, 2))
VALUES = np.random.default_rng(2).standard_normal(12)
NOISE = np.full(12, 0.2)


def test_one_value_by_hand() -> None:
    found = fit(np.array([2.0]), np.array([[3.0]]), np.array([1.0]))
    assert found.mean(np.array([[3.0]]))[0] == pytest.approx(1.5)
    assert found.covariance(np.array([[3.0]]), np.array([[3.0]]))[0, 0] == pytest.approx(0.75)
    assert found.log_evidence == pytest.approx(-0.5 - 0.5 * np.log(8.0 * np.pi))


def test_left_out_is_what_refitting_says() -> None:
    covariance = squared_exponential(PLACES, PLACES, 1.0)
    mean, variance = fit(VALUES, covariance, NOISE).left_out(VALUES)
    kept = np.arange(12) != 4
    rest = fit(VALUES[kept], covariance[np.ix_(kept, kept)], NOISE[kept])
    cross = covariance[4:5, kept]
    assert mean[4] == pytest.approx(rest.mean(cross)[0], rel=1e-6)
    assert variance[4] == pytest.approx(rest.covariance(covariance[4:5, 4:5], cross)[0, 0] + 0.2, rel=1e-6)


def test_inverse_and_weights_without_one() -> None:
    covariance = squared_exponential(PLACES, PLACES, 1.0)
    found = fit(VALUES, covariance, NOISE)
    assert_allclose(found.inverse @ (covariance + np.diag(NOISE)), np.eye(12), atol=1e-6)
    kept = np.arange(12) != 7
    rest = fit(VALUES[kept], covariance[np.ix_(kept, kept)], NOISE[kept])
    assert_allclose(found.weights_without()[kept, 7], rest.weights, rtol=1e-6)
    assert found.weights_without()[7, 7] == pytest.approx(0.0, abs=1e-12)


def test_length_scales_stretch_each_direction() -> None:
    found = squared_exponential(np.zeros((1, 2)), np.array([[1.0, 4.0]]), np.array([1.0, 4.0]))
    assert_allclose(found, np.exp(-1.0))
    assert_allclose(squared_exponential(np.zeros(1), np.array([2.0]), 2.0), np.exp(-0.5))


def test_the_same_place_twice_can_be_fitted() -> None:
    covariance = np.ones((3, 3))
    assert np.isfinite(fit(np.ones(3), covariance, np.full(3, 1e-9)).log_evidence)


@pytest.mark.parametrize(("value", "noise"), [(np.nan, 1.0), (1.0, 0.0), (1.0, np.inf)])
def test_what_is_no_observation_is_refused(value: float, noise: float) -> None:
    with pytest.raises(InputError, match="no finite gain"):
        fit(np.array([value]), np.eye(1), np.array([noise]))
