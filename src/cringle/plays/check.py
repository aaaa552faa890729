"""Everything a check of a play says: its plan, people and places, and the rules it touches."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from cringle.plays.crew import Deal
from cringle.plays.plan import Aboard, Plan, plan_play
from cringle.plays.play_file import PlayFile
from cringle.plays.rhythm import faster_after_turn
from cringle.plays.whereabouts import (
    Track,
    hand_conflicts,
    move_conflicts,
    off_the_rail,
    place_conflicts,
    settle,
    tracks_of,
)


@dataclass(frozen=True)
class Checked:
    """A checked play.

    Parameters
    ----------
    plan : Plan
        With every conflict found, of order, hands and places.
    tracks : tuple of Track
        Where everybody is; empty when the order cannot be.
    off_rail_s : mapping
        Person to the spans during which they are not out on the rail.
    warnings : tuple of str
        What is allowed and still worth a thought.
    """

    plan: Plan
    tracks: tuple[Track, ...]
    off_rail_s: Mapping[str, list[tuple[float, float]]]
    warnings: tuple[str, ...]


def check_plan(
    play: PlayFile,
    aboard: Aboard,
    deal: Deal,
    *,
    durations_s: Mapping[str, float] | None = None,
    like_s: Mapping[str, float] | None = None,
) -> Checked:
    """Return a play checked for given people: order, hands, places, and the rule on propulsion."""
    plan = plan_play(play, aboard, deal, durations_s=durations_s, like_s=like_s)
    turned = faster_after_turn(play)
    warnings = (turned,) if turned else ()
    if plan.makespan_s is None:
        return Checked(plan, (), {}, warnings)
    tracks = settle(tracks_of(plan, aboard), aboard, plan.makespan_s)
    conflicts = (
        *plan.conflicts,
        *hand_conflicts(plan, aboard),
        *move_conflicts(plan, aboard),
        *place_conflicts(tracks, aboard, plan.makespan_s),
    )
    off = off_the_rail(tracks, plan.makespan_s)
    return Checked(replace(plan, conflicts=conflicts), tuple(tracks), off, warnings)
