"""What a debrief is told besides the log."""

from __future__ import annotations

from pathlib import Path

import pytest

from cringle.errors import InputError
from cringle.workflows.afloat.logs_told import HEEL_TOLERANCE_DEG, debrief_options


def test_without_a_book_what_was_given_counts() -> None:
    found = debrief_options(None, {"upwind": 14.0}, time_zone=None, boat=None)
    band = found.bands_for(11.0)["upwind"]
    assert (band.low_deg, band.high_deg) == (14.0 - HEEL_TOLERANCE_DEG, 14.0 + HEEL_TOLERANCE_DEG)
    assert (band.source, found.time_zone, found.boat) == ("given", "UTC", None)


def test_the_book_gives_what_nobody_said(sailed_book: Path) -> None:
    own = debrief_options(sailed_book, {}, time_zone=None, boat=None)
    assert (own.time_zone, own.boat) == ("Europe/London", "Brindle")
    assert set(own.bands_for(11.0)) == {"upwind"}
    assert own.bands_for(None) == {}
    said = debrief_options(sailed_book, {"upwind": 9.0}, time_zone="UTC", boat="Other")
    assert (said.time_zone, said.boat) == ("UTC", "Other")
    assert said.bands_for(11.0)["upwind"].high_deg == 11.0
    more = debrief_options(sailed_book, {"downwind": 4.0}, time_zone=None, boat=None).bands_for(11.0)
    assert more["upwind"] == own.bands_for(11.0)["upwind"]
    assert more["downwind"].source == "given"


def test_what_there_is_not(sailed_book: Path) -> None:
    with pytest.raises(InputError, match="no point of sail 'sideways'"):
        debrief_options(None, {"sideways": 9.0}, time_zone=None, boat=None)
    with pytest.raises(InputError, match="no time zone 'Nowhere/Land'"):
        debrief_options(sailed_book, {}, time_zone="Nowhere/Land", boat=None)
