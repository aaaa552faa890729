"""Many runs of a play."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.plays.crew import usual_deal
from cringle.plays.durations import beta_variance, three_point_mean
from cringle.plays.plan import plan_play
from cringle.plays.simulate import RiskSettings, simulate

OWNER = {"helm": "ines", "main": "tobias", "jib": "marit", "forward": "keo"}
ALONE = RiskSettings(samples=60_000, correlation=0.0, seed=5)


def planned(make, act, aboard, actions, **head):
    play = make(actions, **head)
    return plan_play(play, aboard, {one.id: OWNER[one.role] for one in play.actions})


@pytest.fixture(scope="module")
def chain(make, act, aboard):
    roles = ["helm", "main", "jib", "forward"]
    actions = [
        act(f"a{n}", roles[n % 4], duration_s=[1.0, 1.5 + 0.2 * n, 4.0], after=[f"a{n - 1}"] if n else [])
        for n in range(8)
    ]
    return planned(make, act, aboard, actions)


def test_a_chain_has_the_sum_of_means_and_variances(chain):
    found = simulate(chain, settings=ALONE)
    mean = sum(float(three_point_mean(*one.duration_s)) for one in chain.play.actions)
    variance = sum(beta_variance(one.duration_s) for one in chain.play.actions)
    assert_allclose(found.mean_s, mean, atol=5 * math.sqrt(variance / ALONE.samples))
    assert_allclose(found.sd_s**2, variance, rtol=0.03)
    assert set(found.criticality.values()) == {1.0}
    assert_allclose(list(found.second_saved_s.values()), 1.0, atol=0.02)


def test_people_who_are_slow_all_day_widen_the_spread(make, act, aboard):
    actions = [act("a"), act("b", after=["a"]), act("c", after=["b"])]
    plan = planned(make, act, aboard, actions)
    spreads = [simulate(plan, settings=RiskSettings(20_000, rho, 3)).sd_s for rho in (0.0, 1.0)]
    assert_allclose(spreads[1] / spreads[0], math.sqrt(3.0), rtol=0.03)


def test_half_a_correlation_gives_half_of_the_common_spread(make, act, aboard):
    actions = [act("a", duration_s=[1, 2, 3]), act("b", after=["a"], duration_s=[1, 2, 3])]
    plan = planned(make, act, aboard, actions)
    spreads = [simulate(plan, settings=RiskSettings(60_000, rho, 3)).sd_s for rho in (0.0, 0.5)]
    assert_allclose(spreads[1] / spreads[0], math.sqrt(1.5), rtol=0.02)


def test_the_chance_to_be_done_by_the_cue(make, act, aboard):
    cues = [{"id": "due", "words": "Due", "at_s": [2.5, 2.5, 2.5]}]
    plan = planned(make, act, aboard, [act("a", duration_s=[1.0, 2.5, 4.0])], cues=cues)
    assert_allclose(simulate(plan, settings=ALONE).p_done, 0.5, atol=0.01)


@pytest.mark.parametrize(("due", "share"), [(99.0, 1.0), (0.5, 0.0)])
def test_sure_and_hopeless(make, act, aboard, due, share):
    cues = [{"id": "due", "words": "Due", "at_s": [due] * 3}]
    plan = planned(make, act, aboard, [act("a")], cues=cues)
    assert simulate(plan).p_done == share


def test_of_two_alike_each_decides_half(make, act, aboard):
    plan = planned(make, act, aboard, [act("a"), act("b", "jib")])
    found = simulate(plan, settings=ALONE)
    assert_allclose(found.criticality["a"], 0.5, atol=0.02)
    assert_allclose(found.criticality["a"] + found.criticality["b"], 1.0, atol=1e-3)


def test_an_action_with_much_slack_decides_nothing(make, act, aboard):
    plan = planned(make, act, aboard, [act("a", seconds=5.0), act("b", "jib", 0.5)])
    found = simulate(plan)
    assert found.criticality["b"] == 0.0
    assert found.second_saved_s["b"] == 0.0


def test_the_gap_between_tack_and_head(make, act, aboard):
    actions = [
        act("hoist", "main", duration_s=[3.0, 4.0, 5.0], ends_with=["pole"]),
        act("pole", "forward", duration_s=[1.0, 2.0, 3.0]),
    ]
    plan = planned(make, act, aboard, actions, ends={"tack": "pole", "head": "hoist"})
    found = simulate(plan, settings=ALONE)
    spread = math.sqrt(2.0 * beta_variance((1.0, 2.0, 3.0)))
    assert_allclose(found.gap.mean_s, 0.0, atol=0.01)
    assert_allclose(found.gap.sd_s, spread, rtol=0.02)


def test_no_ends_no_gap(chain):
    assert simulate(chain, settings=RiskSettings(100)).gap is None


def test_times_learned_replace_the_written_ones(make, act, aboard):
    plan = planned(make, act, aboard, [act("a")])
    assert_allclose(simulate(plan, times={"a": (7.0, 7.0, 7.0)}).p50_s, 7.0)


def test_the_same_seed_gives_the_same_answer(chain):
    one, other = (simulate(chain, settings=RiskSettings(500, seed=9)) for _ in range(2))
    assert one == other
    assert simulate(chain, settings=RiskSettings(500, seed=8)) != one


def test_many_runs_come_in_pieces_and_count_all(chain):
    found = simulate(chain, settings=RiskSettings(samples=45_001))
    assert found.samples == 45_001
    assert found.p50_s < found.p90_s


def test_a_play_that_cannot_be_is_not_sampled(make, act, aboard):
    plan = planned(make, act, aboard, [act("a", after=["b"]), act("b", "jib", after=["a"])])
    with pytest.raises(InputError, match="cannot be done as planned"):
        simulate(plan)


@pytest.mark.parametrize(
    "bad", [{"samples": 0}, {"samples": 10**8}, {"correlation": 1.5}, {"correlation": -0.1}]
)
def test_settings_that_cannot_be(bad):
    with pytest.raises(InputError, match="accepted"):
        RiskSettings(**bad)


def test_every_play_of_the_library_can_be_sampled(library, hands, aboard):
    for name, text in library.items():
        plan = plan_play(text.play, aboard, usual_deal(text, hands))
        found = simulate(plan, settings=RiskSettings(2_000))
        assert np.isfinite(found.p90_s), name
        assert 0.3 < found.p_done <= 1.0, name
        assert max(found.criticality.values()) > 0.2, name
        assert (found.gap is not None) == (text.play.ends is not None)
