"""Sails set together: coefficients by apparent wind angle, blanketing, induced drag and centre of effort.

Coefficients are read at the angle and multiplied with the dynamic pressure of the wind in the heeled plane
(`cringle.physics.wind.heeled_wind`). Lift is square to that wind, drag along it, both in the heeled plane.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import NamedTuple

import numpy as np

from cringle.constants import AIR_DENSITY_KG_PER_M3
from cringle.errors import InputError
from cringle.physics.air import dynamic_pressure
from cringle.physics.curves import pchip
from cringle.physics.tables import load_table
from cringle.physics.wind import Quantity, Wind

COEFFICIENT_SETS = {
    "main_adjustable": ("sails_main", "lift_high", "drag_high"),
    "main_plain": ("sails_main", "lift_low", "drag_low"),
    "main_plain_older": ("sails_main", "lift_low_older", "drag_low"),
    "jib_adjustable": ("sails_jib", "lift_high", "drag"),
    "jib_plain": ("sails_jib", "lift_low", "drag"),
    "jib_blanketed": ("sails_reference", "jib_lift", "jib_drag"),
    "main_reference": ("sails_reference", "main_lift", "main_drag"),
    "kite_reference": ("sails_reference", "spinnaker_lift", "spinnaker_drag"),
    "kite_centreline": ("sails_kite", "lift_centreline", "drag_centreline"),
    "kite_pole": ("sails_kite", "lift_pole", "drag_pole"),
}
"""Name of a coefficient set -> table, lift column, drag column."""


class SailKind(StrEnum):
    """The kinds of sail the model knows."""

    MAIN = "main"
    JIB = "jib"
    KITE = "kite"


DEFAULT_COEFFICIENTS = {
    SailKind.MAIN: "main_adjustable",
    SailKind.JIB: "jib_plain",
    SailKind.KITE: "kite_centreline",
}
"""A backstay that is worked afloat bends the mast (adjustable main); the forestay itself has a fixed
length."""


class Gear(StrEnum):
    """Ways of trimming: `settled` flat and high, as the tables stand; `build` fuller and freer."""

    SETTLED = "settled"
    BUILD = "build"


class Arrangement(StrEnum):
    """Where the kite stands: on the same side as the main, or to windward of it."""

    SAME_SIDE = "same side"
    WING = "wing"


class LiftDrag(NamedTuple):
    """Lift and drag coefficients of one sail on its own area."""

    lift: Quantity
    drag: Quantity


class SetCoefficients(NamedTuple):
    """What the sails set together do at full power, on the sum of their areas.

    Drag is split by how it answers to depowering: `parasitic_drag` stays, `quadratic_drag` (viscous) and
    `induced_drag` fall with the square of the lift. Centres are in metres: height above the static waterline,
    and x forward of the after end of the waterline.
    """

    lift: Quantity
    parasitic_drag: Quantity
    quadratic_drag: Quantity
    induced_drag: Quantity
    centre_height: Quantity
    centre_forward: Quantity

    @property
    def drag(self) -> Quantity:
        """All drag at full power."""
        return self.parasitic_drag + self.quadratic_drag + self.induced_drag


class SailForces(NamedTuple):
    """Forces of the wind on the sails [N].

    `drive` forward; `heeling` square to the mast in the heeled plane, positive to leeward; `side` and
    `downward` are the horizontal and the vertical part of that.
    """

    drive: Quantity
    heeling: Quantity
    side: Quantity
    downward: Quantity


@dataclass(frozen=True)
class Sail:
    """One sail.

    Parameters
    ----------
    kind : SailKind or str
        ``main``, ``jib`` or ``kite``.
    area : float
        Sail area. [m2]
    centre_height : float
        Centre of effort above the static waterline, boat upright. [m]
    centre_forward : float
        Centre of effort forward of the after end of the waterline. [m] Used by the yaw balance only.
    coefficients : str
        A name in `COEFFICIENT_SETS`; empty for the usual one of the kind.
    """

    kind: SailKind | str
    area: float
    centre_height: float
    centre_forward: float = 0.0
    coefficients: str = ""

    def __post_init__(self) -> None:
        if self.kind not in tuple(SailKind):
            raise InputError(
                f"sail kind: found {self.kind!r}, accepted {', '.join(SailKind)}",
                next_step="use one of these",
            )
        for name in ("area", "centre_height"):
            if not getattr(self, name) > 0.0:
                raise InputError(
                    f"{self.kind} {name}: found {getattr(self, name)}, accepted more than 0",
                    next_step="measure the sail, or leave it out of the set",
                )
        if self.coefficients and self.coefficients not in COEFFICIENT_SETS:
            raise InputError(
                f"{self.kind} coefficients: found {self.coefficients!r}, "
                f"accepted {', '.join(COEFFICIENT_SETS)}",
                next_step="use one of these",
            )

    @property
    def coefficient_set(self) -> str:
        """Name of the coefficient set in use."""
        return self.coefficients or DEFAULT_COEFFICIENTS[SailKind(self.kind)]

    def __repr__(self) -> str:
        return (
            f"Sail({self.kind}, {self.area:g} m2, centre {self.centre_height:g} m up, {self.coefficient_set})"
        )


@dataclass(frozen=True)
class SailSet:
    """Sails set together.

    Parameters
    ----------
    main : Sail
        The mainsail.
    jib, kite : Sail or None
        The other sails, when set.
    arrangement : Arrangement
        Kite on the main's side, or to windward.
    gear : Gear
        How they are trimmed.
    """

    main: Sail
    jib: Sail | None = None
    kite: Sail | None = None
    arrangement: Arrangement = Arrangement.SAME_SIDE
    gear: Gear = Gear.SETTLED
    sails: tuple[Sail, ...] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        for name in ("main", "jib", "kite"):
            sail = getattr(self, name)
            if sail is not None and sail.kind != name:
                raise InputError(
                    f"{name}: found a {sail.kind}", next_step=f"give the {name} here, or nothing"
                )
        if self.arrangement is Arrangement.WING and self.kite is None:
            raise InputError(
                "arrangement: found wing without a kite", next_step="set a kite, or use 'same side'"
            )
        there = tuple(sail for sail in (self.main, self.jib, self.kite) if sail is not None)
        object.__setattr__(self, "sails", there)

    @property
    def area(self) -> float:
        """Sum of the areas, the reference of all coefficients of the set [m2]."""
        return sum(sail.area for sail in self.sails)

    @property
    def area_centre_height(self) -> float:
        """Area-weighted height of the centres above the waterline: where to take the wind of the set [m]."""
        return sum(sail.area * sail.centre_height for sail in self.sails) / self.area


@dataclass(frozen=True)
class RigGeometry:
    """What the induced drag and the fall of the centre of effort need to know of the rig.

    Parameters
    ----------
    mast_height : float
        Masthead above the sheer. [m]
    freeboard : float
        Sheer above the water at the mast. [m]
    mainsail_hoist, mainsail_foot : float
        P and E of the measurement rules. [m]
    boom_above_deck : float
        Lower end of P above the sheer. [m]
    foretriangle_height : float
        I of the measurement rules. [m]
    jib_overlap : float
        Longest perpendicular of the jib over J; 1 or less does not overlap. [1]
    """

    mast_height: float
    freeboard: float
    mainsail_hoist: float
    mainsail_foot: float
    boom_above_deck: float
    foretriangle_height: float
    jib_overlap: float = 1.0

    def __post_init__(self) -> None:
        for name in self.__dataclass_fields__:
            if not getattr(self, name) > 0.0:
                raise InputError(
                    f"rig {name}: found {getattr(self, name)}, accepted more than 0",
                    next_step="measure it and enter it in metres",
                )

    @property
    def foretriangle_fraction(self) -> float:
        """Height of the foretriangle over that of the mainsail's head: 1 at the masthead [1]."""
        return min(1.0, self.foretriangle_height / (self.mainsail_hoist + self.boom_above_deck))

    def roach(self, mainsail_area: float) -> float:
        """Return what the mainsail has beyond the triangle of P and E, as a share of that triangle [1]."""
        return mainsail_area / (0.5 * self.mainsail_hoist * self.mainsail_foot) - 1.0


def sail_coefficients(coefficient_set: str, angle: Quantity) -> LiftDrag:
    """Return lift and parasitic drag of one sail, trimmed for power, at an apparent wind angle.

    Parameters
    ----------
    coefficient_set : str
        A name in `COEFFICIENT_SETS`.
    angle : float or array
        Apparent wind angle in the heeled plane, either side, up to half a turn. [rad]

    Returns
    -------
    LiftDrag
        On the sail's own area; below the first angle of the table the first row is held (the sail shakes);
        NaN beyond half a turn.

    Raises
    ------
    InputError
        There is no such set.

    Notes
    -----
    Shape-preserving piecewise cubic through the table. A cubic spline would exceed the table's extremes by 1
    to 3 %.
    """
    if coefficient_set not in COEFFICIENT_SETS:
        raise InputError(
            f"coefficient set: found {coefficient_set!r}, accepted {', '.join(COEFFICIENT_SETS)}",
            next_step="use one of these",
        )
    table_name, lift, drag = COEFFICIENT_SETS[coefficient_set]
    columns = load_table(table_name).columns
    angles = np.radians(columns["angle_deg"])
    angles[-1] = np.pi
    place = np.maximum(np.abs(angle), angles[0])
    return LiftDrag(pchip(angles, columns[lift], place), pchip(angles, columns[drag], place))


def force_coefficients(lift: Quantity, drag: Quantity, angle: Quantity) -> tuple[Quantity, Quantity]:
    """Return the driving and the heeling force coefficient from lift and drag at an apparent wind angle.

    Notes
    -----
    C_X = CL sin beta - CD cos beta, C_Y = CL cos beta + CD sin beta with beta of either sign: the drive is
    the same on both tacks, the heeling coefficient is positive to leeward on both.
    """
    sine, cosine = np.sin(np.abs(angle)), np.cos(angle)
    return lift * sine - drag * cosine, lift * cosine + drag * sine


def sail_forces(
    lift: Quantity,
    drag: Quantity,
    *,
    wind: Wind,
    area: float,
    heel: Quantity = 0.0,
    density: Quantity = AIR_DENSITY_KG_PER_M3,
) -> SailForces:
    """Return the forces of the wind on sails from their coefficients.

    Parameters
    ----------
    lift, drag : float or array
        Coefficients on `area`. [1]
    wind : Wind
        Speed [m/s] and angle [rad] in the heeled plane, from `heeled_wind`.
    area : float
        Reference area. [m2]
    heel : float or array
        Heel, positive to leeward. [rad]
    density : float or array
        Air density. [kg/m3]

    Returns
    -------
    SailForces
        Drive, heeling force, its horizontal and its downward part. [N]
    """
    drive, heeling = force_coefficients(lift, drag, wind.angle)
    scale = dynamic_pressure(wind.speed, density) * area
    heeling = scale * heeling
    return SailForces(scale * drive, heeling, heeling * np.cos(heel), heeling * np.sin(heel))
