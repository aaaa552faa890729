"""What a control does to the speed, wind by wind, as learnt from trials: one role at a time.

The gain of a number d steps from the anchor at wind w is a Gaussian process f(w, d) with f(w, 0) as its
zero: a slope, a curvature and a rest, each smooth in the wind over 4 kn. How curved it is nobody knows
beforehand, so several curvatures, flat among them, are weighed by how well they explain the observations.
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

from cringle.trials.process import Fitted, fit, squared_exponential

Floats = NDArray[np.float64]
EffectKey = tuple[str, str]
Effects = Mapping[EffectKey, tuple[float, float]]
"""What is the same all day: which day and of which kind, to mean and variance [m/min, (m/min)^2]."""

DAY, BOATS = "day", "boats"
NO_EFFECTS: Final[Effects] = MappingProxyType({})

WIND_LENGTH_KN: Final = 4.0
STEP_LENGTH: Final = 2.0
"""Length scales of the response: wind [kn] and steps (our own priors)."""

NEAR_SHARE: Final = 0.7
NEAR_LENGTH_KN: Final = 1.5
"""So much of the slope's variance is a row's own and shared with winds this near only [kn]."""

CURVATURES: Final = (0.0, 0.25, 0.5, 1.0, 2.0, 4.0)
CURVATURE_PRIOR: Final = (0.3, 0.14, 0.14, 0.14, 0.14, 0.14)
"""Loss in m a minute for one step from the optimum; 0 is a control that does not matter (our own priors)."""

OPTIMUM_SD_STEPS: Final = 1.6
"""How far the optimum lies from a table made with care, as an s.d. in steps (our own prior)."""

CURVATURE_SPREAD: Final = 0.3
REST_SHARE: Final = 0.1
FLAT_SLOPE: Final = 0.1
"""S.d. of the curvature from wind to wind and of the rest, as shares of the curvature; the slope of a flat
response."""

OUTING_SD: Final = 0.3
UNSWAPPED_SD: Final = 2.0
"""S.d. of what is the same all day, and of the difference of two boats that did not swap [m/min]."""

TINY: Final = 1e-12
UNLIKELY: Final = 1e-4
"""A curvature with less chance than this is passed over while the trust of the observations is found."""

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
class Places:
    """Pairs of numbers compared at winds: gain of `tried` over `reference`, each shape (n,)."""

    wind_kn: Floats
    tried: Floats
    reference: Floats


@dataclass(frozen=True)
class Component:
    """The fit under one curvature."""

    curvature: float
    fitted: Fitted | None


@dataclass(frozen=True)
class Response:
    """What is known of a role.

    Parameters
    ----------
    seen : tuple of Seen
        The observations behind it.
    components : tuple of Component
        The fit under each curvature.
    chances : array, shape (k,)
        Chance of each curvature.
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
        """Return mean and covariance of gains under each curvature."""
        found, own, crossed = [], _pieces(at, at), _pieces(at, self.places)
        for component in self.components:
            mean, prior = prior_mean(at, component.curvature), _scaled(own, component.curvature)
            if component.fitted is not None:
                cross = _scaled(crossed, component.curvature)
                mean = mean + component.fitted.mean(cross)
                prior = component.fitted.covariance(prior, cross)
            found.append((mean, prior))
        return found

    def summary(self, at: Places) -> tuple[Floats, Floats, Floats]:
        """Return mean and s.d. of gains, and the chance that each is one, over all curvatures."""
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
        The trust of the others is kept. Both the process and the chances of the curvatures are those of the
        other observations, exactly, by the formulas of `cringle.trials.process`.
        """
        gain = _gains(self.seen, self.effects)
        log, rows = [], []
        for component, chance in zip(self.components, self.chances, strict=True):
            if component.fitted is None or chance < TINY:
                continue
            away = gain - prior_mean(self.places, component.curvature)
            mean, variance = component.fitted.left_out(away)
            log.append(np.log(chance) + 0.5 * np.log(variance) + 0.5 * (away - mean) ** 2 / variance)
            cross = kernel(at, self.places, component.curvature)
            prior = prior_mean(at, component.curvature)
            rows.append(prior[:, None] + cross @ component.fitted.weights_without())
        weights = np.exp(np.array(log) - np.max(log, axis=0))
        found: Floats = np.einsum("ki,kmi->im", weights / weights.sum(axis=0), np.array(rows))
        return found

    def draws(self, at: Places, count: int, *, seed: int = 1) -> list[Floats]:
        """Return gains as they could be under each curvature, each of shape (count, n)."""
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


def prior_mean(at: Places, curvature: float) -> Floats:
    """Return the expected gain before any trial: a parabola with its top at the anchor."""
    found: Floats = -curvature * (at.tried**2 - at.reference**2)
    return found


def kernel(first: Places, second: Places, curvature: float) -> Floats:
    """Return the prior covariance between gains.

    Notes
    -----
    A gain is f(w, tried) - f(w, reference). The covariance of f is that in the wind times: slope variance d
    d', curvature variance d^2 d'^2, and a squared exponential of the steps for the rest.
    """
    return _scaled(_pieces(first, second), curvature)


def _pieces(first: Places, second: Places) -> tuple[Floats, Floats, Floats]:
    """Return the parts of the kernel that no curvature changes: slope, bow and rest."""
    far = squared_exponential(first.wind_kn, second.wind_kn, WIND_LENGTH_KN)
    near = squared_exponential(first.wind_kn, second.wind_kn, NEAR_LENGTH_KN)
    wind = (1.0 - NEAR_SHARE) * far + NEAR_SHARE * near
    line = np.outer(first.tried - first.reference, second.tried - second.reference)
    bow = np.outer(first.tried**2 - first.reference**2, second.tried**2 - second.reference**2)
    return wind * line, far * bow, wind * _differences(first, second)


def _scaled(pieces: tuple[Floats, Floats, Floats], curvature: float) -> Floats:
    slope = max(2.0 * curvature * OPTIMUM_SD_STEPS, FLAT_SLOPE)
    bow, rest = CURVATURE_SPREAD * curvature, REST_SHARE * max(curvature, FLAT_SLOPE)
    return slope**2 * pieces[0] + bow**2 * pieces[1] + rest**2 * pieces[2]


def _differences(first: Places, second: Places) -> Floats:
    def between(one: Floats, other: Floats) -> Floats:
        return squared_exponential(one, other, STEP_LENGTH)

    return (
        between(first.tried, second.tried)
        - between(first.tried, second.reference)
        - between(first.reference, second.tried)
        + between(first.reference, second.reference)
    )


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
        components = tuple(Component(one, None) for one in CURVATURES)
        return Response((), components, np.array(CURVATURE_PRIOR), np.zeros(0), effects)
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
    pieces: tuple[Floats, Floats, Floats]
    likely: list[int]

    @classmethod
    def of(cls, seen: tuple[Seen, ...], effects: Effects) -> _Evidence:
        at, (keys, loads) = places_of(seen), day_loadings(seen)
        day = (loads * _effects_of(keys, effects)[1]) @ loads.T
        own = np.array([one.standard_error**2 for one in seen])
        return cls(_gains(seen, effects), at, own, day, _pieces(at, at), list(range(len(CURVATURES))))

    def components(self, trust: Floats, *, likely_only: bool = False) -> tuple[tuple[Component, ...], Floats]:
        """Return the fit under each curvature and its chance; unlikely ones may be passed over."""
        found, log = [], np.full(len(CURVATURES), -np.inf)
        for number in self.likely if likely_only else range(len(CURVATURES)):
            curvature = CURVATURES[number]
            away = self.gain - prior_mean(self.at, curvature)
            fitted = fit(away, _scaled(self.pieces, curvature) + self.day, self.own / trust)
            log[number] = np.log(CURVATURE_PRIOR[number]) + fitted.log_evidence
            found.append(Component(curvature, fitted))
        weights = np.exp(log - log.max())
        weights /= weights.sum()
        if likely_only:
            kept = [number for number in self.likely if weights[number] >= UNLIKELY]
            found = [one for one in found if CURVATURES.index(one.curvature) in kept]
            self.likely[:] = kept
            return tuple(found), weights[kept] / weights[kept].sum()
        return tuple(found), weights

    def trust(self, components: Sequence[Component], chances: Floats, trust: Floats) -> Floats:
        """Return how much each observation counts after a look at what the others say of it."""
        square = np.zeros(self.gain.size)
        for component, chance in zip(components, chances, strict=True):
            if component.fitted is None:
                continue
            away = self.gain - prior_mean(self.at, component.curvature)
            mean, variance = component.fitted.left_out(away)
            honest = np.maximum(variance - self.own / trust, 0.0) + self.own
            square += chance * (away - mean) ** 2 / honest
        return np.minimum((TAIL_FREEDOM + 1.0) / (TAIL_FREEDOM + square), 1.0)
