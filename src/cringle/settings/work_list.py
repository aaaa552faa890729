"""The work list: what to do to the boat, in which order; what the class forbids never ranks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from cringle.boat.survey_file import DepartureItem, SurveyItem
from cringle.settings.names import known_name

State = Literal["open", "done", "dropped"]
STATES: tuple[State, ...] = get_args(State)

CATEGORY_ORDER = {"essential": 0, "worthwhile": 1, "comfort": 2}
ALLOWED_ORDER = {"yes": 0, "ask": 1}

COST_OF_AN_HOUR = 25.0
"""How much money weighs as much as an hour of the owner's time, in the survey's currency. A choice of
this program: it only orders items of the same category."""


@dataclass(frozen=True)
class RankedItem:
    """One item of the work list with its place and its state.

    `rank` is None for what is done, dropped or forbidden. `worth_per_hour` is None when neither cost nor
    hours are known.
    """

    item: SurveyItem
    state: State
    rank: int | None
    worth_per_hour: float | None
    advice: str


@dataclass(frozen=True)
class WorkList:
    """The whole list: ranked advice, what the class forbids, and what is behind us."""

    ranked: tuple[RankedItem, ...]
    forbidden: tuple[RankedItem, ...]
    finished: tuple[RankedItem, ...]
    cost: float
    hours: float
    unknown: int


@dataclass(frozen=True)
class Tick:
    """One line of the departure check and whether it is ticked for this outing."""

    item: DepartureItem
    ticked: bool
    by: str = ""


def state_named(name: str) -> State:
    """Return a state by its name.

    Raises
    ------
    InputError
        There is no such state.
    """
    return known_name(name, STATES, what="state")


def worth_per_hour(item: SurveyItem) -> float | None:
    """Return worth over effort: one for the item and one per control it makes better, for each hour.

    Money counts as time at `COST_OF_AN_HOUR`. None when neither cost nor hours are known.
    """
    if item.cost is None and item.hours is None:
        return None
    effort = (item.hours or 0.0) + (item.cost or 0.0) / COST_OF_AN_HOUR
    return (1.0 + len(item.controls)) / max(effort, 0.25)


def rank_items(items: Sequence[SurveyItem], states: Mapping[str, State]) -> WorkList:
    """Return the work list in order.

    Order: essential before worthwhile before comfort; allowed before to be asked; then worth per hour of
    effort, the unknown last; then as in the file. An item the class forbids is listed apart and has no rank.

    Parameters
    ----------
    items : sequence of SurveyItem
        The survey.
    states : mapping
        Item id to its state; one that is missing is open.
    """
    known = [(item, states.get(item.id, "open")) for item in items]
    live = [item for item, state in known if state == "open" and item.allowed != "no"]
    live.sort(key=_order)
    ranked = tuple(
        RankedItem(item, "open", place, worth_per_hour(item), _advice(item))
        for place, item in enumerate(live, start=1)
    )
    forbidden = [(item, state) for item, state in known if item.allowed == "no" and state == "open"]
    finished = [(item, state) for item, state in known if state != "open"]
    return WorkList(
        ranked=ranked,
        forbidden=tuple(RankedItem(one, state, None, None, _advice(one)) for one, state in forbidden),
        finished=tuple(RankedItem(one, state, None, None, state) for one, state in finished),
        cost=sum(item.cost or 0.0 for item in live),
        hours=sum(item.hours or 0.0 for item in live),
        unknown=sum(item.cost is None or item.hours is None for item in live),
    )


def _order(item: SurveyItem) -> tuple[int, int, float]:
    worth = worth_per_hour(item)
    return CATEGORY_ORDER[item.category], ALLOWED_ORDER[item.allowed], -(worth if worth is not None else -1.0)


def _advice(item: SurveyItem) -> str:
    rule = f", rule {item.rule}" if item.rule else ""
    return {
        "yes": "do it",
        "ask": f"ask the class first{rule}",
        "no": f"the class forbids it{rule}: leave it",
    }[item.allowed]


def tick_items(
    items: Sequence[DepartureItem], ticks: Mapping[str, tuple[str, str]], outing: str
) -> list[Tick]:
    """Return the departure check for one outing.

    Parameters
    ----------
    items : sequence of DepartureItem
        The check list.
    ticks : mapping
        Item id to the outing it was last ticked for and who ticked it.
    outing : str
        This outing; a tick of an earlier one does not count.
    """
    return [
        Tick(item, ticked=ticks.get(item.id, ("", ""))[0] == outing, by=ticks.get(item.id, ("", ""))[1])
        for item in items
    ]
