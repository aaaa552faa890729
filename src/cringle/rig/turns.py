"""From turns and a wind to the state of the rig."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from cringle.errors import OutOfRangeError
from cringle.physics.bridle import bridle_kind
from cringle.physics.frame import Equilibrium
from cringle.physics.frame_solver import solve
from cringle.rig.base import BaseTune
from cringle.rig.model import GOOSENECK, MASTHEAD, RigModel, bridle_of, shortening_m
from cringle.rig.state import RigState, rig_state
from cringle.rig.wind_load import WindLoad, no_wind
from cringle.units import millimetres_to_metres

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Setting:
    """What is set on the rig.

    Parameters
    ----------
    turns : mapping
        Screw id to turns of its body from the base tune, tighter positive.
    backstay_pull_mm : float
        How far the puller is hauled from the top.
    load : WindLoad
        The sails' loads; nothing on the dock.
    """

    turns: Mapping[str, float] = field(default_factory=dict, hash=False)
    backstay_pull_mm: float = 0.0
    load: WindLoad = field(default_factory=no_wind)


@dataclass(frozen=True)
class Solved:
    """A setting's answer.

    Parameters
    ----------
    setting : Setting
        What was set.
    model : RigModel
        The rig with that wind's load along the stay.
    equilibrium : Equilibrium
        The frame.
    state : RigState
        In the words of the dock.
    """

    setting: Setting
    model: RigModel
    equilibrium: Equilibrium
    state: RigState


def role_turns(model: RigModel, turns: Mapping[str, float]) -> dict[str, float]:
    """Return screw turns from turns by role or by screw; a screw's own number wins over its role's.

    Parameters
    ----------
    model : RigModel
        Knows roles and screws.
    turns : mapping
        Role (``cap_shrouds``) or screw id (``cap_port``) to turns.

    Raises
    ------
    InputError
        A name is neither.
    """
    roles = model.roles()
    found: dict[str, float] = {}
    for name, value in turns.items():
        for screw in roles.get(name, ()):
            found[screw.id] = value
    for name, value in turns.items():
        if name not in roles:
            found[model.screw(name).id] = value
    return found


def check_turns(model: RigModel, turns: Mapping[str, float]) -> None:
    """Raise when a screw is turned beyond its thread.

    Raises
    ------
    OutOfRangeError
        Names the screw and its range.
    """
    for identifier, value in turns.items():
        screw = model.screw(identifier)
        if not screw.low <= value <= screw.high:
            raise OutOfRangeError(
                f"{screw.name}",
                value,
                screw.low,
                screw.high,
                unit="turns",
                next_step="a thread needs at least its own diameter of engagement at both ends, and a pin; "
                "move the wire's end fitting, or change the base tune",
            )


def lengths(base: BaseTune, setting: Setting) -> Array:
    """Return unstressed wire lengths for a setting. [m]."""
    unstressed = base.unstressed.copy()
    for identifier, value in setting.turns.items():
        screw = base.model.screw(identifier)
        unstressed[base.model.screw_strand(screw)] -= shortening_m(screw, value)
    take_up = backstay_take_up_m(base.model, setting.backstay_pull_mm)
    for number, one in enumerate(base.model.strands):
        if one.wire.kind == "backstay":
            unstressed[number] -= take_up
    return unstressed


def backstay_take_up_m(model: RigModel, pull_mm: float) -> float:
    """Return what a pull on the backstay's puller takes up. [m].

    Raises
    ------
    OutOfRangeError
        The pull is beyond the puller's travel.
    """
    if pull_mm == 0.0 or model.backstay is None:
        return 0.0
    if not 0.0 <= pull_mm <= model.backstay.travel_mm:
        raise OutOfRangeError(
            "backstay pull",
            pull_mm,
            0.0,
            model.backstay.travel_mm,
            unit="mm",
            next_step="measure from the puller at the top, no load",
        )
    kind, bridle = bridle_kind(model.backstay.kind), bridle_of(model.backstay)
    pull = min(millimetres_to_metres(pull_mm), 0.999 * kind.largest_pull(bridle))
    return float(kind.take_up(bridle, pull))


def node_forces(model: RigModel, load: WindLoad) -> Array:
    """Return the frame's node loads of a wind, even loads with their end moments. [N, N m]."""
    table = np.zeros((len(model.frame.nodes), 6))
    for name, force in load.forces_n.items():
        table[model.node(name), :3] += force
    height = model.frame.nodes[:, 2]
    low, high = height[model.node(GOOSENECK)], height[model.node(MASTHEAD)]
    mast = [n for n, name in enumerate(model.frame.names) if _is_mast(name) and low <= height[n] <= high]
    order = sorted(mast, key=lambda n: float(height[n]))
    length = np.diff(height[order])[:, None]
    x, y, _ = load.main_luff_n_per_m
    half = np.concatenate([0.5 * length * load.main_luff_n_per_m, length**2 / 12.0 * [-y, x, 0.0]], axis=1)
    table[order[:-1]] += half
    table[order[1:]] += half * [1.0, 1.0, 1.0, -1.0, -1.0, -1.0]
    return table


def _is_mast(name: str) -> bool:
    return name in {GOOSENECK, MASTHEAD, "spreader_root", "hounds"} or name.startswith("mast between")


def solve_setting(
    base: BaseTune, setting: Setting, *, start: Solved | None = None, tolerance: float = 1e-9
) -> Solved:
    """Return the rig in equilibrium for turns, backstay and wind.

    Parameters
    ----------
    base : BaseTune
        What turns are counted from.
    setting : Setting
        Turns, backstay, loads.
    start : Solved, optional
        A nearby state, to save time.
    tolerance : float
        Largest force out of balance, over the largest wire force.

    Raises
    ------
    OutOfRangeError
        A turn is beyond a thread, or the backstay beyond its travel.
    NotConvergedError
        The rig cannot stand like this; the message says what moves.
    """
    check_turns(base.model, setting.turns)
    x, y, z = setting.load.stay_n_per_m
    factor = base.model.factors.sag
    stays = {
        one.name: (factor * x, factor * y, factor * z)
        for one in base.model.strands
        if one.wire.kind == "forestay"
    }
    model = base.model.with_stay_load(stays)
    state = solve(
        model.frame,
        lengths(base, setting),
        node_forces(model, setting.load),
        start=start.equilibrium if start else base.equilibrium,
        tolerance=tolerance,
    )
    return Solved(setting, model, state, rig_state(model, state))
