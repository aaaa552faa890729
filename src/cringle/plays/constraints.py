"""From a play to points in time and the bounds between them, each with the sentence it stands for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from cringle.plays.network import Bound, at_least
from cringle.plays.play_file import Action, Cue, PlayFile

ORIGIN = 0


@dataclass(frozen=True)
class Points:
    """Which point is what: the origin, the cues, and the start and end of every action."""

    start: Mapping[str, int]
    end: Mapping[str, int]
    cue: Mapping[str, int]

    @property
    def count(self) -> int:
        """How many points there are, the origin and the finish included."""
        return 2 + len(self.cue) + 2 * len(self.start)

    @property
    def finish(self) -> int:
        """The point at which everything is done."""
        return self.count - 1

    def event(self, name: str) -> int:
        """Return the point of ``action.start`` or ``action.end``."""
        action, _, which = name.partition(".")
        return (self.start if which == "start" else self.end)[action]

    def ended(self, name: str) -> int:
        """Return the end of an action, or the point of a cue."""
        return self.cue[name] if name in self.cue else self.end[name]


@dataclass(frozen=True)
class Order:
    """A play as a network: its points, its bounds, and the durations they were made with [s]."""

    points: Points
    bounds: tuple[Bound, ...]
    durations_s: Mapping[str, float] = field(default_factory=dict)


def points_of(play: PlayFile) -> Points:
    """Return the numbering of the points of a play."""
    cues = {one.id: 1 + index for index, one in enumerate(play.cues)}
    first = 1 + len(cues)
    starts = {one.id: first + 2 * index for index, one in enumerate(play.actions)}
    ends = {name: point + 1 for name, point in starts.items()}
    return Points(starts, ends, cues)


def order_of(play: PlayFile, durations_s: Mapping[str, float] | None = None) -> Order:
    """Return the network of a play.

    Parameters
    ----------
    play : PlayFile
        Checked: every name in it exists.
    durations_s : mapping, optional
        Duration of each action [s]; the likely ones when left out.
    """
    lasting = durations_s or {one.id: one.likely_s for one in play.actions}
    points = points_of(play)
    bounds = [
        *(one for cue in play.cues for one in _cue_bounds(points, cue)),
        *(one for action in play.actions for one in _own_bounds(points, action, lasting[action.id])),
        *(one for action in play.actions for one in _order_bounds(points, action)),
        *(one for action in play.actions for one in _cue_ties(points, action)),
    ]
    return Order(points, tuple(bounds), lasting)


def _same(one: int, other: int, gap: float, why: str, items: tuple[str, ...]) -> Iterator[Bound]:
    """Yield both halves of ``time[other] - time[one] == gap``."""
    yield at_least(one, other, gap, why, items)
    yield Bound(one, other, gap, why, items)


def _cue_bounds(points: Points, cue: Cue) -> Iterator[Bound]:
    point, items = points.cue[cue.id], (cue.id,)
    if cue.at_s is not None:
        yield from _same(ORIGIN, point, cue.at_s[1], f"{cue.id} comes at {cue.at_s[1]:g} s", items)
    if cue.on is not None:
        of, _, which = cue.on.partition(".")
        yield from _same(points.event(cue.on), point, 0.0, f"{cue.id} is the {which} of {of}", (cue.id, of))


def _own_bounds(points: Points, action: Action, duration: float) -> Iterator[Bound]:
    start, end, items = points.start[action.id], points.end[action.id], (action.id,)
    yield at_least(ORIGIN, start, 0.0, f"{action.id} cannot start before the play", items)
    yield at_least(start, end, duration, f"{action.id} takes {duration:g} s", items)
    yield at_least(end, points.finish, 0.0, f"{action.id} belongs to the play", items)
    if not action.hold:
        yield Bound(start, end, duration, f"{action.id} takes no longer than {duration:g} s", items)


def _order_bounds(points: Points, action: Action) -> Iterator[Bound]:
    start, end = points.start[action.id], points.end[action.id]
    for other in action.after:
        yield at_least(points.end[other], start, 0.0, f"{action.id} waits for {other}", (action.id, other))
    for other in action.starts_with:
        why = f"{action.id} must start with {other}"
        yield from _same(points.start[other], start, 0.0, why, (action.id, other))
    for other in action.ends_with:
        why = f"{action.id} must end with {other}"
        yield from _same(points.end[other], end, 0.0, why, (action.id, other))
    for other in action.not_until:
        why = f"{action.id} must not end until {other}"
        yield at_least(points.ended(other), end, 0.0, why, (action.id, other))


def _cue_ties(points: Points, action: Action) -> Iterator[Bound]:
    name, start, end = action.id, points.start[action.id], points.end[action.id]
    if action.not_before_cue is not None:
        cue = action.not_before_cue
        yield at_least(points.cue[cue], start, 0.0, f"{name} must not start before {cue}", (name, cue))
    if action.before_cue is not None:
        cue = action.before_cue
        yield at_least(end, points.cue[cue], 0.0, f"{name} must be done before {cue}", (name, cue))
    if action.ends_at_cue is not None:
        cue = action.ends_at_cue
        yield from _same(points.cue[cue], end, 0.0, f"{name} must end at {cue}", (name, cue))


def loop_ids(chain: list[Bound], actions: Mapping[str, object]) -> list[str]:
    """Return the actions of an impossible chain, each once, in the order of the chain."""
    named = [name for bound in chain for name in bound.items]
    return [name for name in dict.fromkeys(named) if name in actions]


def loop_sentence(chain: list[Bound]) -> str:
    """Return an impossible chain as one sentence: ``hoist must end with pole, pole waits for furl, ...``."""
    reasons = list(dict.fromkeys(bound.why for bound in chain if bound.why))
    waits = [why for why in reasons if not (" takes " in why or why.endswith("before the play"))]
    takes = [why for why in reasons if why not in waits]
    shown = waits + ([f"and {', '.join(takes)}"] if takes and len(waits) < 3 else [])
    return "cannot all hold: " + ", ".join(shown or reasons)
