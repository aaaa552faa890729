"""All roles at once: what the trials of one control say of a day is heard by the trials of the others.

Two boats that did not swap differ alike in every trial of the day, whatever control is tried, and so does
whatever else favours the boat with the change on that day. Each role is fitted on its own first; what it says
of its days goes to the others as a message, and they are fitted once more.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

from cringle.trials.response import EffectKey, Effects, Response, Seen, day_priors, respond


def respond_roles(seen: Mapping[str, Sequence[Seen]]) -> dict[str, Response]:
    """Return what is known of each role, with the effects of the days shared between the roles.

    Parameters
    ----------
    seen : mapping
        Role to its observations.

    Notes
    -----
    One round of message passing between Gaussians: a role's message on a day is its posterior of the day's
    effect over the prior, as precision and precision times mean; a role hears the sum of the others'.
    """
    alone = {role: respond(observations) for role, observations in seen.items()}
    said = {role: response.day_messages() for role, response in alone.items()}
    found = {}
    for role, response in alone.items():
        heard = _heard(role, response, said)
        found[role] = respond(response.seen, heard) if heard else response
    return found


def _heard(
    role: str, response: Response, said: Mapping[str, Mapping[EffectKey, tuple[float, float]]]
) -> Effects:
    """Return mean and variance of the effects of a role's days where other roles say something of them."""
    own = day_priors(response.seen)
    totals: dict[EffectKey, list[float]] = defaultdict(lambda: [0.0, 0.0])
    for other, messages in said.items():
        for key, (precision, weighted) in messages.items():
            if other != role and key in own:
                totals[key][0] += precision
                totals[key][1] += weighted
    heard = {}
    for key, (precision, weighted) in totals.items():
        variance = 1.0 / (1.0 / own[key] + precision)
        heard[key] = (variance * weighted, variance)
    return heard
