"""Hulls and foils that several tests of the water side share."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cringle.physics.foils import Appendages, Bulb, Foil
from cringle.physics.hull_form import HullForm
from cringle.physics.leeway import LateralPlane
from cringle.physics.underwater import HullCurves, UnderwaterBody, hull_curves
from cringle.physics.water import Water


def _hull(name: str) -> HullForm:
    text = (Path(__file__).parents[1] / "data" / "hulls.json").read_text(encoding="utf-8")
    return HullForm(**{key: value for key, value in json.loads(text)[name].items() if key != "note"})


@pytest.fixture(scope="session")
def sportsboat() -> HullForm:
    """Return the hull of an invented 7 m sportsboat."""
    return _hull("sportsboat")


@pytest.fixture(scope="session")
def series_parent() -> HullForm:
    """Return the parent hull of the systematic series."""
    return _hull("series_parent")


@pytest.fixture(scope="session")
def sea() -> Water:
    """Return round sea water."""
    return Water(1025.0, 1.19e-6)


@pytest.fixture(scope="session")
def appendages() -> Appendages:
    """Return the keel, rudder and bulb of the invented sportsboat."""
    keel = Foil(1.285, 0.45, 0.45, 0.12, root_depth=0.215, volume=0.045, centroid_depth=0.85)
    return Appendages(keel, Foil(1.05, 0.28, 0.28, 0.11), Bulb(1.3, 0.26))


@pytest.fixture(scope="session")
def lateral_plane(appendages: Appendages, sportsboat: HullForm) -> LateralPlane:
    """Return what makes the sportsboat's side force."""
    return LateralPlane(appendages, sportsboat.beam_waterline / sportsboat.draft_canoe)


@pytest.fixture(scope="session")
def body(sportsboat: HullForm, appendages: Appendages, sea: Water) -> UnderwaterBody:
    """Return the whole underwater body."""
    return UnderwaterBody(sportsboat, appendages, sea)


@pytest.fixture(scope="session")
def curves(body: UnderwaterBody) -> HullCurves:
    """Return its curves."""
    return hull_curves(body)
