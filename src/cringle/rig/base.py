"""The base tune: the rig on the dock with nothing pulling, from which all turns are counted.

Backstay, mainsheet and halyards off, afloat and level, nobody aboard or everybody in the middle, little
wind; date and temperature noted (common practice, no source). The file gives the shrouds' tensions, the
mast's place and prebend in that state; what the wires measure without tension follows.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cringle.boat.boat_file import BoatFile
from cringle.boat.class_file import ClassFile
from cringle.errors import NotConvergedError
from cringle.physics.frame import Equilibrium, chords
from cringle.physics.frame_sensitivity import wire_shortening_sensitivity
from cringle.physics.frame_solver import solve
from cringle.rig.model import MASTHEAD, RigFactors, RigModel, build_rig
from cringle.rig.state import RigState, rig_state
from cringle.units import millimetres_to_metres

Array = NDArray[np.float64]

BASE_CONDITIONS = (
    "backstay, mainsheet and halyards off",
    "afloat and level, nobody aboard or everybody in the middle",
    "little wind; note date and temperature",
)
"""How the boat must lie when the base is measured (common practice, no source)."""

_LARGEST_BOW_M = 0.15


@dataclass(frozen=True)
class BaseTarget:
    """What the base tune is set to.

    Parameters
    ----------
    tensions_n : dict
        Wire id of the class file (``cap``, ``lower``, ``backstay``) to tension, both sides alike. [N]
    prebend_mm : float
        Mast forward at the spreaders.
    rake_mm : float or None
        Masthead aft of the foot; None keeps the class file's points.
    """

    tensions_n: dict[str, float]
    prebend_mm: float
    rake_mm: float | None = None


@dataclass(frozen=True)
class BaseTune:
    """A solved base tune.

    Parameters
    ----------
    model : RigModel
        The rig with the mast's own curve found.
    unstressed : array, shape (w,)
        Wire lengths without tension. [m]
    equilibrium : Equilibrium
        The frame in that state.
    state : RigState
        The same in the words of the dock.
    """

    model: RigModel
    unstressed: Array
    equilibrium: Equilibrium
    state: RigState


def file_target(class_file: ClassFile, boat_file: BoatFile) -> BaseTarget:
    """Return the base that the files describe."""
    tensions = {one.id: one.base_tension for one in class_file.rig.wires if one.kind != "forestay"}
    backstay = next((one for one in class_file.rig.wires if one.kind == "backstay"), None)
    if backstay is not None and boat_file.backstay is not None:
        tensions[backstay.id] = max(boat_file.backstay.slack_tension_n, 1.0)
    return BaseTarget(tensions, class_file.rig.prebend_base_mm)


def base_tune(
    class_file: ClassFile,
    boat_file: BoatFile,
    *,
    target: BaseTarget | None = None,
    factors: RigFactors | None = None,
) -> BaseTune:
    """Return the base tune: wire lengths and the mast's own curve that give the base's tensions and shape.

    Parameters
    ----------
    class_file, boat_file : ClassFile, BoatFile
        What the boat is.
    target : BaseTarget, optional
        Measured base; what the files say when left out.
    factors : RigFactors, optional
        Fitted factors.

    Raises
    ------
    NotConvergedError
        No such base: the tensions cannot stand together on this rig, or ask for an absurd mast curve.

    Notes
    -----
    With a mast stepped on deck the forestay's tension is no free choice: moments about the foot give it
    from the shrouds and the backstay. So it is an outcome here, and a measured one is a check.
    """
    wanted = target or file_target(class_file, boat_file)
    bows, misses = [0.0], []
    base = _with_bow(class_file, boat_file, wanted, factors, 0.0)
    misses.append(base.state.prebend_mm - wanted.prebend_mm)
    bows.append(-millimetres_to_metres(misses[0]) * 1.2)
    for _ in range(12):
        base = _with_bow(class_file, boat_file, wanted, factors, bows[-1])
        misses.append(base.state.prebend_mm - wanted.prebend_mm)
        if abs(misses[-1]) < 1e-3:
            return base
        slope = (misses[-1] - misses[-2]) / (bows[-1] - bows[-2])
        bows.append(bows[-1] - misses[-1] / slope)
        if abs(bows[-1]) > _LARGEST_BOW_M:
            break
    raise NotConvergedError(
        f"a prebend of {wanted.prebend_mm:.0f} mm does not go with these base tensions",
        next_step="measure prebend and tensions again in the same base state, or check the spreader sweep",
    )


def _with_bow(
    class_file: ClassFile, boat_file: BoatFile, wanted: BaseTarget, factors: RigFactors | None, bow_m: float
) -> BaseTune:
    model = build_rig(class_file, boat_file, factors=factors, bow_m=bow_m)
    unstressed, state = _fit_lengths(model, wanted)
    return BaseTune(model, unstressed, state, rig_state(model, state))


def _conditions(model: RigModel, wanted: BaseTarget) -> tuple[Array, NDArray[np.bool_], float]:
    """Return target tensions of all strands, which strands are the forestay, and the masthead's place."""
    tension = np.array([wanted.tensions_n.get(one.wire.id, one.wire.base_tension) for one in model.strands])
    stay = np.array([one.wire.kind == "forestay" for one in model.strands])
    place = model.rig.points[MASTHEAD][0]
    if wanted.rake_mm is not None:
        place = model.rig.points["mast_foot"][0] - millimetres_to_metres(wanted.rake_mm)
    return tension, stay, place


def _fit_lengths(model: RigModel, wanted: BaseTarget) -> tuple[Array, Equilibrium]:
    """Return unstressed lengths that give the wanted tensions, the forestay's giving the masthead's place."""
    frame = model.frame
    tension, stay, place = _conditions(model, wanted)
    head = model.node(MASTHEAD)
    unstressed = chords(frame, frame.nodes)[0] / (1.0 + tension / frame.wires.stiffness)
    loads = np.zeros((len(frame.nodes), 6))
    state: Equilibrium | None = None
    for _ in range(40):
        state = solve(frame, unstressed, loads, start=state)
        motion, slope = wire_shortening_sensitivity(frame, state)
        miss = np.where(stay, state.position[head, 0] - place, state.tension - tension)
        if np.max(np.abs(np.where(stay, 1e6 * miss, miss))) < 0.01:
            return unstressed, state
        slope[stay] = motion[head, 0]
        _reach_slack(model, unstressed, state, miss, slope, tension)
        step = np.linalg.solve(slope, -miss)
        unstressed = unstressed + step * min(1.0, 0.02 / float(np.max(np.abs(step))))
    raise NotConvergedError(
        "no wire lengths give these base tensions together",
        next_step="check base_tension of the wires and the points in class.toml, [rig]",
    )


def _reach_slack(
    model: RigModel, unstressed: Array, state: Equilibrium, miss: Array, slope: Array, tension: Array
) -> None:
    """Shorten a wire past its slack where it ought to be taut: slack counts as negative tension."""
    stiffness = model.frame.wires.stiffness
    stay = np.array([one.wire.kind == "forestay" for one in model.strands])
    slack = (state.tension <= 0.0) & ~stay
    chord = chords(model.frame, state.position)[0]
    virtual = stiffness * (chord - unstressed) / unstressed - tension
    miss[slack] = virtual[slack]
    slope[slack] = 0.0
    slope[slack, slack] = -(stiffness / unstressed)[slack]
