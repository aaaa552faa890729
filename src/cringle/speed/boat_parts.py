"""From the class file to the arguments of the physics room; nothing is computed here that physics can do."""

from __future__ import annotations

import math
from dataclasses import replace

from cringle.boat.class_file import ClassFile
from cringle.boat.class_file import Foil as FoilFile
from cringle.errors import InputError
from cringle.physics.assumptions import AirAssumptions
from cringle.physics.foils import Appendages, Bulb, Foil
from cringle.physics.hull_form import HullForm, with_centre_moved, with_volume
from cringle.physics.leeway import LateralPlane, foil_lift_slope
from cringle.physics.sails import RigGeometry, Sail, SailKind
from cringle.physics.stability import Buoyancy, buoyancy_of
from cringle.physics.underwater import HullCurves, UnderwaterBody, hull_curves
from cringle.physics.water import Water
from cringle.physics.water_assumptions import WaterAssumptions
from cringle.physics.windage import AboveWater, WindageElement, lumped_windage, windage_elements
from cringle.physics.yaw import YawGeometry
from cringle.speed.crew_load import CrewLoad
from cringle.speed.factors import Factors
from cringle.units import degrees_to_radians

KITE_CENTRE_BEYOND_STEM = 0.25
"""Place of the kite's centre of effort aft of its tack, over its foot; estimate, for the yaw balance only."""

TILLER_LENGTH_M = 1.1
"""From the stock to the hand [m]; estimate, for the helm load only."""


def appendage_volume(class_file: ClassFile) -> float:
    """Return the volume of keel, rudder and bulb [m3]."""
    return class_file.keel.volume + class_file.rudder.volume + class_file.bulb.volume


def hull_form(class_file: ClassFile, load: CrewLoad, water: Water) -> HullForm:
    """Return the canoe body floating with this crew, trimmed by where they sit."""
    hull = class_file.hull
    described = HullForm(
        length_waterline=hull.length_waterline,
        beam_waterline=hull.beam_waterline,
        draft_canoe=hull.draft_canoe,
        volume_canoe=hull.volume_canoe,
        cp=hull.cp,
        cm=hull.cm,
        area_waterplane=hull.area_waterplane,
        lcb_from_bow=hull.length_waterline - hull.lcb,
        lcf_from_bow=hull.length_waterline - hull.lcf,
        half_entrance=float(degrees_to_radians(hull.half_entrance_deg)),
        transom_ratio=hull.transom_ratio,
        chine_beam=hull.chine_beam,
        deadrise=float(degrees_to_radians(hull.deadrise_deg)),
        planing_lcg=hull.planing_lcg,
        bow_length_95=hull.bow_length_95,
    )
    mass = hull.mass + load.mass_kg
    floating = with_volume(described, mass / water.density - appendage_volume(class_file))
    return with_centre_moved(floating, load.forward_m * load.mass_kg / mass)


def _foil(foil: FoilFile, *, root_depth: float, extra_volume: float = 0.0, depth: float = 0.0) -> Foil:
    return Foil(
        foil.span,
        foil.chord_root,
        foil.chord_tip,
        foil.thickness_ratio,
        sweep=float(degrees_to_radians(foil.sweep_deg)),
        root_depth=root_depth,
        volume=foil.volume + extra_volume,
        centroid_depth=depth,
    )


def appendages(class_file: ClassFile) -> Appendages:
    """Return keel, rudder and bulb; the keel's volume holds the bulb's, as its wave drag asks for."""
    hull, keel, bulb = class_file.hull, class_file.keel, class_file.bulb
    both = keel.volume + bulb.volume
    centroid = -(keel.volume * keel.centroid_z + bulb.volume * bulb.centroid_z) / both
    fin = _foil(
        keel,
        root_depth=hull.draft_canoe,
        extra_volume=bulb.volume,
        depth=max(centroid - hull.draft_canoe, 0.0),
    )
    blade = _foil(class_file.rudder, root_depth=0.0, depth=-class_file.rudder.centroid_z)
    return Appendages(fin, blade, Bulb(bulb.length, bulb.diameter, bulb.volume, -bulb.centroid_z))


def hull_curves_of(
    class_file: ClassFile, load: CrewLoad, water: Water, known: WaterAssumptions, factors: Factors
) -> HullCurves:
    """Return the drag curves of the underwater body with the fitted factors in them.

    Notes
    -----
    A step of the people fore and aft counts by `WaterAssumptions.trim_response`: the series varied the centre
    of buoyancy of designs, not the trim of one hull.
    """
    fitted = replace(
        known,
        hull_drag_factor=known.hull_drag_factor * factors.hull_drag,
        planing_drag_factor=known.planing_drag_factor * factors.planing_drag,
    )
    felt = replace(load, forward_m=known.trim_response * load.forward_m)
    body = UnderwaterBody(
        hull_form(class_file, felt, water), appendages(class_file), water, assumptions=fitted
    )
    return hull_curves(body)


def lateral_plane(
    class_file: ClassFile, load: CrewLoad, water: Water, known: WaterAssumptions
) -> LateralPlane:
    """Return what makes side force."""
    hull = hull_form(class_file, load, water)
    return LateralPlane(appendages(class_file), hull.beam_waterline / hull.draft_canoe, known)


def buoyancy(class_file: ClassFile, load: CrewLoad, water: Water) -> Buoyancy:
    """Return the hull's share of stability with this crew aboard."""
    parts = (class_file.keel, class_file.rudder, class_file.bulb)
    volume = appendage_volume(class_file)
    depth = -sum(one.volume * one.centroid_z for one in parts) / volume
    return buoyancy_of(hull_form(class_file, load, water), appendage_volume=volume, appendage_depth=depth)


def rig_geometry(class_file: ClassFile) -> RigGeometry:
    """Return the rig's main dimensions."""
    rig = class_file.rig
    return RigGeometry(rig.mast_height, class_file.hull.freeboard, rig.P, rig.E, rig.boom_above_deck, rig.I)


def _place(class_file: ClassFile, name: str) -> float:
    if name not in class_file.rig.points:
        raise InputError(
            f"rig.points: {name!r} is missing in the class file",
            next_step="add the point, metres forward, to port and up",
        )
    return class_file.rig.points[name][0]


def sails(class_file: ClassFile) -> dict[SailKind, Sail]:
    """Return the sails of the class by kind, the first of each; centres fore and aft are estimates.

    Notes
    -----
    Centre of the main at 0.4 of its foot behind the mast, of the jib at two thirds of its foot behind the
    stem, of the kite `KITE_CENTRE_BEYOND_STEM` of its foot behind its tack: estimates, for the yaw balance
    alone.
    """
    stem, mast = _place(class_file, "stem"), _place(class_file, "mast_foot")
    found: dict[SailKind, Sail] = {}
    for one in class_file.sails:
        kind = SailKind(str(one.kind))
        forward = {
            SailKind.MAIN: mast - 0.4 * one.foot,
            SailKind.JIB: stem - one.foot * 2.0 / 3.0,
            SailKind.KITE: stem + (one.pole_length or 0.0) - KITE_CENTRE_BEYOND_STEM * one.foot,
        }[kind]
        found.setdefault(kind, Sail(kind, one.area, one.centre_height, forward))
    return found


def windage(class_file: ClassFile, load: CrewLoad, known: AirAssumptions) -> WindageElement:
    """Return everything in the wind besides the sails, as one element."""
    hull, rig = class_file.hull, class_file.rig
    boat = AboveWater(
        hull.length_overall,
        hull.beam_deck,
        hull.freeboard,
        rig.mast_height,
        rig.mast_diameter,
        rig.boom_above_deck,
        _wire_length(class_file),
        _wire_diameter(class_file),
        load.people,
    )
    return lumped_windage(windage_elements(boat, known))


def _wire_length(class_file: ClassFile) -> float:
    points = class_file.rig.points
    return sum(
        math.dist(points[one.start], points[one.end]) * (2.0 if one.pair else 1.0)
        for one in class_file.rig.wires
        if one.start in points and one.end in points
    )


def _wire_diameter(class_file: ClassFile) -> float:
    return max(one.diameter_mm for one in class_file.rig.wires) / 1000.0


def yaw_geometry(class_file: ClassFile, load: CrewLoad, water: Water, known: WaterAssumptions) -> YawGeometry:
    """Return where the water holds the boat, for the indicative yaw balance."""
    parts, rudder = appendages(class_file), class_file.rudder
    return YawGeometry(
        lateral_centre_forward=class_file.keel.x,
        lateral_centre_depth=known.side_force_depth_share * parts.draft,
        rudder_forward=rudder.x,
        rudder_area=rudder.span * 0.5 * (rudder.chord_root + rudder.chord_tip),
        rudder_lift_slope=foil_lift_slope(parts.rudder),
        stock_to_pressure=0.05 * rudder.chord_root,
        tiller_length=TILLER_LENGTH_M,
        hull_volume=hull_form(class_file, load, water).volume_canoe,
        water_density=water.density,
    )
