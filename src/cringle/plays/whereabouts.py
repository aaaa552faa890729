"""Who is where at which time of a plan, and where two people meet that do not fit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from cringle.boat.base import Posture
from cringle.plays.crew import Hand, starting_spot
from cringle.plays.deck import Deck, Node
from cringle.plays.network import TOLERANCE_S
from cringle.plays.plan import HANDS_OF_A_PERSON, Aboard, Plan
from cringle.plays.play_file import Action, Spot

OUT_ON_THE_RAIL = (Posture.HIKE, Posture.LEGS_IN)


@dataclass(frozen=True)
class Leg:
    """One person's way from one spot to another.

    Parameters
    ----------
    start_s, end_s : float
        When it begins and ends [s].
    start, goal : Spot
        From and to.
    path : tuple of Node
        Places passed, both ends included.
    shares : tuple of float
        When each is reached, as a share of the leg.
    action : str or None
        The action it is part of; None for a walk between two actions.
    free_s : float
        When a walk could begin at the earliest [s].
    """

    start_s: float
    end_s: float
    start: Spot
    goal: Spot
    path: tuple[Node, ...]
    shares: tuple[float, ...]
    action: str | None = None
    free_s: float = 0.0


@dataclass(frozen=True)
class Track:
    """Where one person is during a play: a first spot, and every leg after it."""

    hand: Hand
    first: Spot
    legs: tuple[Leg, ...]


@dataclass(frozen=True)
class Taken:
    """A place taken by one person for a while."""

    node: Node
    start_s: float
    end_s: float
    who: str
    passing: bool


def tracks_of(plan: Plan, aboard: Aboard) -> list[Track]:
    """Return where everybody is during a plan; people the play knows no place for are left out."""
    found = []
    for hand in aboard.hands:
        first = starting_spot(plan.play, hand)
        if first is not None:
            found.append(Track(hand, first, tuple(_legs(plan, aboard.deck, hand, first))))
    return found


def _legs(plan: Plan, deck: Deck, hand: Hand, first: Spot) -> Iterator[Leg]:
    mine = [one for one in plan.play.actions if plan.deal[one.id] == hand.id and one.at is not None]
    mine.sort(key=lambda one: (plan.start_s[one.id], plan.end_s[one.id]))
    spot, free_s = first, 0.0
    for action in mine:
        start_s, end_s = plan.start_s[action.id], plan.end_s[action.id]
        coming = action.at or spot
        if deck.node(coming) != deck.node(spot):
            walk = deck.between_s(spot, coming)
            leg = _leg(deck, (max(free_s, start_s - walk), start_s), (spot, coming), None)
            if leg is not None:
                yield replace(leg, free_s=free_s)
        elif coming.posture != spot.posture:
            yield Leg(start_s, start_s, spot, coming, (deck.node(spot),), (0.0,))
        spot, free_s = coming, max(free_s, end_s if not action.background else start_s)
        if action.to is not None:
            leg = _leg(deck, (start_s, end_s), (coming, action.to), action.id)
            if leg is not None:
                yield leg
            spot, free_s = action.to, end_s


def _leg(
    deck: Deck,
    times: tuple[float, float],
    ends: tuple[Spot, Spot],
    action: str | None,
    full: Sequence[Node] = (),
) -> Leg | None:
    found = deck.route(deck.node(ends[0]), deck.node(ends[1]), full)
    if found is None:
        return None
    path, reached = found
    whole = reached[-1] or 1.0
    return Leg(*times, *ends, tuple(path), tuple(one / whole for one in reached), action)


def taken_places(track: Track, deck: Deck, until_s: float) -> list[Taken]:
    """Return the places a person takes in turn; on the way half of each step belongs to each end."""
    node, since = deck.node(track.first), 0.0
    found: list[Taken] = []
    passing = False
    for leg in track.legs:
        for here, there, node_after in zip(leg.shares, leg.shares[1:], leg.path[1:], strict=False):
            change = leg.start_s + (leg.end_s - leg.start_s) * 0.5 * (here + there)
            found.append(Taken(node, since, change, track.hand.id, passing))
            node, since = node_after, change
            passing = node_after != leg.path[-1]
    found.append(Taken(node, since, max(until_s, since), track.hand.id, passing))
    return found


def settle(tracks: Sequence[Track], aboard: Aboard, until_s: float) -> list[Track]:
    """Return the tracks with people walking around full places where another way is as quick."""
    settled = list(tracks)
    for crowd in _crowds(settled, aboard.deck, until_s):
        for one in crowd:
            if one.passing:
                index = next(i for i, track in enumerate(settled) if track.hand.id == one.who)
                settled[index] = _around(settled[index], aboard.deck, one)
    return settled


def _around(track: Track, deck: Deck, taken: Taken) -> Track:
    """Return a track that avoids a full place on the leg that would pass it."""
    legs = list(track.legs)
    for index, leg in enumerate(legs):
        inside = leg.start_s - TOLERANCE_S <= taken.start_s <= leg.end_s + TOLERANCE_S
        if not inside or taken.node not in leg.path[1:-1]:
            continue
        earliest = leg.start_s if leg.action is not None else leg.free_s
        other = _leg(deck, (leg.start_s, leg.end_s), (leg.start, leg.goal), leg.action, [taken.node])
        length = float("inf") if other is None else _length_s(deck, other)
        if other is not None and length <= leg.end_s - earliest + TOLERANCE_S:
            legs[index] = replace(other, start_s=min(leg.start_s, leg.end_s - length), free_s=leg.free_s)
    return replace(track, legs=tuple(legs))


def _length_s(deck: Deck, leg: Leg) -> float:
    return sum(deck.next_to(one)[two] for one, two in zip(leg.path, leg.path[1:], strict=False))


def _crowds(tracks: Sequence[Track], deck: Deck, until_s: float) -> list[list[Taken]]:
    """Return each moment at which more people are in a place than it holds, once for each set of people."""
    taken = [one for track in tracks for one in taken_places(track, deck, until_s)]
    found: dict[tuple[Node, frozenset[str]], list[Taken]] = {}
    for node in dict.fromkeys(one.node for one in taken):
        here = [one for one in taken if one.node == node]
        for one in here:
            together = [
                two for two in here if two.start_s <= one.start_s + TOLERANCE_S < two.end_s - TOLERANCE_S
            ]
            if len(together) > deck.capacity(node):
                found.setdefault((node, frozenset(two.who for two in together)), together)
    return list(found.values())


def place_conflicts(tracks: Sequence[Track], aboard: Aboard, until_s: float) -> list[str]:
    """Return one sentence for every place that would have to hold more people than it does."""
    sentences = []
    for crowd in _crowds(tracks, aboard.deck, until_s):
        node, at = crowd[0].node, max(one.start_s for one in crowd)
        names = [aboard.hand(one.who).name for one in crowd]
        place = aboard.deck.name(node)
        through = next((aboard.hand(one.who).name for one in crowd if one.passing), None)
        if through is not None:
            others = _and([name for name in names if name != through])
            sentences.append(f"{through} cannot pass through {place} at {at:.1f} s: {others} in the way")
        else:
            holds = aboard.deck.capacity(node)
            sentences.append(f"{_and(names)} would be in {place} at {at:.1f} s; it holds {holds}")
    return sentences


def move_conflicts(plan: Plan, aboard: Aboard) -> list[str]:
    """Return one sentence for every action that moves a person faster than they can walk, or nowhere."""
    sentences = []
    for action in plan.play.actions:
        walk = aboard.deck.between_s(action.at, action.to)
        name = aboard.hand(plan.deal[action.id]).name
        if walk == float("inf"):
            sentences.append(f"{name} cannot do {action.id}: there is no way between its two places")
        elif walk > action.likely_s + TOLERANCE_S:
            sentences.append(
                f"{name} cannot do {action.id} in {action.likely_s:g} s: the way takes {walk:g} s"
            )
    return sentences


def hand_conflicts(plan: Plan, aboard: Aboard) -> list[str]:
    """Return one sentence for every moment at which somebody would need a third hand."""
    sentences: dict[tuple[str, frozenset[str]], str] = {}
    for hand in aboard.hands:
        mine = [one for one in plan.play.actions if plan.deal[one.id] == hand.id and one.hands > 0]
        for one in mine:
            at = plan.start_s[one.id]
            together = [two for two in mine if _runs_at(plan, two, at)]
            needed = sum(two.hands for two in together)
            if needed > HANDS_OF_A_PERSON:
                held = _and([f"{two.id} ({two.line or 'no line'})" for two in together])
                key = (hand.id, frozenset(two.id for two in together))
                sentences.setdefault(key, f"{hand.name} would need {needed} hands at {at:.1f} s for {held}")
    return list(sentences.values())


def _runs_at(plan: Plan, action: Action, at: float) -> bool:
    return plan.start_s[action.id] <= at + TOLERANCE_S and at < plan.end_s[action.id] - TOLERANCE_S


def off_the_rail(tracks: Sequence[Track], until_s: float) -> dict[str, list[tuple[float, float]]]:
    """Return when each person is not out on the rail, as pairs of times [s]."""
    found: dict[str, list[tuple[float, float]]] = {}
    for track in tracks:
        spans: list[tuple[float, float]] = []
        since = None if track.first.posture in OUT_ON_THE_RAIL else 0.0
        for leg in track.legs:
            is_out = leg.goal.posture in OUT_ON_THE_RAIL
            if since is None and len(leg.path) > 1:
                since = leg.start_s
            if is_out and since is not None:
                spans.append((since, leg.end_s))
                since = None
            elif not is_out and since is None:
                since = leg.start_s
        if since is not None and since < until_s:
            spans.append((since, until_s))
        found[track.hand.id] = spans
    return found


def _and(names: Sequence[str]) -> str:
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last
