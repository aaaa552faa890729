"""An independent replay: the rules of a play read straight off its fields, no network and no solver."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations

from cringle.plays.crew import starting_spot
from cringle.plays.plan import Aboard, Plan
from cringle.plays.play_file import PlayFile

CLOSE = 1e-6
"""Times closer than this are the same [s]."""


def broken_rules(plan: Plan, aboard: Aboard) -> list[str]:
    """Return the rules that a timed plan breaks; empty when it keeps them all."""
    play, start, end, cue = plan.play, plan.start_s, plan.end_s, plan.cue_s
    found = [*_order(play, start, end, cue), *_people(plan, aboard)]
    for one in play.cues:
        at = one.at_s[1] if one.at_s is not None else _event(str(one.on), start, end)
        if abs(cue[one.id] - at) > CLOSE:
            found.append(f"cue {one.id}")
    if plan.makespan_s is not None and abs(max(end.values()) - plan.makespan_s) > CLOSE:
        found.append("makespan")
    return found


def _event(name: str, start: Mapping[str, float], end: Mapping[str, float]) -> float:
    action, _, which = name.partition(".")
    return start[action] if which == "start" else end[action]


def _order(
    play: PlayFile, start: Mapping[str, float], end: Mapping[str, float], cue: Mapping[str, float]
) -> list[str]:
    found = []
    for one in play.actions:
        lasted, name = end[one.id] - start[one.id], one.id
        checks = {
            "before the call": start[name] >= -CLOSE,
            "too short": lasted >= one.likely_s - CLOSE,
            "too long": one.hold or lasted <= one.likely_s + CLOSE,
            "after": all(start[name] >= end[other] - CLOSE for other in one.after),
            "with": all(abs(start[name] - start[other]) <= CLOSE for other in one.starts_with),
            "ends with": all(abs(end[name] - end[other]) <= CLOSE for other in one.ends_with),
            "not until": all(
                end[name] >= (cue[other] if other in cue else end[other]) - CLOSE for other in one.not_until
            ),
            "not before": one.not_before_cue is None or start[name] >= cue[one.not_before_cue] - CLOSE,
            "before cue": one.before_cue is None or end[name] <= cue[one.before_cue] + CLOSE,
            "ends at": one.ends_at_cue is None or abs(end[name] - cue[one.ends_at_cue]) <= CLOSE,
        }
        found += [f"{name}: {rule}" for rule, kept in checks.items() if not kept]
    return found


def _people(plan: Plan, aboard: Aboard) -> list[str]:
    play, start, end = plan.play, plan.start_s, plan.end_s
    found = []
    for one, other in combinations(play.actions, 2):
        if plan.deal[one.id] != plan.deal[other.id]:
            continue
        apart = end[one.id] <= start[other.id] + CLOSE or end[other.id] <= start[one.id] + CLOSE
        both_work = not one.background and not other.background
        if not apart and (both_work or one.hands + other.hands > 2):
            found.append(f"{one.id} and {other.id} at once")
        first, second = (one, other) if start[one.id] <= start[other.id] else (other, one)
        if both_work and first.leaves_at is not None and second.at is not None:
            walk = aboard.deck.walk_s(aboard.deck.node(first.leaves_at), aboard.deck.node(second.at))
            if start[second.id] - end[first.id] < walk - CLOSE:
                found.append(f"no time to walk from {first.id} to {second.id}")
    for one in play.actions:
        spot = starting_spot(play, aboard.hand(plan.deal[one.id]))
        if spot is not None and one.at is not None:
            walk = aboard.deck.walk_s(aboard.deck.node(spot), aboard.deck.node(one.at))
            if start[one.id] < walk - CLOSE:
                found.append(f"no time to come to {one.id}")
    return found
