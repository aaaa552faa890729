"""What a wind does to the rig, upwind: loads of main and jib on mast and forestay.

Starboard tack: the wind comes from starboard, leeward is port. Loads grow with the wind until the boat's
righting moment is used up; from there on the crew depowers and the heeling moment stays.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from cringle.boat.class_file import ClassFile, Sail
from cringle.constants import (
    AIR_DENSITY_KG_PER_M3,
    REFERENCE_WIND_HEIGHT_M,
    STANDARD_GRAVITY_M_PER_S2,
)
from cringle.errors import InputError, OutOfRangeError
from cringle.physics.rig_loads import headsail_sheet_load, luff_load
from cringle.physics.stability import waterplane_inertia
from cringle.physics.wind import apparent_wind, wind_speed_at_height
from cringle.rig.assumptions import assumed
from cringle.units import degrees_to_radians, knots_to_metres_per_second, metres_per_second_to_knots

Triple = tuple[float, float, float]
LARGEST_WIND_KN = 40.0


@dataclass(frozen=True)
class WindLoad:
    """Loads of one wind.

    Parameters
    ----------
    wind_kn : float
        True wind at 10 m.
    apparent_kn : float
        Apparent wind at the sails' centre.
    power : float
        Share of full force left after depowering, 0 to 1.
    heeling_moment_nm : float
        About the side force on the foils.
    forces_n : dict
        Named point of the mast to force (x forward, y to port, z up). [N]
    main_luff_n_per_m, stay_n_per_m : triple
        Even loads along the mast above the boom and along the forestay. [N/m]
    main_sheet_n, jib_sheet_n : float
        Line loads. [N]
    """

    wind_kn: float
    apparent_kn: float
    power: float
    heeling_moment_nm: float
    forces_n: dict[str, Triple]
    main_luff_n_per_m: Triple
    stay_n_per_m: Triple
    main_sheet_n: float
    jib_sheet_n: float


@dataclass(frozen=True)
class Sailing:
    """Who sails what: enough to know a wind's loads.

    Parameters
    ----------
    class_file : ClassFile
        Sails, hull, rig.
    crew_kg : float
        All people.
    wind_height_m : float
        Height the winds are stated at; converted to 10 m by the log law. [m]
    """

    class_file: ClassFile
    crew_kg: float
    wind_height_m: float = REFERENCE_WIND_HEIGHT_M

    def load(self, wind_kn: float) -> WindLoad:
        """Return the rig's loads upwind; `WindLoad.wind_kn` stays the wind as stated."""
        at_ten = wind_speed_at_height(wind_kn, self.wind_height_m) if wind_kn > 0.0 else wind_kn
        return replace(upwind_load(self.class_file, float(at_ten), crew_kg=self.crew_kg), wind_kn=wind_kn)


def no_wind() -> WindLoad:
    """Return the dock: nothing pulls."""
    still = (0.0, 0.0, 0.0)
    return WindLoad(0.0, 0.0, 0.0, 0.0, {}, still, still, 0.0, 0.0)


def boat_speed_kn(class_file: ClassFile, wind_kn: float) -> float:
    """Return a rough upwind speed: towards 2.43 sqrt(L) knots, half of it in 3.5 kn (from memory).

    A speed model replaces it where there is one; one knot of error moves the loads by about a tenth.
    """
    hull_speed = 2.43 * float(np.sqrt(class_file.hull.length_waterline))
    return hull_speed * (1.0 - float(np.exp(-wind_kn / 5.0)))


def righting_moment_nm(class_file: ClassFile, crew_kg: float) -> float:
    """Return the righting moment at the heel where full power ends, crew on the rail.

    Parameters
    ----------
    class_file : ClassFile
        Hull and ballast.
    crew_kg : float
        All people.

    Returns
    -------
    float
        [N m]

    Notes
    -----
    Initial stability: (KB + BM - KG) sin heel with the class file's waterplane, and the crew's mass
    centre at half the deck beam, 0.3 m above it inside the hull's centre of gravity. An estimate for rig
    loads, not the speed model's.
    """
    hull = class_file.hull
    coefficient = hull.area_waterplane / (hull.length_waterline * hull.beam_waterline)
    radius = waterplane_inertia(hull.length_waterline, hull.beam_waterline, coefficient) / hull.volume_canoe
    metacentre = radius - hull.draft_canoe / 3.0
    heel = float(degrees_to_radians(assumed("heel_deg")))
    weight = (hull.mass + crew_kg) * STANDARD_GRAVITY_M_PER_S2
    height = (hull.mass * hull.centre_of_gravity_z + crew_kg * (hull.freeboard + 0.3)) / (hull.mass + crew_kg)
    boat = weight * (metacentre - height) * float(np.sin(heel))
    crew = crew_kg * STANDARD_GRAVITY_M_PER_S2 * 0.5 * hull.beam_deck * float(np.cos(heel))
    return boat + crew


def _sail(class_file: ClassFile, kind: str) -> Sail:
    for one in class_file.sails:
        if one.kind == kind:
            return one
    raise InputError(f"class.toml has no {kind}", next_step="add it under [[sails]]")


def upwind_load(
    class_file: ClassFile, wind_kn: float, *, crew_kg: float, speed_kn: float | None = None
) -> WindLoad:
    """Return the rig's loads upwind in a wind.

    Parameters
    ----------
    class_file : ClassFile
        Sails, hull, rig.
    wind_kn : float
        True wind at 10 m.
    crew_kg : float
        All people.
    speed_kn : float, optional
        Boat speed; a rough one when left out.

    Returns
    -------
    WindLoad
        Starboard tack.

    Raises
    ------
    OutOfRangeError
        The wind is negative or above 40 kn.
    """
    if not 0.0 <= wind_kn <= LARGEST_WIND_KN:
        raise OutOfRangeError(
            "wind",
            wind_kn,
            0.0,
            LARGEST_WIND_KN,
            unit="kn",
            next_step="stay ashore, or give the wind in knots",
        )
    if wind_kn == 0.0:
        return no_wind()
    main, jib = _sail(class_file, "main"), _sail(class_file, "jib")
    height = (main.area * main.centre_height + jib.area * jib.centre_height) / (main.area + jib.area)
    moving = boat_speed_kn(class_file, wind_kn) if speed_kn is None else speed_kn
    felt = apparent_wind(
        wind_speed_at_height(knots_to_metres_per_second(wind_kn), REFERENCE_WIND_HEIGHT_M, height),
        float(degrees_to_radians(assumed("true_wind_angle_deg"))),
        boat_speed=knots_to_metres_per_second(moving),
    )
    speed = float(felt.speed)
    pressure = assumed("sail_coefficient") * 0.5 * AIR_DENSITY_KG_PER_M3 * speed**2
    arm = height + assumed("lateral_depth") * class_file.keel.span
    full = (
        pressure
        * (main.area + jib.area)
        * float(np.cos(degrees_to_radians(assumed("drive_angle_deg"))))
        * arm
    )
    most = righting_moment_nm(class_file, crew_kg)
    power = 1.0 if full <= most else most / full
    return _spread(class_file, _Felt(wind_kn, speed, pressure * power, power, full * power))


@dataclass(frozen=True)
class _Felt:
    wind_kn: float
    speed: float
    pressure: float
    power: float
    moment: float


def _spread(class_file: ClassFile, felt: _Felt) -> WindLoad:
    """Return where the sails' forces land: half on the luff, the rest shared by head and clew."""
    main, jib = _sail(class_file, "main"), _sail(class_file, "jib")
    apparent_kn = metres_per_second_to_knots(felt.speed)
    sheet = jib_sheet_n(jib.area, apparent_kn) * felt.power
    leech = main_sheet_n(class_file, apparent_kn) * felt.power
    forces: dict[str, Triple] = {}
    _add(forces, "masthead", _side(0.25 * felt.pressure * main.area))
    _add(forces, "hounds", _side(0.25 * felt.pressure * jib.area))
    rig = class_file.rig
    run = float(np.hypot(rig.P, rig.E))
    _add(forces, "masthead", (-leech * rig.E / run, 0.0, -leech * rig.P / run))
    _add(forces, "gooseneck", (leech * rig.E / run, 0.0, 0.0))
    _add(forces, "hounds", _jib_leech(class_file, jib, assumed("head_share") * sheet))
    return WindLoad(
        felt.wind_kn,
        apparent_kn,
        felt.power,
        felt.moment,
        forces,
        _luff(felt.pressure, main, 0.0, _side(0.5 * felt.pressure * main.area / main.luff)),
        _luff(felt.pressure, jib, assumed("sheeting_deg"), (0.0, 0.0, 0.0)),
        leech,
        sheet,
    )


def _add(forces: dict[str, Triple], name: str, more: Triple) -> None:
    x, y, z = forces.get(name, (0.0, 0.0, 0.0))
    forces[name] = (x + more[0], y + more[1], z + more[2])


def _side(force: float) -> Triple:
    """Return a sail force to leeward, leaning forward."""
    lean = float(degrees_to_radians(assumed("drive_angle_deg")))
    return (force * float(np.sin(lean)), force * float(np.cos(lean)), 0.0)


def _luff(pressure: float, sail: Sail, sheeting_deg: float, pressed: Triple) -> Triple:
    """Return the load a metre on a luff: the cloth's pull along its entry, aft and to leeward.

    For the forestay this is the whole of it. On the mast the part of the pressure that lands on the luff
    is given as `pressed`, so only the cloth's pull aft is added there.
    """
    draft = assumed("draft")
    pull = assumed("luff_share") * luff_load(pressure, 0.5 * sail.foot, draft)
    entry = float(degrees_to_radians(sheeting_deg) + np.arctan(4.0 * draft))
    if any(pressed):
        return (pressed[0] - pull * float(np.cos(entry)), pressed[1], 0.0)
    return (-pull * float(np.cos(entry)), pull * float(np.sin(entry)), 0.0)


def _jib_leech(class_file: ClassFile, jib: Sail, tension: float) -> Triple:
    """Return the pull of the jib's leech on the hounds, toward a clew beside the mast."""
    points = class_file.rig.points
    stem, hounds = points.get("stem", (0.0, 0.0, 0.0)), points["hounds"]
    sheeting = float(degrees_to_radians(assumed("sheeting_deg")))
    clew = (stem[0] - jib.foot * np.cos(sheeting), jib.foot * np.sin(sheeting), stem[2] + 0.3)
    pull = np.array(clew) - np.array(hounds)
    x, y, z = tension * pull / np.linalg.norm(pull)
    return (float(x), float(y), float(z))


def jib_sheet_n(area: float, apparent_kn: float) -> float:
    """Return the jib sheet's load by the riggers' formula. [N]."""
    return headsail_sheet_load(area, apparent_kn) * STANDARD_GRAVITY_M_PER_S2


def main_sheet_n(class_file: ClassFile, apparent_kn: float) -> float:
    """Return the mainsheet's load, sheet at the boom's end, by the riggers' formula. [N].

    References
    ----------
    .. [1] Loading formulae reprinted in B. Toss, "The Complete Rigger's Apprentice": k E^2 P^2 V^2 over
       sqrt(P^2 + E^2) (E - D'), D' from clew to sheet.
    """
    rig = class_file.rig
    sheet_in = 0.1 * rig.E
    product = headsail_sheet_load(1.0, apparent_kn) * (rig.E * rig.P) ** 2
    return float(product / (np.hypot(rig.P, rig.E) * (rig.E - sheet_in)) * STANDARD_GRAVITY_M_PER_S2)
