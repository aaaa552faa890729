"""Constants have the value of their definition, and derived ones are derived."""

from __future__ import annotations

from numpy.testing import assert_allclose
from scipy import constants as scipy_constants

from cringle import constants


def test_against_scipy() -> None:
    assert_allclose(constants.NAUTICAL_MILE_M, scipy_constants.nautical_mile, rtol=0)
    assert_allclose(constants.KNOT_M_PER_S, scipy_constants.knot, rtol=1e-15)
    assert_allclose(constants.INCH_M, scipy_constants.inch, rtol=1e-15)
    assert_allclose(constants.POUND_KG, scipy_constants.pound, rtol=1e-12)
    assert_allclose(constants.STANDARD_GRAVITY_M_PER_S2, scipy_constants.g, rtol=0)
