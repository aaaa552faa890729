"""What the data cannot tell about the race inside a log, in sentences."""

from __future__ import annotations

from typing import Final

from cringle.track.heel.discipline import HeelDiscipline
from cringle.track.heel.spotted import HeelSpotted
from cringle.track.ledger.interval import Ledger
from cringle.track.race.structure import Structure
from cringle.track.wind.series import INFERRED, WindSeries

DOUBTFUL: Final = 0.7
"""Legs that are less sure than this on average are called doubtful; simulated races have 0.93 and more."""


def race_notes(
    wind: WindSeries,
    ledger: Ledger | None,
    heel: HeelDiscipline | None,
    *,
    borrowed: str | None,
    spotted: HeelSpotted | None = None,
    structure: Structure | None = None,
) -> tuple[str, ...]:
    """Return what the data cannot tell about a race, most important first.

    Parameters
    ----------
    wind : WindSeries
        The true wind, with its own notes.
    ledger : Ledger or None
        None where no race was found.
    heel : HeelDiscipline or None
        Heel against its target.
    borrowed : str or None
        Whose targets stand in for this boat's own; None where they are hers.
    spotted : HeelSpotted or None
        Heel from few readings.
    structure : Structure or None
        Legs, with how sure they are.
    """
    said = list(wind.notes)
    if borrowed is not None:
        said.insert(
            0,
            f"No book of this boat was named: targets are those of {borrowed}, not yours."
            " Add --book for your own.",
        )
    if wind.strength_source == INFERRED:
        said.append(
            "The wind's speed is inferred from your own speed: slow sailing and light wind look the same, so"
            " the ledger's trim part means little. Enter the wind with --wind."
        )
    if ledger is None:
        said.append(
            "No race was found in the track (beats and runs with a tack or gybe), so there is no ledger."
        )
    elif not ledger.heel_known:
        said.append("Heel was not measured on the legs: the ledger leaves it out.")
    if ledger is not None and heel is None and ledger.heel_known:
        said.append("Heel was measured, but too little of it on the legs to hold it against a target.")
    if ledger is not None and structure is not None and structure.confidence < DOUBTFUL:
        said.append(
            f"The legs are doubtful ({100.0 * structure.confidence:.0f} % sure): this may have been no race,"
            " and the ledger then says little. Compare with what you sailed, and correct it:"
            " cringle log correct."
        )
    if spotted is not None:
        said.append(
            f"{spotted.given} readings of heel, far apart: they tell how often it was right, not how fast it"
            " came back or whether it hunted."
        )
    return tuple(said)
