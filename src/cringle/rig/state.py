"""What a coach reads off a rig: tensions, prebend, rake, sag, tip offset; and how each answers a turn."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cringle.physics.frame import Equilibrium, across_load, chords
from cringle.physics.frame_sensitivity import wire_shortening_sensitivity
from cringle.rig.model import FOOT, GOOSENECK, HOUNDS, MASTHEAD, ROOT, SIDES, RigModel, shortening_m
from cringle.units import metres_to_millimetres

Array = NDArray[np.float64]

SLACK_N = 1.0
"""Below this a wire counts as slack: the weight of a few metres of strand. [N]"""


@dataclass(frozen=True)
class RigState:
    """A rig in equilibrium in the words of the dock.

    Parameters
    ----------
    tensions_n : dict
        Wire to tension of its deck part. [N]
    prebend_mm : float
        How far the mast stands forward at the spreaders of a line from the gooseneck to the masthead.
    rake_mm : float
        How far the masthead is aft of the mast foot, level boat.
    sag_mm : float
        Forestay sag in the middle, square to the stay; 0 without side load.
    tip_to_leeward_mm : float
        How far the masthead is to port of the line from the foot through the hull's middle (leeward on
        starboard tack).
    spreader_tip_mm : dict
        Side to how far the spreader tip moved fore and aft against its root (forward positive).
    upper_tensions_n : dict
        Wire to tension of its part above the spreader, where it has one. [N]
    compression_n : float
        Of the mast at its foot. [N]
    slack : tuple of str
        Wires without tension.
    """

    tensions_n: dict[str, float]
    prebend_mm: float
    rake_mm: float
    sag_mm: float
    tip_to_leeward_mm: float
    spreader_tip_mm: dict[str, float]
    upper_tensions_n: dict[str, float]
    compression_n: float
    slack: tuple[str, ...]


QUANTITIES = ("prebend_mm", "rake_mm", "sag_mm", "tip_to_leeward_mm")
"""What is reported besides tensions, in this order."""


def quantity_names(model: RigModel) -> tuple[str, ...]:
    """Return the names of all numbers in `quantities`: tensions as ``<wire>_n``, then `QUANTITIES`."""
    return (*(f"{name}_n" for name in model.wire_names), *QUANTITIES)


def _prebend(position: Array, gooseneck: int, root: int, head: int) -> float:
    """Return how far the spreaders stand forward of the line from gooseneck to masthead. [m]."""
    chord = position[head] - position[gooseneck]
    arm = position[root] - position[gooseneck]
    return float((arm[0] * chord[2] - arm[2] * chord[0]) / np.hypot(chord[0], chord[2]))


def quantities(model: RigModel, position: Array, tension: Array) -> Array:
    """Return all reported numbers as one vector, named by `quantity_names`."""
    deck = [model.strand(name) for name in model.wire_names]
    head, foot = model.node(MASTHEAD), model.node(FOOT)
    prebend = _prebend(position, model.node(GOOSENECK), model.node(ROOT), head)
    shape = [
        prebend,
        position[foot, 0] - position[head, 0],
        _sag(model, position, tension),
        position[head, 1],
    ]
    return np.concatenate([tension[deck], metres_to_millimetres(np.array(shape))])


def _sag(model: RigModel, position: Array, tension: Array) -> float:
    """Return w L^2 / (8 T) of the forestay; 0 where it carries nothing or there is none. [m]."""
    stays = [number for number, one in enumerate(model.strands) if one.wire.kind == "forestay"]
    if not stays:
        return 0.0
    load = across_load(model.frame)[stays[0]]
    length = chords(model.frame, position)[0][stays[0]]
    return float(load * length**2 / (8.0 * max(tension[stays[0]], 1e-9))) if load else 0.0


def rig_state(model: RigModel, state: Equilibrium) -> RigState:
    """Return a solved frame in the words of the dock."""
    values = quantities(model, state.position, state.tension)
    names = model.wire_names
    tensions = {name: float(value) for name, value in zip(names, values, strict=False)}
    prebend, rake, sag, tip = (float(value) for value in values[len(names) :])
    upper = {
        one.name: float(state.tension[number]) for number, one in enumerate(model.strands) if not one.is_lower
    }
    slack = tuple(name for name in names if tensions[name] < SLACK_N)
    return RigState(
        tensions,
        prebend,
        rake,
        sag,
        tip,
        _spreader_tips(model, state),
        upper,
        float(state.reaction[model.node(FOOT), 2]),
        slack,
    )


def _spreader_tips(model: RigModel, state: Equilibrium) -> dict[str, float]:
    root = model.node(ROOT)
    moved = state.position - model.frame.nodes
    return {
        side: float(metres_to_millimetres(moved[model.node(f"spreader_tip_{side}"), 0] - moved[root, 0]))
        for side, _ in SIDES
    }


@dataclass(frozen=True)
class Sensitivity:
    """How every reported number answers one turn of every screw.

    Parameters
    ----------
    names : tuple of str
        Rows, as in `quantity_names`.
    screws : tuple of str
        Columns: ids of the screws; tighter is positive.
    table : array, shape (q, s)
        Change a turn: [N] for tensions, [mm] for shape.
    """

    names: tuple[str, ...]
    screws: tuple[str, ...]
    table: Array

    def of(self, name: str, screw: str) -> float:
        """Return one entry."""
        return float(self.table[self.names.index(name), self.screws.index(screw)])


def turn_sensitivity(model: RigModel, state: Equilibrium) -> Sensitivity:
    """Return the change of every reported number for one turn of each screw, from the tangent at equilibrium.

    Parameters
    ----------
    model : RigModel
        With the side loads the state was solved for.
    state : Equilibrium
        A solved state.

    Returns
    -------
    Sensitivity
        Tighter turns positive.
    """
    motion, tension = wire_shortening_sensitivity(model.frame, state)
    columns = []
    for screw in model.screws:
        strand, change = model.screw_strand(screw), -shortening_m(screw, 1.0)
        columns.append(_along(model, state, change * motion[:, :3, strand], change * tension[:, strand]))
    return Sensitivity(
        quantity_names(model),
        tuple(one.id for one in model.screws),
        np.array(columns).T.reshape(len(quantity_names(model)), len(columns)),
    )


def _along(model: RigModel, state: Equilibrium, motion: Array, tension: Array) -> Array:
    """Return the rate of all reported numbers along a motion, no new solution needed."""
    step = 1e-3
    ahead = quantities(model, state.position + step * motion, state.tension + step * tension)
    behind = quantities(model, state.position - step * motion, state.tension - step * tension)
    return (ahead - behind) / (2.0 * step)


def strand_sensitivity(model: RigModel, state: Equilibrium, strand: int) -> Array:
    """Return the change of all reported numbers a metre of shortening of one wire element."""
    motion, tension = wire_shortening_sensitivity(model.frame, state)
    return _along(model, state, -motion[:, :3, strand], -tension[:, strand])


def hounds_place(model: RigModel, state: Equilibrium) -> Array:
    """Return where the hounds are. [m]."""
    return np.asarray(state.position[model.node(HOUNDS)], dtype=np.float64)
