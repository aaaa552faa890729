import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.screw import body_turn, pitch_of_thread


@pytest.mark.parametrize(
    ("threads", "pitch_mm"),
    [(32, 0.7938), (28, 0.9071), (24, 1.0583), (20, 1.2700), (18, 1.4111)],
)
def test_unified_pitches(threads, pitch_mm):
    """ASME B1.1: pitch is one inch over threads an inch; five digits as printed."""
    assert_allclose(1e3 * pitch_of_thread(threads), pitch_mm, atol=6e-5)


def test_body_moves_both_threads_and_an_adjuster_one():
    assert_allclose(body_turn(0.001, 0.001), 0.002)
    assert_allclose(body_turn(0.001), 0.001)


def test_no_threads_is_refused():
    with pytest.raises(InputError, match="threads per inch"):
        pitch_of_thread(0)
