from __future__ import annotations

import numpy as np
import pytest

from cringle.track.debrief.race_notes import race_notes
from cringle.track.heel.spotted import HeelSpotted
from cringle.track.ledger.interval import Ledger, LedgerPart
from cringle.track.ledger.ledger import PARTS
from cringle.track.race.structure import Structure
from cringle.track.wind.series import INFERRED, INSTRUMENTS, WindSeries


def wind(source: str = INSTRUMENTS, notes: tuple[str, ...] = ()) -> WindSeries:
    some = np.full(5, 10.0)
    return WindSeries(some, some, some, some, INSTRUMENTS, source, notes)


def ledger(heel_known: bool) -> Ledger:
    parts = tuple(LedgerPart(name, 1.0, 0.0, 2.0) for name in PARTS)
    return Ledger(parts, LedgerPart("total", 10.0, 5.0, 15.0), "model target", 600.0, heel_known)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (race_notes(wind(), None, None, borrowed=None), "No race was found"),
        (race_notes(wind(), ledger(False), None, borrowed=None), "the ledger leaves it out"),
        (race_notes(wind(), ledger(True), None, borrowed=None), "too little of it"),
        (race_notes(wind(), None, None, borrowed="the demo class Ouzel"), "Ouzel, not yours"),
        (race_notes(wind(INFERRED), None, None, borrowed=None), "look the same"),
    ],
)
def test_what_is_missing_is_said(said: tuple[str, ...], words: str):
    assert any(words in one for one in said)


def test_whose_targets_comes_first_and_the_winds_own_notes_stay():
    said = race_notes(wind(notes=("no current assumed",)), None, None, borrowed="another")
    assert "another" in said[0]
    assert said[1] == "no current assumed"


def structure(confidence: float) -> Structure:
    return Structure((), (), (), (), (), (), (), (), (), confidence)


def test_doubtful_legs_are_called_so():
    said = race_notes(wind(), ledger(True), None, borrowed=None, structure=structure(0.55))
    assert any(one.startswith("The legs are doubtful (55 % sure)") for one in said)
    for sure, found in ((0.94, ledger(True)), (0.55, None)):
        said = race_notes(wind(), found, None, borrowed=None, structure=structure(sure))
        assert not any("doubtful" in one for one in said)


def test_few_readings_of_heel_are_named():
    said = race_notes(wind(), ledger(False), None, borrowed=None, spotted=HeelSpotted(14, None, None, None))
    assert said[-1].startswith("14 readings of heel, far apart")
