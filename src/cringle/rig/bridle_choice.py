"""What a shorter upper leg with a longer V changes, shown two ways because the answers differ."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from cringle.errors import InputError, NotConvergedError
from cringle.physics.bridle import Bridle, bridle_kind, hand_load
from cringle.rig.backstay import need_backstay, pull_for, shifted, take_up_for, travel_m
from cringle.rig.base import BaseTune
from cringle.rig.model import bridle_of
from cringle.rig.turns import Setting, solve_setting
from cringle.units import metres_to_millimetres, millimetres_to_metres

LONGER_V_M = (0.9, 1.2)
"""Shorter upper legs to compare (common practice, no source: worthwhile). [m]"""


@dataclass(frozen=True)
class LegComparison:
    """One length of upper leg against another.

    Parameters
    ----------
    shorter_mm : float
        Upper leg shorter by.
    compared_at : str
        ``equal pull`` or ``equal height`` of the puller.
    pull_mm, take_up_mm : float
        At the place compared.
    load_n, hand_load_n : float or None
        There; None where the rig does not stand so much take-up.
    step_mm : float
        Take-up for 10 mm more pull there: small is fine.
    whole_travel_mm : float
        Pull from the top until the ring (or block) meets the transom.
    usable_travel_mm : float or None
        Pull from the top to the top load; None when the travel ends before.
    top_load_n : float
        The top load asked about.
    top_hand_load_n : float or None
        Hand load there.
    """

    shorter_mm: float
    compared_at: str
    pull_mm: float
    take_up_mm: float
    load_n: float | None
    hand_load_n: float | None
    step_mm: float
    whole_travel_mm: float
    usable_travel_mm: float | None
    top_load_n: float
    top_hand_load_n: float | None


def compare_legs(
    base: BaseTune, setting: Setting, *, top_load_n: float, shorter_m: Sequence[float] = LONGER_V_M
) -> list[LegComparison]:
    """Return what a shorter upper leg with a longer V changes, at equal pull and at equal height.

    Parameters
    ----------
    base : BaseTune
        The rig as it is; its slack tension is kept for every length.
    setting : Setting
        Turns, wind, and the pull that is compared (half the travel when it has none).
    top_load_n : float
        The usual top load of the day. [N]
    shorter_m : sequence of float
        How much shorter the upper leg is. [m]

    Notes
    -----
    At equal pull a longer V takes up less and needs less hand; at equal height it takes up a little more.
    Load depends on take-up alone, so one curve serves every length. The model says what a pull does and
    is bent to no opinion.
    """
    backstay = need_backstay(base)
    old = bridle_of(backstay)
    if any(one >= old.upper for one in shorter_m):
        raise InputError(
            f"the upper leg is only {old.upper:g} m long",
            next_step="give how much shorter it becomes, in metres",
        )
    pull = millimetres_to_metres(setting.backstay_pull_mm) or 0.5 * travel_m(backstay)
    top = (top_load_n, take_up_for(base, setting, top_load_n))
    found = []
    for shorter in (0.0, *shorter_m):
        new = old if shorter == 0.0 else old.longer_v(shorter)
        found.append(_compared(base, setting, new, (pull, "equal pull"), top))
        if backstay.kind == "ring" and shorter:
            lower = pull + new.apex_height - old.apex_height
            found.append(_compared(base, setting, new, (lower, "equal height"), top))
    return found


def _compared(
    base: BaseTune, setting: Setting, new: Bridle, place: tuple[float, str], top: tuple[float, float]
) -> LegComparison:
    backstay = need_backstay(base)
    kind, pull = bridle_kind(backstay.kind), place[0]
    take_up = float(kind.take_up(new, pull))
    load = _load_at(base, setting, take_up)
    whole = kind.largest_pull(new)
    end = pull_for(kind, new, top[1], 0.98 * whole)

    def hand(force: float, at: float) -> float:
        return float(
            hand_load(force / float(kind.advantage(new, at)), backstay.purchase, backstay.efficiency)
        )

    return LegComparison(
        metres_to_millimetres(bridle_of(backstay).upper - new.upper),
        place[1],
        metres_to_millimetres(pull),
        metres_to_millimetres(take_up),
        load,
        None if load is None else hand(load, pull),
        metres_to_millimetres(float(kind.take_up(new, pull + 0.01)) - take_up),
        metres_to_millimetres(whole),
        None if end is None else metres_to_millimetres(end),
        top[0],
        None if end is None else hand(top[0], end),
    )


def _load_at(base: BaseTune, setting: Setting, take_up: float) -> float | None:
    try:
        state = solve_setting(shifted(base, take_up), replace(setting, backstay_pull_mm=0.0)).state
    except NotConvergedError:
        return None
    return state.tensions_n[need_backstay(base).upper_wire]
