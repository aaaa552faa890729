"""The split backstay: what its travel does, where each wind sits, and how long the coarse part should be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cringle.boat.boat_file import Backstay
from cringle.errors import InputError, NotConvergedError
from cringle.physics.bridle import Bridle, BridleKind, bridle_kind, hand_load
from cringle.rig.base import BaseTune
from cringle.rig.model import bridle_of
from cringle.rig.state import RigState
from cringle.rig.turns import Setting, Solved, solve_setting
from cringle.units import metres_to_millimetres, millimetres_to_metres

Array = NDArray[np.float64]

ENDS = 0.08
"""Share of the travel to keep free at both ends (common practice, no source)."""

COARSE_STEPS_MM = (-60.0, -40.0, -20.0, 0.0, 20.0)
"""Coarse lengths shown either side of the advice. [mm]"""

_BEARING_N = 50.0
"""Above the slack tension by so much, a pull has begun to bend the mast. [N]"""


@dataclass(frozen=True)
class TravelRow:
    """One place of the puller.

    Parameters
    ----------
    travel_pct, pull_mm, take_up_mm : float
        Place of the puller from the top, and what it takes up.
    load_n, puller_n, hand_load_n : float
        Upper leg, puller, hand.
    advantage : float
        Upper leg over puller.
    tip_aft_mm, prebend_mm, sag_mm : float
        Masthead aft against the top of the travel; mast bend; forestay sag.
    """

    travel_pct: float
    pull_mm: float
    take_up_mm: float
    load_n: float
    puller_n: float
    hand_load_n: float
    advantage: float
    tip_aft_mm: float
    prebend_mm: float
    sag_mm: float


@dataclass(frozen=True)
class CoarseRow:
    """One coarse length.

    Parameters
    ----------
    shorten_mm : float
        Taken out of the coarse part; negative is longer.
    top_at_pct : float or None
        Where the top load comes; None when the travel ends before.
    least_at_pct : float
        Where the lightest setting of the day comes; 0 is the top end.
    is_off_both_ends : bool
        Whether the whole range keeps 8 % of the travel free at both ends.
    """

    shorten_mm: float
    top_at_pct: float | None
    least_at_pct: float
    is_off_both_ends: bool


@dataclass(frozen=True)
class HalfTravelAdvice:
    """The coarse length that puts the usual top load near half travel.

    Parameters
    ----------
    top_load_n : float
        The usual top load of the day.
    at_pct : float or None
        Where in the travel it comes now; None when the travel ends before.
    shorten_mm : float
        Take this out of the coarse (upper) part; negative is longer.
    then_at_pct, then_least_pct : float
        Where the top load and the lightest setting come then.
    slack_travel_pct : float
        Share of the travel that only removes slack now.
    words : str
        The advice in one sentence.
    coarse : tuple of CoarseRow
        What other coarse lengths would do.
    """

    top_load_n: float
    at_pct: float | None
    shorten_mm: float
    then_at_pct: float
    then_least_pct: float
    slack_travel_pct: float
    words: str
    coarse: tuple[CoarseRow, ...]


def need_backstay(base: BaseTune) -> Backstay:
    """Return the boat's backstay.

    Raises
    ------
    InputError
        The boat file has none.
    """
    if base.model.backstay is None:
        raise InputError("boat.toml has no [backstay]", next_step="add its geometry, or leave this command")
    return base.model.backstay


def travel_m(backstay: Backstay) -> float:
    """Return the puller's travel that the geometry allows. [m]."""
    whole = bridle_kind(backstay.kind).largest_pull(bridle_of(backstay))
    return min(millimetres_to_metres(backstay.travel_mm), 0.98 * whole)


def travel_table(base: BaseTune, setting: Setting, *, points: int = 11) -> list[TravelRow]:
    """Return load, bend and sag across the puller's travel.

    Parameters
    ----------
    base : BaseTune
        What turns are counted from.
    setting : Setting
        Turns and wind; its pull is ignored.
    points : int
        Rows, both ends included.

    Raises
    ------
    InputError
        There is no backstay.
    NotConvergedError
        Not even the first pulls stand. Pulls that the rig cannot stand end the table early.
    """
    backstay = need_backstay(base)
    pulls = np.linspace(0.0, metres_to_millimetres(travel_m(backstay)), points)
    rows: list[TravelRow] = []
    first: Solved | None = None
    state: Solved | None = None
    for pull in pulls:
        try:
            state = solve_setting(base, replace(setting, backstay_pull_mm=float(pull)), start=state)
        except NotConvergedError:
            if len(rows) < 2:
                raise
            break
        first = first or state
        rows.append(_row(backstay, float(pull), float(pulls[-1]), state.state, first.state))
    return rows


def _row(backstay: Backstay, pull_mm: float, travel_mm: float, state: RigState, first: RigState) -> TravelRow:
    kind, bridle = bridle_kind(backstay.kind), bridle_of(backstay)
    pull = millimetres_to_metres(pull_mm)
    load = state.tensions_n[backstay.upper_wire]
    advantage = float(kind.advantage(bridle, pull))
    take_up = metres_to_millimetres(float(kind.take_up(bridle, pull)))
    puller = load / advantage
    return TravelRow(
        100.0 * pull_mm / travel_mm,
        pull_mm,
        take_up,
        load,
        puller,
        float(hand_load(puller, backstay.purchase, backstay.efficiency)),
        advantage,
        state.rake_mm - first.rake_mm,
        state.prebend_mm,
        state.sag_mm,
    )


def slack_travel_pct(rows: Sequence[TravelRow], slack_n: float) -> float:
    """Return how much of the travel passes before the load has risen by 50 N over the slack tension. [%]."""
    loads = [row.load_n for row in rows]
    limit = max(slack_n, loads[0]) + _BEARING_N
    if loads[-1] <= limit:
        return 100.0
    return float(_first_crossing([row.travel_pct for row in rows], loads, limit))


def _first_crossing(places: Sequence[float], values: Sequence[float], wanted: float) -> float:
    for low in range(len(values) - 1):
        if values[low] <= wanted <= values[low + 1] and values[low + 1] > values[low]:
            share = (wanted - values[low]) / (values[low + 1] - values[low])
            return places[low] + share * (places[low + 1] - places[low])
    return places[0] if values[0] > wanted else places[-1]


def half_travel(
    base: BaseTune, setting: Setting, *, top_load_n: float, least_take_up_mm: float = 0.0
) -> HalfTravelAdvice:
    """Return what to take out of the coarse length so that the usual top load comes near half travel.

    Parameters
    ----------
    base : BaseTune
        What turns are counted from.
    setting : Setting
        Turns and wind in which the top load is wanted.
    top_load_n : float
        The usual top load of the day in the upper leg. [N]
    least_take_up_mm : float
        Take-up of the lightest setting of the day now; the advice keeps it off the top end where it can.

    Raises
    ------
    InputError
        There is no backstay, or the load is beyond what the rig stands.
    """
    backstay = need_backstay(base)
    kind, bridle, travel = bridle_kind(backstay.kind), bridle_of(backstay), travel_m(backstay)
    rows = travel_table(base, setting, points=21)
    needed = take_up_for(base, setting, top_load_n)
    middle = float(kind.take_up(bridle, 0.5 * travel))
    shorten = needed - middle
    least = millimetres_to_metres(least_take_up_mm)
    coarse = tuple(
        _coarse_row(backstay, (needed, least), shorten + millimetres_to_metres(more))
        for more in COARSE_STEPS_MM
    )
    now = _coarse_row(backstay, (needed, least), 0.0)
    then = _coarse_row(backstay, (needed, least), shorten)
    slack = slack_travel_pct(rows, backstay.slack_tension_n)
    return HalfTravelAdvice(
        top_load_n,
        now.top_at_pct,
        metres_to_millimetres(shorten),
        50.0,
        then.least_at_pct,
        slack,
        _advice_words(metres_to_millimetres(shorten), now.top_at_pct, then.least_at_pct),
        coarse,
    )


def _coarse_row(backstay: Backstay, take_ups: tuple[float, float], shorten: float) -> CoarseRow:
    """Return where top load and lightest setting come when the coarse part is shortened. [m]."""
    kind, bridle, travel = bridle_kind(backstay.kind), bridle_of(backstay), travel_m(backstay)
    top, least = (pull_for(kind, bridle, one - shorten, travel) for one in take_ups)
    top_pct = None if top is None else 100.0 * top / travel
    least_pct = 100.0 if least is None else 100.0 * least / travel
    free = 100.0 * ENDS
    is_off = least_pct >= free and top_pct is not None and top_pct <= 100.0 - free
    return CoarseRow(metres_to_millimetres(shorten), top_pct, least_pct, is_off)


def _advice_words(shorten_mm: float, at: float | None, least_pct: float) -> str:
    where = (
        "the travel ends before the top load"
        if at is None
        else f"the top load now comes at {at:.0f} % of the travel"
    )
    if abs(shorten_mm) < 3.0:
        return f"Leave the coarse length: {where}."
    verb = "Shorten" if shorten_mm > 0.0 else "Lengthen"
    light = (
        ""
        if least_pct >= 100.0 * ENDS
        else " The lightest setting then sits at the top end: is it slack enough there?"
    )
    return f"{verb} the coarse part by {abs(shorten_mm):.0f} mm: {where}.{light}"


def take_up_for(base: BaseTune, setting: Setting, load_n: float) -> float:
    """Return the take-up that gives a load in the upper leg; negative when it must be eased. [m].

    Raises
    ------
    InputError
        The rig does not stand or reach that load.
    """
    from scipy.optimize import brentq

    backstay = need_backstay(base)
    slack = replace(setting, backstay_pull_mm=0.0)

    def miss(take_up: float) -> float:
        return solve_setting(shifted(base, take_up), slack).state.tensions_n[backstay.upper_wire] - load_n

    low, high = 0.0, 0.05
    try:
        while miss(high) < 0.0:
            low, high = high, high + 0.05
            if high > 0.8:
                raise InputError(
                    f"a backstay load of {load_n:.0f} N is out of reach", next_step="give a lower top load"
                )
        if low == 0.0 and miss(0.0) >= 0.0:
            low = -0.3
        return float(brentq(miss, low, high, xtol=1e-5))
    except NotConvergedError as error:
        raise InputError(
            f"this rig does not stand a backstay load of {load_n:.0f} N: {error.message}",
            next_step="give a lower top load",
        ) from error


def shifted(base: BaseTune, shortening_m: float) -> BaseTune:
    """Return the same rig with its backstay's coarse length shortened. [m]."""
    stay = np.array([one.wire.kind == "backstay" for one in base.model.strands])
    return replace(base, unstressed=base.unstressed - np.where(stay, shortening_m, 0.0))


def pull_for(kind: BridleKind, bridle: Bridle, take_up: float, travel: float) -> float | None:
    """Return the pull that takes up so much; None beyond the travel, 0 for nothing or less. [m]."""
    from scipy.optimize import brentq

    if take_up <= 0.0:
        return 0.0
    if float(kind.take_up(bridle, travel)) < take_up:
        return None
    return float(brentq(lambda pull: float(kind.take_up(bridle, pull)) - take_up, 0.0, travel))


@dataclass(frozen=True)
class WindPlace:
    """Where the puller sits in a wind.

    Parameters
    ----------
    wind_kn, pull_mm, travel_pct, load_n, hand_load_n : float
        As in the settings table and as computed.
    is_slack : bool
        Whether the stay carries nothing there.
    """

    wind_kn: float
    pull_mm: float
    travel_pct: float
    load_n: float
    hand_load_n: float
    is_slack: bool


def wind_places(base: BaseTune, settings: Sequence[Setting]) -> list[WindPlace]:
    """Return where in its travel the puller sits in each of several winds."""
    backstay = need_backstay(base)
    whole = metres_to_millimetres(travel_m(backstay))
    found = []
    for setting in settings:
        state = solve_setting(base, setting).state
        row = _row(backstay, setting.backstay_pull_mm, whole, state, state)
        slack = backstay.upper_wire in state.slack
        found.append(
            WindPlace(setting.load.wind_kn, row.pull_mm, row.travel_pct, row.load_n, row.hand_load_n, slack)
        )
    return found
