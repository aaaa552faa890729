"""The weight strip of a play: stability from the class file, steady heel from the speed model."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from cringle.boat.book_files import BookFiles
from cringle.constants import STANDARD_GRAVITY_M_PER_S2
from cringle.errors import InputError
from cringle.plays.crew import Hand
from cringle.plays.play_file import PlayFile, Spot
from cringle.plays.roll import RollModel, roll_inertia
from cringle.plays.weight import OffCentre, SteadyHeel, WeightStrip, weight_strip
from cringle.speed.crew_load import body_place
from cringle.speed.model import SpeedModel
from cringle.speed.targets import targets
from cringle.workflows.plays.open import CrewAsked, open_playbook
from cringle.workflows.plays.play import CheckedPlay, checked_in

SLOPE_STEP = 0.01
"""Heel over which the stiffness is taken [rad]."""

UP_SAILS = "main+jib"


def weight_of(
    folder: Path, name: str, *, wind_kn: float | None = None, asked: CrewAsked | None = None
) -> tuple[CheckedPlay, WeightStrip]:
    """Return a checked play and the strip under its timeline.

    Parameters
    ----------
    folder : Path
        The book.
    name : str
        The play.
    wind_kn : float, optional
        True wind at 10 m; then the steady heel comes from the speed model, else from the play file.
    asked : CrewAsked, optional
        Who sails.

    Raises
    ------
    InputError
        The play cannot be done, or is not for that wind.
    """
    book = open_playbook(folder)
    found = checked_in(book, name, asked)
    if found.checked.plan.makespan_s is None:
        raise InputError(
            f"{found.play.id} cannot be done as it is: {'; '.join(found.checked.plan.conflicts)}"
        )
    return found, strip_for(book.files, found, wind_kn)


def strip_for(files: BookFiles, found: CheckedPlay, wind_kn: float | None = None) -> WeightStrip:
    """Return the strip of a checked play."""
    model = SpeedModel.from_files(files.class_file, files.crew_file)
    heel = None if wind_kn is None else _steady(model, found.play, wind_kn)
    return weight_strip(found.checked, roll_of(files, model), off_centre_of(files), heel=heel)


def roll_of(files: BookFiles, model: SpeedModel) -> RollModel:
    """Return the boat in roll: stiffness of hull, ballast and people, inertia from mass and beam."""
    hull = files.class_file.hull
    slope = float(model.hull_moment(np.array(SLOPE_STEP))) / SLOPE_STEP
    crew = model.crew
    stiffness = slope - crew.mass_kg * STANDARD_GRAVITY_M_PER_S2 * crew.centre_height_m
    return RollModel(stiffness, roll_inertia(hull.mass + crew.mass_kg, hull.beam_deck))


def off_centre_of(files: BookFiles) -> OffCentre:
    """Return the function that gives the place of a person's mass to windward [m]."""
    people = {one.id: one for one in files.crew_file.people}

    def off_centre(hand: Hand, spot: Spot) -> float:
        person = people.get(hand.id) or files.crew_file.people[0].model_copy(
            update={"mass_kg": hand.mass_kg, "height_m": hand.height_m, "name": hand.name}
        )
        return body_place(files.class_file, person, station=spot.station, posture=spot.posture).off_centre_m

    return off_centre


def _steady(model: SpeedModel, play: PlayFile, wind_kn: float) -> SteadyHeel:
    """Return the steady heel before and after a play by the speed model; the play's own where it has none."""
    if not play.wind_low_kn <= wind_kn <= play.wind_high_kn:
        raise InputError(
            f"{play.id} is for {play.wind_low_kn:g} to {play.wind_high_kn:g} kn, not for {wind_kn:g} kn",
            next_step="choose another play: cringle play list",
        )
    before = _model_heel(model, play, play.sails_before, wind_kn)
    after = _model_heel(model, play, play.sails_after, wind_kn)
    source = "speed model" if before is not None and after is not None else "speed model and play file"
    return SteadyHeel(
        play.heel_before_deg if before is None else before,
        play.heel_after_deg if after is None else after,
        play.heel_band_deg,
        source,
    )


def _model_heel(model: SpeedModel, play: PlayFile, sails: str, wind_kn: float) -> float | None:
    """Return the best heel with some sails up, or None where the model has no target for them."""
    if sails == UP_SAILS:
        cases = [model.upwind]
    else:
        jib = "out" if "jib" in sails.split("+") else "furled"
        wanted = [str(one) for one in play.techniques]
        cases = [one for one in model.run if one.jib == jib and str(one.technique) in wanted]
    for case in cases:
        heel = float(targets(model, np.array([wind_kn]), case=case).cells.heel_deg[0])
        if np.isfinite(heel):
            return heel
    return None
