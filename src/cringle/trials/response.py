"""What a control does to the speed, wind by wind, as learnt from trials: one role at a time.

Each belief of `cringle.trials.belief` is a Gaussian process, fitted on its own; the beliefs are weighed by
how well they explain the observations.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from cringle.trials.belief import BELIEFS, Belief, Pieces, Places, kernel, pieces_of, prior_mean, scaled
from cringle.trials.process import Fitted, fit

Floats = NDArray[np.float64]
EffectKey = tuple[str, str]
Effects = Mapping[EffectKey, tuple[float, float]]
"""What is the same all day: which day and of which kind, to mean and variance [m/min, (m/min)^2]."""

DAY, BOATS = "day", "boats"
NO_EFFECTS: Final[Effects] = MappingProxyType({})

OUTING_SD: Final = 0.3
UNSWAPPED_SD: Final = 2.0
"""S.d. of what is the same all day, and of the difference of two boats that did not swap [m/min]."""

TINY: Final = 1e-12
UNLIKELY: Final = 1e-4
"""A belief with less chance than this is passed over while the trust of the observations is found."""

TAIL_FREEDOM: Final = 4.0
ROBUST_ROUNDS: Final = 5
"""Errors have the tails of a Student t with 4 degrees of freedom, so that a wild one counts little."""


@dataclass(frozen=True)
class Seen:
    """One observation of a role, ready for the fit.

    Parameters
    ----------
    wind_kn : float
        Wind it was sailed in.
    tried, reference : float
        The two numbers compared, in steps from the anchor.
    gain, standard_error : float
        Of tried over reference. [m/min]
    outing : str
        Day it belongs to.
    swapped : bool
        Whether the change was swapped over, so that the boats' own difference has gone.
    name : str
        How a person finds it again.
    carrier : int
        1 when our boat had the number tried, -1 when the other had; it matters only without a swap.
    """

    wind_kn: float
    tried: float
    reference: float
    gain: float
    standard_error: float
    outing: str
    swapped: bool = True
    name: str = ""
    carrier: int = 1


@dataclass(frozen=True)
class Component:
    """The fit under one belief."""

    belief: Belief
    fitted: Fitted | None


@dataclass(frozen=True)
class Response:
    """What is known of a role.

    Parameters
    ----------
    seen : tuple of Seen
        The observations behind it.
    components : tuple of Component
        The fit under each belief.
    chances : array, shape (k,)
        Chance of each belief.
    trust : array, shape (n,)
        How much each observation counts, 1 in full; less for one the others contradict.
    effects : mapping
        What other roles say of the days, where they say anything.
    """

    seen: tuple[Seen, ...]
    components: tuple[Component, ...]
    chances: Floats
    trust: Floats
    effects: Effects

    @cached_property
    def places(self) -> Places:
        """Where the observations were made."""
        return places_of(self.seen)

    def moments(self, at: Places) -> list[tuple[Floats, Floats]]:
        """Return mean and covariance of gains under each belief."""
        found, own, crossed = [], pieces_of(at, at), pieces_of(at, self.places)
        for component in self.components:
            mean, prior = prior_mean(at, component.belief), scaled(own, component.belief)
            if component.fitted is not None:
                cross = scaled(crossed, component.belief)
                mean = mean + component.fitted.mean(cross)
                prior = component.fitted.covariance(prior, cross)
            found.append((mean, prior))
        return found

    def summary(self, at: Places) -> tuple[Floats, Floats, Floats]:
        """Return mean and s.d. of gains, and the chance that each is one, over all beliefs."""
        moments = self.moments(at)
        means = np.array([mean for mean, _ in moments])
        spread = np.array([np.maximum(np.diag(covariance), 0.0) for _, covariance in moments])
        mean = self.chances @ means
        sd = np.sqrt(np.maximum(self.chances @ (spread + means**2) - mean**2, 0.0))
        return mean, sd, self.chances @ ndtr(means / np.sqrt(spread + TINY))

    def expected_without(self, at: Places) -> Floats:
        """Return expected gains as they would be with one observation left out, a row an observation.

        Notes
        -----
        The trust of the others is kept. Both the process and the chances of the beliefs are those of the
        other observations, exactly, by the formulas of `cringle.trials.process`.
        """
        gain = _gains(self.seen, self.effects)
        log, rows = [], []
        for component, chance in zip(self.components, self.chances, strict=True):
            if component.fitted is None or chance < TINY:
                continue
            away = gain - prior_mean(self.places, component.belief)
            mean, variance = component.fitted.left_out(away)
            log.append(np.log(chance) + 0.5 * np.log(variance) + 0.5 * (away - mean) ** 2 / variance)
            cross = kernel(at, self.places, component.belief)
            prior = prior_mean(at, component.belief)
            rows.append(prior[:, None] + cross @ component.fitted.weights_without())
        weights = np.exp(np.array(log) - np.max(log, axis=0))
        found: Floats = np.einsum("ki,kmi->im", weights / weights.sum(axis=0), np.array(rows))
        return found

    def draws(self, at: Places, count: int, *, seed: int = 1) -> list[Floats]:
        """Return gains as they could be under each belief, each of shape (count, n)."""
        rng = np.random.default_rng(seed)
        found = []
        for mean, covariance in self.moments(at):
            values, vectors = np.linalg.eigh(covariance)
            root = vectors * np.sqrt(np.maximum(values, 0.0))
            found.append(mean + rng.standard_normal((count, mean.size)) @ root.T)
        return found

    def day_messages(self) -> dict[EffectKey, tuple[float, float]]:
        """Return what these observations alone say of their days: precision, and precision times mean."""
        keys, loads = day_loadings(self.seen)
        prior_mean_, prior = _effects_of(keys, self.effects)
        means, variances = [], []
        for component in self.components:
            if component.fitted is None:
                return {}
            half = component.fitted.inverse @ loads
            means.append(prior_mean_ + prior * (loads.T @ component.fitted.weights))
            variances.append(prior - prior**2 * np.sum(loads * half, axis=0))
        mean = self.chances @ np.array(means)
        variance = self.chances @ (np.array(variances) + np.array(means) ** 2) - mean**2
        precision = 1.0 / np.maximum(variance, TINY) - 1.0 / prior
        told = precision > TINY
        sums = mean / np.maximum(variance, TINY) - prior_mean_ / prior
        return {key: (precision[n], sums[n]) for n, key in enumerate(keys) if told[n]}


def places_of(seen: Sequence[Seen]) -> Places:
    """Return where observations were made."""
    table = np.array([(one.wind_kn, one.tried, one.reference) for one in seen]).reshape(-1, 3)
    return Places(table[:, 0], table[:, 1], table[:, 2])


def day_loadings(seen: Sequence[Seen]) -> tuple[list[EffectKey], Floats]:
    """Return what is the same all day, and how much of each every observation has, shape (n, q).

    Notes
    -----
    Every trial of a day shares what that day favours; those that did not swap also share the difference of
    the two boats, with the sign of the boat that carried the change.
    """
    days = [(one.outing, DAY) for one in seen]
    boats = [(one.outing, BOATS) for one in seen if not one.swapped]
    keys = list(dict.fromkeys([*days, *boats]))
    place = {key: number for number, key in enumerate(keys)}
    loads = np.zeros((len(seen), len(keys)))
    for number, one in enumerate(seen):
        loads[number, place[one.outing, DAY]] = 1.0
        if not one.swapped:
            loads[number, place[one.outing, BOATS]] = float(one.carrier)
    return keys, loads


def day_priors(seen: Sequence[Seen]) -> dict[EffectKey, float]:
    """Return the prior variance of everything that is the same all day for some observations."""
    variance = {DAY: OUTING_SD**2, BOATS: UNSWAPPED_SD**2}
    return {key: variance[key[1]] for key in day_loadings(seen)[0]}


def _effects_of(keys: Sequence[EffectKey], effects: Effects) -> tuple[Floats, Floats]:
    """Return mean and variance of what is the same all day, from elsewhere or from the prior."""
    prior = {DAY: (0.0, OUTING_SD**2), BOATS: (0.0, UNSWAPPED_SD**2)}
    table = np.array([effects.get(key, prior[key[1]]) for key in keys]).reshape(-1, 2)
    return table[:, 0], table[:, 1]


def _gains(seen: Sequence[Seen], effects: Effects) -> Floats:
    """Return the gains less what other roles say of their days."""
    keys, loads = day_loadings(seen)
    found: Floats = np.array([one.gain for one in seen]) - loads @ _effects_of(keys, effects)[0]
    return found


def respond(seen: Sequence[Seen], effects: Effects = NO_EFFECTS) -> Response:
    """Return what observations of one role teach.

    Parameters
    ----------
    seen : sequence of Seen
        Any number, none included: then it is the prior.
    effects : mapping
        What is known of the days from elsewhere; the prior where nothing is.

    Notes
    -----
    The t-tailed error is fitted by reweighing: after each round an observation's variance is multiplied by
    (nu + z^2) / (nu + 1), z its distance in s.d. from what all the others predict, never by less than 1.
    """
    observations = tuple(seen)
    if not observations:
        components = tuple(Component(one, None) for one in BELIEFS)
        return Response((), components, np.array([one.prior for one in BELIEFS]), np.zeros(0), effects)
    trust, evidence = np.ones(len(observations)), _Evidence.of(observations, effects)
    for _ in range(ROBUST_ROUNDS):
        components, chances = evidence.components(trust, likely_only=True)
        trust = np.sqrt(trust * evidence.trust(components, chances, trust))
    components, chances = evidence.components(trust)
    return Response(observations, components, chances, trust, effects)


@dataclass(frozen=True)
class _Evidence:
    """Everything about observations that does not change while their trust is found."""

    gain: Floats
    at: Places
    own: Floats
    day: Floats
    pieces: Pieces
    likely: list[int]

    @classmethod
    def of(cls, seen: tuple[Seen, ...], effects: Effects) -> _Evidence:
        at, (keys, loads) = places_of(seen), day_loadings(seen)
        day = (loads * _effects_of(keys, effects)[1]) @ loads.T
        own = np.array([one.standard_error**2 for one in seen])
        return cls(_gains(seen, effects), at, own, day, pieces_of(at, at), list(range(len(BELIEFS))))

    def components(self, trust: Floats, *, likely_only: bool = False) -> tuple[tuple[Component, ...], Floats]:
        """Return the fit under each belief and its chance; unlikely ones may be passed over."""
        found, log = [], np.full(len(BELIEFS), -np.inf)
        for number in self.likely if likely_only else range(len(BELIEFS)):
            belief = BELIEFS[number]
            away = self.gain - prior_mean(self.at, belief)
            fitted = fit(away, scaled(self.pieces, belief) + self.day, self.own / trust)
            log[number] = np.log(belief.prior) + fitted.log_evidence
            found.append(Component(belief, fitted))
        weights = np.exp(log - log.max())
        weights /= weights.sum()
        if likely_only:
            kept = [number for number in self.likely if weights[number] >= UNLIKELY]
            found = [one for one in found if BELIEFS.index(one.belief) in kept]
            self.likely[:] = kept
            return tuple(found), weights[kept] / weights[kept].sum()
        return tuple(found), weights

    def trust(self, components: Sequence[Component], chances: Floats, trust: Floats) -> Floats:
        """Return how much each observation counts after a look at what the others say of it."""
        square = np.zeros(self.gain.size)
        for component, chance in zip(components, chances, strict=True):
            if component.fitted is None:
                continue
            away = self.gain - prior_mean(self.at, component.belief)
            mean, variance = component.fitted.left_out(away)
            honest = np.maximum(variance - self.own / trust, 0.0) + self.own
            square += chance * (away - mean) ** 2 / honest
        return np.minimum((TAIL_FREEDOM + 1.0) / (TAIL_FREEDOM + square), 1.0)
