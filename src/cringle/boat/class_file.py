"""The class file: what is the same on every boat of the class.

Lengths in metres, masses in kilograms, forces in newtons; x forward from the after end of the waterline,
y to port, z up from the static waterline. An angle carries ``_deg``.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from cringle.boat.base import FileModel, Identifier, Point, Posture, Rule, RuleState, SailKind, Technique

Positive = Annotated[float, Field(gt=0)]
NotNegative = Annotated[float, Field(ge=0)]
Fraction = Annotated[float, Field(gt=0, le=1)]


class ClassIdentity(FileModel):
    """Name of the class and the edition of its rules that this file was read from."""

    name: str = Field(min_length=1)
    edition: str = Field(min_length=1)
    note: str = ""


class Hull(FileModel):
    """Hull form at the measured trim, crew aboard."""

    length_waterline: float = Field(gt=3, lt=15)
    beam_waterline: float = Field(gt=0.8, lt=4)
    draft_canoe: float = Field(gt=0.05, lt=1)
    volume_canoe: float = Field(gt=0.1, lt=12)
    cp: float = Field(gt=0.4, lt=0.75)
    cm: float = Field(gt=0.4, le=1)
    area_waterplane: Positive
    lcb: Positive
    lcf: Positive
    half_entrance_deg: float = Field(gt=3, lt=45)
    transom_ratio: float = Field(ge=0, le=1)
    chine_beam: Positive
    deadrise_deg: float = Field(ge=0, lt=40)
    planing_lcg: Positive
    bow_length_95: Positive
    freeboard: Positive
    beam_deck: Positive
    length_overall: Positive
    mass: float = Field(gt=100, lt=8000)
    centre_of_gravity_x: float
    centre_of_gravity_z: float

    @model_validator(mode="after")
    def _consistent(self) -> Hull:
        if self.beam_waterline >= self.length_waterline:
            raise ValueError("beam_waterline must be less than length_waterline")
        if self.beam_deck < self.beam_waterline:
            raise ValueError("beam_deck must be at least beam_waterline")
        if not 0 < self.lcb < self.length_waterline or not 0 < self.lcf < self.length_waterline:
            raise ValueError("lcb and lcf must lie between 0 and length_waterline (from the after end)")
        box = self.length_waterline * self.beam_waterline * self.draft_canoe
        if self.volume_canoe > box:
            raise ValueError(f"volume_canoe {self.volume_canoe:g} is more than its own box {box:.3f} m3")
        return self


class Foil(FileModel):
    """A keel fin or a rudder blade.

    `x` is its quarter chord at mid span; `centroid_z` is negative below the waterline.
    """

    span: Positive
    chord_root: Positive
    chord_tip: Positive
    thickness_ratio: float = Field(gt=0.02, lt=0.4)
    sweep_deg: float = Field(gt=-45, lt=60)
    volume: Positive
    x: float
    centroid_z: float = Field(lt=0.5)
    mass: NotNegative


class Bulb(FileModel):
    """The ballast at the tip of the keel."""

    length: Positive
    diameter: Positive
    volume: Positive
    x: float
    centroid_z: float = Field(lt=0)
    mass: Positive


class Spreader(FileModel):
    """Spreaders: length from the mast, sweep aft of athwartships, and section."""

    length: Positive
    sweep_deg: float = Field(ge=0, lt=45)
    E: Positive
    A: Positive
    I: Positive  # noqa: E741 - the symbol the field has in the trade
    J: Positive


class MastPanel(FileModel):
    """Section of the mast between two named points."""

    lower: Identifier
    upper: Identifier
    E: Positive
    A: Positive
    I_fore_aft: Positive
    I_athwart: Positive
    J: Positive
    mass_per_m: NotNegative


class Wire(FileModel):
    """One tension-only wire between two named points, mirrored to starboard when `pair` is true.

    `EA` is axial stiffness on the gross area [N].
    """

    id: Identifier
    kind: Literal["cap_shroud", "lower_shroud", "forestay", "backstay"]
    construction: str = Field(min_length=1)
    diameter_mm: Positive
    EA: Positive
    break_load: Positive
    mass_per_m: Positive
    start: Identifier
    end: Identifier
    via_spreader: bool = False
    pair: bool = False
    covered: bool = False
    base_tension: Positive


class Rig(FileModel):
    """Rig dimensions and statics. `P`, `E`, `I`, `J` as in the Equipment Rules of Sailing and trade use."""

    mast_datum: str
    P: Positive
    E: Positive
    I: Positive  # noqa: E741 - the symbol the field has in the trade
    J: Positive
    boom_above_deck: Positive
    mast_height: Positive
    mast_diameter: Positive
    mast_step: Literal["deck", "keel"]
    prebend_base_mm: NotNegative
    points: dict[Identifier, Point]
    spreader: Spreader
    panels: tuple[MastPanel, ...] = Field(min_length=1)
    wires: tuple[Wire, ...] = Field(min_length=1)


class Sail(FileModel):
    """One sail allowed by the class."""

    id: Identifier
    kind: SailKind
    area: Positive
    luff: Positive
    foot: Positive
    centre_height: Positive
    pole_length: float | None = Field(default=None, gt=0)


class SailSet(FileModel):
    """Sails set together; the settings table is keyed by it."""

    id: Identifier
    name: str
    sails: tuple[Identifier, ...] = Field(min_length=1)
    point: Literal["up", "down"]


class PostureGeometry(FileModel):
    """Where the mass of a seated person is: trunk lean outboard from vertical, and where the legs are."""

    posture: Posture
    trunk_lean_deg: float = Field(ge=-20, le=90)
    legs: Literal["outboard", "inboard"]
    hip_outboard: float = Field(ge=-1.5, le=1)
    mass_centre_above_station: float = Field(gt=-0.5, lt=1.5)


class Station(FileModel):
    """A place for people: x, y (half breadth on the windward side, negative to leeward) and z of the hips."""

    id: Identifier
    name: str
    x: float
    y: float
    z: float
    postures: tuple[Posture, ...] = Field(min_length=1)
    capacity: int = Field(ge=1, le=6)
    neighbours: dict[Identifier, Positive]
    ahead_of_shrouds: bool = False


class Limits(FileModel):
    """Crew limits and equipment rules, each with its rule."""

    crew_min: int = Field(ge=1)
    crew_max: int = Field(ge=1)
    crew_mass_max: Positive
    crew_rule: Rule
    hiking_max: int = Field(ge=0)
    hiking_ahead_of_shrouds: bool = False
    hiking_rule: Rule
    electronics: str
    electronics_rule: Rule
    wind_limit_kn: Positive
    wind_limit_rule: Rule

    @model_validator(mode="after")
    def _ordered(self) -> Limits:
        if self.crew_min > self.crew_max:
            raise ValueError("crew_min must not be more than crew_max")
        return self


class ControlRule(FileModel):
    """When the class lets the lines of a role be changed."""

    role: Identifier
    state: RuleState
    rule: Rule


class TechniqueRule(FileModel):
    """Heel the class sails a technique at, where a bound is known (positive to leeward)."""

    technique: Technique
    heel_low_deg: float
    heel_high_deg: float
    source: str = Field(min_length=1)

    @model_validator(mode="after")
    def _ordered(self) -> TechniqueRule:
        if self.heel_low_deg > self.heel_high_deg:
            raise ValueError("heel_low_deg must not be more than heel_high_deg")
        return self


class ClassFile(FileModel):
    """All of ``class.toml``."""

    schema_version: Literal[1]
    identity: ClassIdentity
    hull: Hull
    keel: Foil
    rudder: Foil
    bulb: Bulb
    rig: Rig
    sails: tuple[Sail, ...] = Field(min_length=1)
    sail_sets: tuple[SailSet, ...] = Field(min_length=1)
    postures: tuple[PostureGeometry, ...] = Field(min_length=1)
    stations: tuple[Station, ...] = Field(min_length=1)
    limits: Limits
    control_rules: tuple[ControlRule, ...] = ()
    techniques: tuple[TechniqueRule, ...] = ()

    def sail_set(self, identifier: str) -> SailSet | None:
        """Return the sail set of that id, or None."""
        return next((one for one in self.sail_sets if one.id == identifier), None)

    def station(self, identifier: str) -> Station | None:
        """Return the station of that id, or None."""
        return next((one for one in self.stations if one.id == identifier), None)

    def rule_for(self, role: str) -> ControlRule | None:
        """Return the class rule about the lines of a role, or None when the class file says nothing."""
        return next((one for one in self.control_rules if one.role == role), None)
