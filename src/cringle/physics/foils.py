"""Keel, bulb and rudder: shape, profile drag, wave making of the keel, effective draft, induced drag."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from cringle.constants import STANDARD_GRAVITY_M_PER_S2
from cringle.physics.arrays import Array, as_array, not_negative, require_between, require_positive
from cringle.physics.friction import (
    bulb_form_factor,
    fin_form_factor,
    frictional_resistance,
    ittc_friction_coefficient,
    reynolds_number,
)
from cringle.physics.hull_form import HullForm
from cringle.physics.tables import load_table
from cringle.physics.water import Water
from cringle.units import degrees_to_radians

SECTION_GIRTH = 2.04
"""Girth of a section over its chord: that of the 12 % symmetric four-digit section, rounded."""

KEEL_RESIDUARY_CAP_FROUDE = 0.45
"""The keel's wave drag is held from here: its source lets it grow with bulb depth, against physics."""


@dataclass(frozen=True)
class Foil:
    """A keel fin or a rudder blade. Lengths in m, angles in rad.

    Parameters
    ----------
    span : float
        From root to tip. [m]
    chord_root, chord_tip : float
        [m]
    thickness_ratio : float
        Thickness over chord.
    sweep : float
        Of the quarter-chord line, aft positive. [rad]
    root_depth : float
        Depth of the root below the waterline; the blade is extended to the surface for its lift. [m]
    volume : float
        Displaced volume. [m3]
    centroid_depth : float
        Centroid of that volume below the root. [m]
    """

    span: float
    chord_root: float
    chord_tip: float
    thickness_ratio: float
    sweep: float = 0.0
    root_depth: float = 0.0
    volume: float = 0.0
    centroid_depth: float = 0.0

    def __post_init__(self) -> None:
        require_positive(span=self.span, chord_root=self.chord_root, chord_tip=self.chord_tip)
        require_between("thickness_ratio", self.thickness_ratio, 0.0, 0.4)
        require_between("sweep", self.sweep, -math.pi / 3, math.pi / 3, unit="rad")
        for name in ("root_depth", "volume", "centroid_depth"):
            require_between(name, getattr(self, name), 0.0, math.inf)

    def __repr__(self) -> str:
        return f"Foil(span {self.span:g} m, chord {self.chord_root:g}-{self.chord_tip:g} m)"

    @property
    def mean_chord(self) -> float:
        """Mean of root and tip chord, in m."""
        return 0.5 * (self.chord_root + self.chord_tip)

    @property
    def draft(self) -> float:
        """Depth of the tip below the waterline, in m."""
        return self.span + self.root_depth

    @property
    def area_to_waterline(self) -> float:
        """Lateral area, extended to the waterline with the mean chord, in m2."""
        return self.draft * self.mean_chord

    @property
    def aspect_ratio(self) -> float:
        """Effective aspect ratio, mirrored at the waterline: ``2 span / mean chord``."""
        return 2.0 * self.draft / self.mean_chord

    @property
    def taper_ratio(self) -> float:
        """Tip chord over root chord."""
        return self.chord_tip / self.chord_root

    @property
    def wetted_area(self) -> float:
        """Both sides of the blade proper, in m2."""
        return SECTION_GIRTH * self.span * self.mean_chord


@dataclass(frozen=True)
class Bulb:
    """A ballast bulb as a body of revolution.

    Parameters
    ----------
    length, diameter : float
        [m]
    volume : float
        Displaced volume, a part of the keel's. [m3]
    depth : float
        Of its centre below the waterline; used where there is a volume. [m]
    """

    length: float
    diameter: float
    volume: float = 0.0
    depth: float = 0.0

    def __post_init__(self) -> None:
        require_positive(length=self.length, diameter=self.diameter)
        require_between("diameter", self.diameter, 0.0, 0.999 * self.length, unit="m")
        for name in ("volume", "depth"):
            require_between(name, getattr(self, name), 0.0, math.inf)

    @property
    def wetted_area(self) -> float:
        """Surface of the prolate spheroid of this length and diameter, in m2."""
        long, short = 0.5 * self.length, 0.5 * self.diameter
        eccentricity = math.sqrt(1.0 - (short / long) ** 2)
        return 2.0 * math.pi * (short**2 + long * short * math.asin(eccentricity) / eccentricity)


@dataclass(frozen=True)
class Appendages:
    """Everything under the canoe body."""

    keel: Foil
    rudder: Foil
    bulb: Bulb | None = None

    @property
    def draft(self) -> float:
        """Total draft, in m."""
        below = self.bulb.diameter / 2.0 if self.bulb else 0.0
        return self.keel.draft + below


def foil_profile_drag(foil: Foil, water: Water, speed: ArrayLike) -> Array:
    """Return friction with form factor of a fin or rudder, in N.

    Parameters
    ----------
    foil : Foil
        Wetted area, mean chord, thickness.
    water : Water
        Density and viscosity.
    speed : float or array
        Not negative. [m/s]
    """
    friction = ittc_friction_coefficient(reynolds_number(speed, foil.mean_chord, water))
    coefficient = friction * fin_form_factor(foil.thickness_ratio)
    return frictional_resistance(speed, foil.wetted_area, coefficient, water)


def bulb_profile_drag(bulb: Bulb, water: Water, speed: ArrayLike) -> Array:
    """Return friction with form factor of a bulb, in N.

    Parameters
    ----------
    bulb : Bulb
        Length and diameter.
    water : Water
        Density and viscosity.
    speed : float or array
        Not negative. [m/s]
    """
    friction = ittc_friction_coefficient(reynolds_number(speed, bulb.length, water))
    coefficient = friction * bulb_form_factor(bulb.diameter / bulb.length)
    return frictional_resistance(speed, bulb.wetted_area, coefficient, water)


def profile_drag(appendages: Appendages, water: Water, speed: ArrayLike) -> Array:
    """Return the profile drag of keel, rudder and bulb together, in N.

    Parameters
    ----------
    appendages : Appendages
        Keel, rudder, bulb.
    water : Water
        Density and viscosity.
    speed : float or array
        Not negative. [m/s]
    """
    drag = foil_profile_drag(appendages.keel, water, speed)
    drag = drag + foil_profile_drag(appendages.rudder, water, speed)
    return drag if appendages.bulb is None else drag + bulb_profile_drag(appendages.bulb, water, speed)


def keel_residuary_rows(hull: HullForm, keel: Foil) -> tuple[Array, Array]:
    """Return the Froude numbers of the table and ``Rrk / (rho g Vk)`` at them, as the source gives it.

    References
    ----------
    .. [1] J.A. Keuning, U.B. Sonnenberg, HISWA Symposium, Amsterdam, 1998. From memory, grade B.
    """
    require_positive(keel_volume=keel.volume)
    table = load_table("keel_residuary")
    depth = (hull.draft_canoe + keel.centroid_depth) / math.cbrt(keel.volume)
    terms = [1.0, keel.draft / hull.beam_waterline, depth, hull.volume_canoe / keel.volume]
    return table.columns["froude"], table.matrix("a0", "a1", "a2", "a3") @ np.array(terms)


def keel_residuary(hull: HullForm, keel: Foil, water: Water, froude: ArrayLike) -> Array:
    """Return the wave drag of the keel upright, in N; zero for a keel without volume.

    Parameters
    ----------
    hull : HullForm
        Beam, draft and volume of the canoe body.
    keel : Foil
        Volume and centroid; those of the bulb included.
    water : Water
        Density.
    froude : float or array
        On Lwl, not negative. Zero up to 0.10; held above 0.45, where 0 to 100 N is the uncertainty.
    """
    from scipy.interpolate import PchipInterpolator

    cap = KEEL_RESIDUARY_CAP_FROUDE
    fn = np.minimum(not_negative("froude", froude), cap)
    if keel.volume == 0.0:
        return np.zeros_like(fn)
    rows, values = keel_residuary_rows(hull, keel)
    kept = np.maximum(values[rows < cap + 1e-9], 0.0)
    knots = np.r_[0.0, 0.10, rows[: kept.size], rows[kept.size]]
    curve = PchipInterpolator(knots, np.r_[0.0, 0.0, kept, kept[-1]])
    return as_array(curve(fn)) * water.weight(keel.volume)


def keel_heel_coefficient(hull: HullForm, draft: float) -> float:
    """Return Ch of the keel's heeled wave drag ``rho g Vk Ch Fn^2 |heel|``.

    Parameters
    ----------
    hull : HullForm
        The canoe body.
    draft : float
        Total draft. [m]

    References
    ----------
    .. [1] J.A. Keuning, U.B. Sonnenberg, HISWA Symposium, Amsterdam, 1998. From memory, grade B.
    """
    ratio, beam_draft = hull.draft_canoe / draft, hull.beam_waterline / hull.draft_canoe
    return -3.5837 * ratio - 0.0518 * beam_draft + 0.5958 * ratio * beam_draft + 0.2055 * hull.slenderness


def keel_residuary_per_heel(hull: HullForm, keel: Foil, water: Water, froude: ArrayLike) -> Array:
    """Return the wave drag of the keel per radian of heel, in N/rad, held above Froude 0.45.

    Parameters
    ----------
    hull : HullForm
        The canoe body.
    keel : Foil
        Volume and draft.
    water : Water
        Density.
    froude : float or array
        On Lwl, not negative.
    """
    fn = np.minimum(not_negative("froude", froude), KEEL_RESIDUARY_CAP_FROUDE)
    coefficient = max(keel_heel_coefficient(hull, keel.draft), 0.0)
    return water.weight(keel.volume) * coefficient * fn**2


def effective_draft(draft: float, heel: ArrayLike, *, share: float) -> Array:
    """Return the draft that counts for induced drag of a deep keel: ``share T cos(heel)``, in m.

    Parameters
    ----------
    draft : float
        Total draft. [m]
    heel : float or array
        Either side. [rad]
    share : float
        Upright value over draft; `WaterAssumptions.effective_draft_share` for a deep high-aspect keel.
    """
    require_positive(draft=draft, share=share)
    return share * draft * np.cos(as_array(heel))


def effective_draft_table(
    hull: HullForm, draft: float, *, taper_ratio: float, froude: ArrayLike, heel: ArrayLike
) -> Array:
    """Return the effective draft by the systematic series, in m; the option, not the default.

    Parameters
    ----------
    hull : HullForm
        Beam and draft of the canoe body.
    draft : float
        Total draft. [m]
    taper_ratio : float
        Tip chord over root chord.
    froude : float or array
        On Lwl, held at 0.60.
    heel : float or array, broadcasts with the above
        Either side, held at 30 degrees. [rad]

    Notes
    -----
    Made for ``Tc/T`` of 0.2 to 0.6 with ``Bwl/Tc`` mostly near 4. For a shallow hull over a deep keel it
    extrapolates, and the steep fall in the first 10 degrees is an artefact.

    References
    ----------
    .. [1] J.A. Keuning, U.B. Sonnenberg, HISWA Symposium, Amsterdam, 1998. From memory, grade B.
    """
    table = load_table("effective_draft")
    ratio = hull.draft_canoe / draft
    terms = np.array([ratio, ratio**2, hull.beam_waterline / hull.draft_canoe, taper_ratio])
    shape = table.matrix("a1", "a2", "a3", "a4") @ terms
    angles, tilt = degrees_to_radians(table.columns["heel_deg"]), np.abs(as_array(heel))
    fn = np.minimum(not_negative("froude", froude), 0.60)
    speed = np.interp(tilt, angles, shape * table.columns["b0"])
    slope = np.interp(tilt, angles, shape * table.columns["b1"])
    return as_array(draft * (speed + slope * fn))


def induced_drag(side_force: ArrayLike, speed: ArrayLike, draft: ArrayLike, *, water: Water) -> Array:
    """Return ``Fh^2 / (pi Te^2 0.5 rho V^2)``, in N; infinite at rest under load, zero without load.

    Parameters
    ----------
    side_force : float or array
        Normal to the plane of the keel, either sign. [N]
    speed : float or array
        Not negative. [m/s]
    draft : float or array
        Effective draft. [m]
    water : Water
        Density.

    References
    ----------
    .. [1] Lifting-line theory, elliptic loading; L. Prandtl, 1918. The effective draft is that of J.A.
       Keuning, U.B. Sonnenberg, HISWA, 1998: with the surface as a perfect mirror ``Te = sqrt(2) T``.
    """
    force, velocity = np.broadcast_arrays(as_array(side_force), not_negative("speed", speed))
    below = 0.5 * math.pi * water.density * as_array(draft) ** 2 * velocity**2
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(force == 0.0, 0.0, force**2 / below)


def submerged_weight(volume: float, mass: float, water: Water) -> float:
    """Return the weight in water of an appendage, in N: what its ballast pulls down with."""
    return STANDARD_GRAVITY_M_PER_S2 * mass - water.weight(volume)
