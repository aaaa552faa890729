import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.physics.bridle import KINDS, Bridle, bridle_kind, hand_load, ring_equilibrium

MADE = Bridle(0.75, 2.136, 7.6)


def test_apex_height_by_pythagoras():
    assert_allclose(MADE.apex_height, 2.0, atol=1e-6)


@pytest.mark.parametrize("name", list(KINDS))
@given(share=st.floats(0.0, 0.9), more=st.floats(0.01, 0.1))
def test_take_up_rises_with_pull(name, share, more):
    kind = bridle_kind(name)
    top = kind.largest_pull(MADE)
    assert kind.take_up(MADE, (share + more) * top) > kind.take_up(MADE, share * top)


@pytest.mark.parametrize("name", list(KINDS))
def test_nothing_pulled_takes_nothing_up(name):
    assert_allclose(bridle_kind(name).take_up(MADE, 0.0), 0.0, atol=1e-12)


def test_ring_ends_where_the_whole_spread_is_used():
    ring = bridle_kind("ring")
    assert_allclose(ring.take_up(MADE, ring.largest_pull(MADE)), 0.6140, atol=1e-4)
    assert_allclose(ring.take_up(MADE.longer_v(0.6), MADE.longer_v(0.6).apex_height), 0.6440, atol=1e-4)


def test_longer_v_at_equal_pull_and_at_equal_height():
    ring, longer = bridle_kind("ring"), MADE.longer_v(1.0)
    assert ring.take_up(longer, 1.0) < ring.take_up(MADE, 1.0)
    assert ring.advantage(longer, 1.0) > ring.advantage(MADE, 1.0)
    same_height = (
        ring.advantage(longer, longer.apex_height - 1.0),
        ring.advantage(MADE, MADE.apex_height - 1.0),
    )
    assert_allclose(*same_height)


def test_leg_shares():
    pull = np.array([0.1, 0.5])
    assert_allclose(bridle_kind("ring").leg_share(MADE, pull), 0.5)
    assert np.all(bridle_kind("line").leg_share(MADE, pull) > 0.5)


def test_slack_ring_carries_nothing():
    slack = Bridle(0.75, 2.136, 7.7)
    tension, force, _ = ring_equilibrium(
        slack, 1.9, distance=9.6, upper_stiffness=1e6, leg_stiffness=1e6, tip_compliance=3e-5
    )
    assert tension == 0.0
    assert force == 0.0


def test_hand_load():
    assert_allclose(hand_load(630.0, 4, 0.9), 175.0)


def test_unknown_kind_lists_both():
    with pytest.raises(InputError, match="ring, line"):
        bridle_kind("crane")


def test_leg_too_short():
    with pytest.raises(InputError, match="cannot span"):
        Bridle(0.75, 0.7, 7.6)
