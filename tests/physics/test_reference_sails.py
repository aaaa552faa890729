"""The older sail model kept for comparison."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.reference_sails import ReferenceRig, reference_sum

RIG = ReferenceRig(19.0, 13.0, 8.6, 8.6, 2.6, 0.9, 10.2, 0.10, 2.4, 0.85)


def test_worked_example_close_hauled():
    got = reference_sum(RIG, np.radians(27.0), close_hauled=True)
    assert_allclose(RIG.nominal_area, 30.18)
    assert_allclose(
        [
            got.full.lift,
            got.full.parasitic_drag,
            got.aspect_ratio,
            got.windage,
            got.drag,
            got.full.centre_height,
        ],
        [1.5905, 0.0212, 4.8954, 0.1146, 0.3129, 3.888],
        rtol=3e-4,
        atol=5e-5,
    )


def test_worked_example_sheets_freed():
    got = reference_sum(RIG, np.radians(50.0), close_hauled=False)
    assert_allclose(
        [got.full.lift, got.full.parasitic_drag, got.aspect_ratio, got.drag],
        [1.1597, 0.2021, 4.1713, 0.4260],
        atol=5e-5,
    )


def test_not_valid_close_to_the_wind():
    got = reference_sum(RIG, np.radians(np.array([15.0, 20.0, 27.0])), close_hauled=True)
    assert np.isnan(got.full.lift[0])
    assert_allclose(got.full.lift[1], got.full.lift[2])


def test_both_tacks_alike():
    at = np.radians(np.linspace(25.0, 175.0, 40))
    right = reference_sum(RIG, at, close_hauled=False).full
    left = reference_sum(RIG, -at, close_hauled=False).full
    assert_allclose(np.array(left[:5]), np.array(right[:5]))


def test_impossible_rig_is_refused():
    with pytest.raises(InputError, match="beam"):
        replace(RIG, beam=0.0)
