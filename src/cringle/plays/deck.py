"""The deck as places joined by ways: how long it takes from one to another, and past whom.

A place off the centreline exists twice, on the windward side before the turn of a tack or gybe (``old``) and
on the one after it (``new``).
"""

from __future__ import annotations

import heapq
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from cringle.plays.play_file import Spot

Node = tuple[str, str]
"""Station and side; a place on the centreline always has the side ``old``."""


@dataclass(frozen=True)
class DeckPlace:
    """One station of the class.

    Parameters
    ----------
    id, name : str
        As in the class file.
    x, y, z : float
        Forward, to windward and up. [m]
    capacity : int
        How many people it holds.
    neighbours : mapping
        Station next to it to the time it takes to get there [s].
    on_centreline : bool
        Whether it stays where it is when the windward side changes.
    """

    id: str
    name: str
    x: float
    y: float
    z: float
    capacity: int
    neighbours: Mapping[str, float] = field(hash=False)
    on_centreline: bool = False


@dataclass(frozen=True, eq=False)
class Deck:
    """All places of a boat."""

    places: Mapping[str, DeckPlace]

    def node(self, spot: Spot) -> Node:
        """Return the place on the boat that a spot means."""
        return self._node(spot.station, spot.side)

    def _node(self, station: str, side: str) -> Node:
        return (station, "old" if self.places[station].on_centreline else side)

    def name(self, node: Node) -> str:
        """Return a place in words."""
        place = self.places[node[0]]
        return place.name if place.on_centreline or node[1] == "old" else f"{place.name}, new side"

    def capacity(self, node: Node) -> int:
        """Return how many people a place holds."""
        return self.places[node[0]].capacity

    def next_to(self, node: Node) -> dict[Node, float]:
        """Return the places one step away, with the time of the step [s]."""
        place = self.places[node[0]]
        sides = ("old", "new") if place.on_centreline else (node[1],)
        return {
            self._node(other, side): seconds
            for other, seconds in place.neighbours.items()
            if other in self.places
            for side in sides
        }

    def route(
        self, start: Node, goal: Node, full: Collection[Node] = ()
    ) -> tuple[list[Node], list[float]] | None:
        """Return the quickest way and when each place of it is reached [s]; None where there is none.

        Parameters
        ----------
        start, goal : Node
            Where from and where to.
        full : collection of Node
            Places nobody can pass through or come to.
        """
        best, came_from = {start: 0.0}, {start: start}
        queue = [(0.0, start)]
        while queue:
            seconds, node = heapq.heappop(queue)
            if node == goal:
                return _way_back(came_from, best, goal)
            for other, step in self.next_to(node).items():
                if other not in full and seconds + step < best.get(other, float("inf")):
                    best[other], came_from[other] = seconds + step, node
                    heapq.heappush(queue, (seconds + step, other))
        return None

    @lru_cache(maxsize=4096)  # noqa: B019 - a deck lives as long as the process that asked for it
    def walk_s(self, start: Node, goal: Node) -> float:
        """Return the least time from one place to another [s]; infinite where there is no way."""
        found = self.route(start, goal)
        return float("inf") if found is None else found[1][-1]

    def between_s(self, leaving: Spot | None, coming: Spot | None) -> float:
        """Return the time from where one action leaves a person to where the next needs them [s]."""
        if leaving is None or coming is None:
            return 0.0
        return self.walk_s(self.node(leaving), self.node(coming))


def _way_back(
    came_from: Mapping[Node, Node], best: Mapping[Node, float], goal: Node
) -> tuple[list[Node], list[float]]:
    path = [goal]
    while came_from[path[-1]] != path[-1]:
        path.append(came_from[path[-1]])
    path.reverse()
    return path, [best[node] for node in path]


def deck_of(places: Sequence[DeckPlace]) -> Deck:
    """Return a deck; ways are walked in both directions whichever end named them."""
    joined: dict[str, dict[str, float]] = {one.id: dict(one.neighbours) for one in places}
    for one in places:
        for other, seconds in one.neighbours.items():
            if other in joined:
                joined[other].setdefault(one.id, seconds)
    return Deck(
        {
            one.id: DeckPlace(
                one.id, one.name, one.x, one.y, one.z, one.capacity, joined[one.id], one.on_centreline
            )
            for one in places
        }
    )
