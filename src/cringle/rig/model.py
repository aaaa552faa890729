"""The boat's rig as a frame: from the class file's points, panels and wires to nodes and elements."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from cringle.boat.base import Point
from cringle.boat.boat_file import Backstay, BoatFile, Screw
from cringle.boat.class_file import ClassFile, MastPanel, Rig, Wire
from cringle.errors import InputError
from cringle.physics.bridle import Bridle
from cringle.physics.frame import Frame
from cringle.physics.frame_build import FrameBuilder, Section
from cringle.units import millimetres_to_metres

Array = NDArray[np.float64]

FOOT, GOOSENECK, ROOT, HOUNDS, MASTHEAD = "mast_foot", "gooseneck", "spreader_root", "hounds", "masthead"
PARTNERS = "partners"
"""Where the deck holds a mast stepped on the keel; a point of that name cannot move sideways."""
SIDES = (("port", 1.0), ("starboard", -1.0))
PIECES = 3
"""Elements a panel; the bowing term of the element makes three enough (0.1 % against ten)."""


@dataclass(frozen=True)
class RigFactors:
    """Factors on the file's stiffnesses and on the assumed sag load; 1 is the file, a fit moves them.

    Parameters
    ----------
    wire : float
        On every wire's E A. A used wire differs by about a tenth (from memory).
    mast : float
        On the mast's E I.
    sag : float
        On the load a jib puts along the forestay.
    """

    wire: float = 1.0
    mast: float = 1.0
    sag: float = 1.0

    def __post_init__(self) -> None:
        if min(self.wire, self.mast, self.sag) <= 0.0:
            raise InputError("rig factors must be above zero", next_step="fit again, or go back to 1")


@dataclass(frozen=True)
class Strand:
    """One wire element of the frame.

    Parameters
    ----------
    name : str
        The wire it belongs to: ``cap_port``, ``lower_starboard``, ``forestay`` ...
    wire : Wire
        Its row of the class file.
    is_lower : bool
        Whether this is the part at the deck, which the screw moves and the gauge reads.
    """

    name: str
    wire: Wire
    is_lower: bool


@dataclass(frozen=True)
class RigModel:
    """A rig ready to be solved.

    Parameters
    ----------
    frame : Frame
        The structure, no sail load.
    strands : tuple of Strand
        One for each wire element of the frame, in the same order.
    screws : tuple of Screw
        From the boat file.
    rig : Rig
        From the class file.
    backstay : Backstay or None
        From the boat file.
    factors : RigFactors
        What the stiffnesses were multiplied with.
    bow_m : float
        The mast's own curve without load, forward in the middle. [m]
    """

    frame: Frame
    strands: tuple[Strand, ...]
    screws: tuple[Screw, ...]
    rig: Rig
    backstay: Backstay | None
    factors: RigFactors
    bow_m: float

    def node(self, name: str) -> int:
        """Return the number of a named node."""
        return self.frame.names.index(name)

    def strand(self, name: str, *, lower: bool = True) -> int:
        """Return the element number of a wire's deck part (or of its upper part).

        Raises
        ------
        InputError
            There is no such wire; the message lists all.
        """
        for number, one in enumerate(self.strands):
            if one.name == name and one.is_lower == lower:
                return number
        raise InputError(
            f"no wire {name!r}; there are: {', '.join(self.wire_names)}", next_step="use one of these names"
        )

    @property
    def wire_names(self) -> tuple[str, ...]:
        """Names of all wires, as used in tables."""
        return tuple(one.name for one in self.strands if one.is_lower)

    def screw(self, identifier: str) -> Screw:
        """Return a rigging screw by its id.

        Raises
        ------
        InputError
            There is no such screw; the message lists all.
        """
        for one in self.screws:
            if one.id == identifier:
                return one
        known = ", ".join(one.id for one in self.screws) or "none"
        raise InputError(
            f"no rigging screw {identifier!r}; there are: {known}", next_step="use one of these ids"
        )

    def screw_strand(self, screw: Screw) -> int:
        """Return the element a screw shortens."""
        name = screw.wire if screw.side == "centre" else f"{screw.wire}_{screw.side}"
        return self.strand(name)

    def roles(self) -> dict[str, tuple[Screw, ...]]:
        """Return the screws of every role (``cap_shrouds`` ...), in file order."""
        found: dict[str, tuple[Screw, ...]] = {}
        for one in self.screws:
            found[one.role] = (*found.get(one.role, ()), one)
        return found

    def with_stay_load(self, load: Mapping[str, Point]) -> RigModel:
        """Return the same rig with an even side load along some wires. [N/m]."""
        table = np.zeros((len(self.strands), 3))
        for name, vector in load.items():
            table[self.strand(name)] = vector
        return replace(self, frame=replace(self.frame, wires=replace(self.frame.wires, side_load=table)))


def bridle_of(backstay: Backstay) -> Bridle:
    """Return the bridle's geometry from the boat file."""
    return Bridle(backstay.half_width_m, backstay.leg_m, backstay.upper_leg_m)


def build_rig(
    class_file: ClassFile, boat_file: BoatFile, *, factors: RigFactors | None = None, bow_m: float = 0.0
) -> RigModel:
    """Return the frame of a boat's rig.

    Parameters
    ----------
    class_file, boat_file : ClassFile, BoatFile
        What the boat is.
    factors : RigFactors, optional
        Fitted factors; 1 when left out.
    bow_m : float
        The mast's own forward curve without load. [m]

    Raises
    ------
    InputError
        A point is missing, a panel or wire ends at an unknown point, or the mast stands on its head.
    """
    rig, known = class_file.rig, factors or RigFactors()
    _check_points(rig)
    _check_stays(rig)
    build = FrameBuilder()
    _mast(build, rig, known, bow_m)
    _spreaders(build, rig, bow_m)
    strands = _wires(build, rig, boat_file.backstay, known)
    build.hold(FOOT, "x", "y", "z", "turn_z")
    if rig.mast_step == "keel":
        build.hold(FOOT, "turn_x", "turn_y")
    if PARTNERS in rig.points:
        build.hold(PARTNERS, "x", "y")
    return RigModel(build.build(), tuple(strands), boat_file.screws, rig, boat_file.backstay, known, bow_m)


def _check_points(rig: Rig) -> None:
    for name in (FOOT, ROOT, "spreader_tip", HOUNDS, MASTHEAD):
        if name not in rig.points:
            raise InputError(
                f"class.toml: [rig.points] has no {name!r}",
                next_step="add it: x forward, y to port, z up, in metres",
            )
    heights = [rig.points[name][2] for name in (FOOT, ROOT, HOUNDS, MASTHEAD)]
    if not all(low < high for low, high in pairwise(heights)):
        raise InputError(
            f"the mast stands on its head: heights of foot, spreaders, hounds, masthead are {heights} m",
            next_step="check the third number of these points in class.toml, [rig.points]",
        )
    deck = rig.points[PARTNERS][2] if PARTNERS in rig.points else heights[0]
    if not heights[0] <= deck < heights[0] + rig.boom_above_deck:
        raise InputError(
            f"the partners at {deck:g} m are not between the mast foot and the boom",
            next_step="check their third number in class.toml, [rig.points]",
        )
    if rig.boom_above_deck >= heights[1] - heights[0]:
        raise InputError(
            f"boom_above_deck {rig.boom_above_deck:g} m is above the spreaders",
            next_step="mend it in class.toml, [rig]",
        )


def _check_stays(rig: Rig) -> None:
    kinds = {one.kind for one in rig.wires}
    for kind in ("forestay", "cap_shroud"):
        if kind not in kinds:
            raise InputError(
                f"class.toml: no wire of kind {kind!r}; without it the mast falls",
                next_step="add it under [[rig.wires]]",
            )


def _bowed(rig: Rig, place: Point, bow_m: float) -> Point:
    """Return a point moved forward with the mast's own curve at its height (a parabola, foot to masthead)."""
    low, high = rig.points[FOOT][2], rig.points[MASTHEAD][2]
    share = (place[2] - low) / (high - low)
    return (place[0] + 4.0 * bow_m * share * (1.0 - share), place[1], place[2])


def _section(panel: MastPanel, factors: RigFactors) -> Section:
    return Section(panel.E, panel.A, factors.mast * panel.I_fore_aft, factors.mast * panel.I_athwart, panel.J)


def _mast(build: FrameBuilder, rig: Rig, factors: RigFactors, bow_m: float) -> None:
    foot = rig.points[FOOT]
    for panel in rig.panels:
        for name in (panel.lower, panel.upper):
            if name not in rig.points:
                raise InputError(
                    f"class.toml: a mast panel ends at {name!r}, which is not in [rig.points]",
                    next_step=f"name one of: {', '.join(rig.points)}",
                )
    root = rig.points[ROOT]
    share = rig.boom_above_deck / (root[2] - foot[2])
    boom = (foot[0] + share * (root[0] - foot[0]), foot[1], foot[2] + rig.boom_above_deck)
    for panel in rig.panels:
        section = _section(panel, factors)
        for low, high in pairwise(_stops(rig, panel)):
            ends = [boom if name == GOOSENECK else rig.points[name] for name in (low, high)]
            _bowed_spar(build, rig, (low, high), ends, section, bow_m)


def _stops(rig: Rig, panel: MastPanel) -> list[str]:
    """Return the named points along a panel; the lowest one also has the partners and the gooseneck."""
    if panel.lower != FOOT:
        return [panel.lower, panel.upper]
    deck = [PARTNERS] if PARTNERS in rig.points else []
    return [FOOT, *deck, GOOSENECK, panel.upper]


def _bowed_spar(
    build: FrameBuilder, rig: Rig, names: tuple[str, str], ends: list[Point], section: Section, bow_m: float
) -> None:
    """Add a piece of mast as short straight elements along the mast's own curve."""
    pieces = 1 if names[0] == FOOT else PIECES
    before = names[0]
    build.point(before, _bowed(rig, ends[0], bow_m))
    for piece in range(1, pieces + 1):
        share = piece / pieces
        x, y, z = (one + share * (two - one) for one, two in zip(*ends, strict=True))
        name = names[1] if piece == pieces else f"mast between {names[0]} and {names[1]}, {piece}/{pieces}"
        build.point(name, _bowed(rig, (x, y, z), bow_m))
        build.spar(before, name, section)
        before = name


def _mirrored(place: Point, sign: float) -> Point:
    return (place[0], sign * place[1], place[2])


def _spreaders(build: FrameBuilder, rig: Rig, bow_m: float) -> None:
    one = rig.spreader
    section = Section(one.E, one.A, one.I, one.I, one.J)
    shift = _bowed(rig, rig.points[ROOT], bow_m)[0] - rig.points[ROOT][0]
    for side, sign in SIDES:
        tip = _mirrored(rig.points["spreader_tip"], sign)
        build.point(f"spreader_tip_{side}", (tip[0] + shift, tip[1], tip[2]))
        build.spar(ROOT, f"spreader_tip_{side}", section, side=(0.0, 0.0, 1.0))


def _wires(build: FrameBuilder, rig: Rig, backstay: Backstay | None, factors: RigFactors) -> list[Strand]:
    on_mast = {FOOT, ROOT, HOUNDS, MASTHEAD}
    strands: list[Strand] = []
    for wire in rig.wires:
        for side, sign in SIDES if wire.pair else (("", 1.0),):
            name = f"{wire.id}_{side}" if side else wire.id
            deck = f"{wire.start} {name}"
            if wire.start not in rig.points or wire.end not in rig.points:
                raise InputError(
                    f"class.toml: wire {wire.id!r} from {wire.start!r} to {wire.end!r}: not in [rig.points]",
                    next_step=f"name two of: {', '.join(rig.points)}",
                )
            if wire.end not in on_mast:
                raise InputError(
                    f"class.toml: wire {wire.id!r} must end on the mast ({', '.join(sorted(on_mast))})",
                    next_step="swap start and end: start is at the deck",
                )
            build.ground(deck, _mirrored(rig.points[wire.start], sign))
            stiffness = factors.wire * _stiffness(wire, backstay)
            stops = [deck, f"spreader_tip_{side}", wire.end] if wire.via_spreader else [deck, wire.end]
            for low, high in pairwise(stops):
                build.wire(low, high, stiffness)
                strands.append(Strand(name, wire, low == deck))
    return strands


def _stiffness(wire: Wire, backstay: Backstay | None) -> float:
    """Return E A; of a split backstay that of one straight wire with the same give."""
    if wire.kind != "backstay" or backstay is None:
        return wire.EA
    bridle = bridle_of(backstay)
    legs = 0.5 * bridle.leg / backstay.leg_stiffness_n
    if backstay.kind == "line":
        legs /= (bridle.apex_height / bridle.leg) ** 2
    return backstay.masthead_to_transom_m / (bridle.upper / wire.EA + legs)


def shortening_m(screw: Screw, turns: float) -> float:
    """Return what turns of a screw's body take out of its wire. [m]."""
    return millimetres_to_metres(screw.mm_per_turn) * turns
