"""The boat as the force balance needs it, built once from the class file and the people aboard."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.boat.class_file import ClassFile
from cringle.boat.crew_file import CrewFile
from cringle.constants import STANDARD_GRAVITY_M_PER_S2
from cringle.errors import InputError, RuleError
from cringle.physics.assumptions import AirAssumptions, default_air_assumptions
from cringle.physics.hull_drag import drag_range_notes
from cringle.physics.leeway import LateralPlane
from cringle.physics.sail_sum import SailCurves
from cringle.physics.sails import RigGeometry, Sail, SailKind, SailSet
from cringle.physics.stability import Buoyancy, Mass, buoyancy_moment, mass_moment
from cringle.physics.underwater import HullCurves
from cringle.physics.water import Water, water_at
from cringle.physics.water_assumptions import WaterAssumptions, default_water_assumptions
from cringle.physics.waves import fetch_limited_height, head_sea_resistance, highest_sea
from cringle.physics.windage import WindageElement
from cringle.physics.yaw import YawGeometry
from cringle.speed import boat_parts
from cringle.speed.air_side import AirSide
from cringle.speed.cases import Case, run_cases, upwind_case
from cringle.speed.crew_load import CrewLoad, crew_load
from cringle.speed.factors import Factors
from cringle.units import metres_per_second_to_knots

SEA_FETCH_M = {"flat": 250.0, "chop": 6000.0, "waves": 25000.0}
"""Open water to windward behind the three seas the book knows [m]: 0.05, 0.25 and 0.5 m of waves in 12 kn
(judgement), less in light air and more in a breeze, as the wind raises them."""


@dataclass(frozen=True)
class Surroundings:
    """Everything that is not the boat: assumptions, fitted factors, water and sea.

    Parameters
    ----------
    air, water : AirAssumptions, WaterAssumptions
        One member of the ensemble, or the best values.
    factors : Factors
        From a fit.
    fluid : Water
        Density and viscosity.
    sea : str
        ``flat``, ``chop`` or ``waves``.

    Raises
    ------
    InputError
        There is no such sea.
    """

    air: AirAssumptions = field(default_factory=default_air_assumptions, repr=False)
    water: WaterAssumptions = field(default_factory=default_water_assumptions, repr=False)
    factors: Factors = field(default_factory=Factors)
    fluid: Water = field(default_factory=lambda: water_at(15.0))
    sea: str = "chop"

    def __post_init__(self) -> None:
        if self.sea not in SEA_FETCH_M:
            raise InputError(f"sea: found {self.sea!r}", next_step=f"use one of: {', '.join(SEA_FETCH_M)}")


@dataclass(frozen=True)
class SpeedModel:
    """One boat, one crew, one set of assumptions; nothing in it changes.

    Build it with `SpeedModel.from_files`.
    """

    class_file: ClassFile = field(repr=False)
    crew: CrewLoad
    around: Surroundings
    curves: HullCurves = field(repr=False)
    plane: LateralPlane = field(repr=False)
    buoyancy: Buoyancy = field(repr=False)
    boat_mass: Mass = field(repr=False)
    rig: RigGeometry = field(repr=False)
    sails: Mapping[SailKind, Sail] = field(repr=False)
    windage: WindageElement = field(repr=False)
    yaw: YawGeometry = field(repr=False)

    @classmethod
    def from_files(
        cls, class_file: ClassFile, crew: CrewFile | CrewLoad, around: Surroundings | None = None
    ) -> SpeedModel:
        """Return the model of a class with a crew aboard.

        Parameters
        ----------
        class_file : ClassFile
            Hull, foils, rig, sails, limits.
        crew : CrewFile or CrewLoad
            The people at their places of full hike, or their load.
        around : Surroundings, optional
            Assumptions, factors, water, sea; the best values, no fit, 15 C sea water, chop without it.

        Raises
        ------
        RuleError
            The crew is heavier than the class allows.
        InputError
            The boat described cannot exist.
        """
        around = around or Surroundings()
        load = crew if isinstance(crew, CrewLoad) else crew_load(class_file, crew)
        limits = class_file.limits
        if load.mass_kg > limits.crew_mass_max:
            raise RuleError(
                f"crew of {load.mass_kg:g} kg, the class allows {limits.crew_mass_max:g} kg"
                f" ({limits.crew_rule})",
                next_step="leave somebody ashore, or correct the masses in crew.toml",
            )
        return cls(
            class_file=class_file,
            crew=load,
            around=around,
            curves=boat_parts.hull_curves_of(class_file, load, around.fluid, around.water, around.factors),
            plane=boat_parts.lateral_plane(class_file, load, around.fluid, around.water),
            buoyancy=boat_parts.buoyancy(class_file, load, around.fluid),
            boat_mass=Mass(class_file.hull.mass, class_file.hull.centre_of_gravity_z),
            rig=boat_parts.rig_geometry(class_file),
            sails=boat_parts.sails(class_file),
            windage=boat_parts.windage(class_file, load, around.air),
            yaw=boat_parts.yaw_geometry(class_file, load, around.fluid, around.water),
        )

    def with_crew(self, crew: CrewFile | CrewLoad) -> SpeedModel:
        """Return the same boat with other people, or the same people elsewhere."""
        return SpeedModel.from_files(self.class_file, crew, self.around)

    def with_sea(self, sea: str) -> SpeedModel:
        """Return the same boat in another sea."""
        return replace(self, around=replace(self.around, sea=sea))

    def with_around(self, around: Surroundings) -> SpeedModel:
        """Return the same boat and people under other assumptions or factors."""
        return SpeedModel.from_files(self.class_file, self.crew, around)

    @cached_property
    def upwind(self) -> Case:
        """Main and jib."""
        return upwind_case()

    @cached_property
    def run(self) -> tuple[Case, ...]:
        """Techniques for the run, with the jib furled and out."""
        return run_cases(self.class_file)

    def case(self, name: str) -> Case:
        """Return the case of a name.

        Raises
        ------
        InputError
            There is none; the message lists those there are.
        """
        for one in (self.upwind, *self.run):
            if one.name == name:
                return one
        names = ", ".join(one.name for one in (self.upwind, *self.run))
        raise InputError(f"no case {name!r}", next_step=f"use one of: {names}")

    def sail_set(self, case: Case) -> SailSet:
        """Return the sails of a case.

        Raises
        ------
        InputError
            The class file does not have them all.
        """
        missing = [
            str(kind)
            for kind, wanted in ((SailKind.MAIN, True), (SailKind.JIB, case.jib == "out"),
                                 (SailKind.KITE, case.kite))
            if wanted and kind not in self.sails
        ]  # fmt: skip
        if missing:
            raise InputError(
                f"{case.name}: the class file has no {' and no '.join(missing)}",
                next_step="add the sail to [[sails]] and to a [[sail_sets]] entry",
            )
        return SailSet(
            self.sails[SailKind.MAIN],
            self.sails[SailKind.JIB] if case.jib == "out" else None,
            self.sails[SailKind.KITE] if case.kite else None,
            arrangement=case.arrangement,
            gear=case.gear,
        )

    def air(self, case: Case) -> AirSide:
        """Return sails and windage of a case; made once for each set of sails."""
        sails = self.sail_set(case)
        if sails not in self._airs:
            curves = SailCurves(sails, self.rig, self.around.air)
            factors = self.around.factors
            self._airs[sails] = AirSide(
                curves, self.windage, self.arm_below, factors.sail_power, factors.windage
            )
        return self._airs[sails]

    @cached_property
    def _airs(self) -> dict[SailSet, AirSide]:
        return {}

    @property
    def arm_below(self) -> float:
        """Depth of the centre of keel and rudder force below the waterline [m]."""
        return self.around.water.side_force_depth_share * self.plane.appendages.draft

    @property
    def righting_factor(self) -> float:
        """Assumption and fit on the righting moment of hull and ballast."""
        return self.around.factors.righting_moment * self.around.water.righting_moment_factor

    def hull_moment(self, heel: ArrayLike) -> NDArray[np.float64]:
        """Return the righting moment without people at a heel [rad], in N m."""
        whole = self.boat_mass.mass + self.crew.mass_kg
        gravity = mass_moment(
            self.boat_mass.mass, height=self.boat_mass.height, off_centre=self.boat_mass.off_centre, heel=heel
        )
        return np.asarray(self.righting_factor * (buoyancy_moment(self.buoyancy, whole, heel) + gravity))

    def most_moment(self, heel: ArrayLike) -> NDArray[np.float64]:
        """Return the righting moment with everyone at full hike at a heel [rad], in N m."""
        return self.hull_moment(heel) + self.crew.moment(self._out, heel)

    def least_moment(self, heel: ArrayLike) -> NDArray[np.float64]:
        """Return the righting moment with everyone as far to leeward as they go, in N m."""
        return self.hull_moment(heel) + self.crew.moment(-self.crew.leeward_m, heel)

    @property
    def _out(self) -> float:
        return self.crew.hike_m + self.around.water.crew_place

    @property
    def range_notes(self) -> tuple[str, ...]:
        """Ways in which boat or sea lie outside what the methods were made for, as sentences."""
        hull = self.curves.body.hull
        notes = [str(one) for one in drag_range_notes(hull)]
        if self.sea_limit_kn < self.class_file.limits.wind_limit_kn:
            notes.append(
                f"sea {self.around.sea}: from {self.sea_limit_kn:.0f} kn of wind higher than the method for "
                "waves was made for; the added resistance is held there"
            )
        return tuple(notes)

    @property
    def sea_limit_kn(self) -> float:
        """True wind from which the sea is higher than the method for waves holds."""
        most = highest_sea(self.curves.body.hull.length_waterline)
        per_wind = float(fetch_limited_height(1.0, SEA_FETCH_M[self.around.sea]))
        return float(metres_per_second_to_knots(most / per_wind))

    def wave_drag(self, wind: ArrayLike) -> NDArray[np.float64]:
        """Return the added resistance in head seas [N] in a true wind at 10 m [m/s].

        The sea grows with the wind over the fetch, see `SEA_FETCH_M`; beyond the method's highest sea the
        resistance is held.
        """
        hull = self.curves.body.hull
        raised = fetch_limited_height(wind, SEA_FETCH_M[self.around.sea])
        height = np.minimum(raised, highest_sea(hull.length_waterline))
        return np.asarray(
            self.around.water.wave_factor * head_sea_resistance(hull, self.around.fluid, height)
        )

    @property
    def froude_speed(self) -> float:
        """Speed at Froude number 1 on the waterline [m/s]."""
        return math.sqrt(STANDARD_GRAVITY_M_PER_S2 * self.class_file.hull.length_waterline)
