from __future__ import annotations

import dataclasses
import math
import re

import numpy as np
import pytest

from cringle.boat.write import set_value
from cringle.cli.speed_options import about, skills_from, winds_from
from cringle.cli.speed_text import (
    crew_text,
    depower_text,
    ends,
    fit_text,
    lane_text,
    polar_text,
    targets_text,
    techniques_text,
)
from cringle.errors import InputError
from cringle.speed.depower_puff import Puff
from cringle.speed.ensemble import FACTOR_NAMES
from cringle.workflows.speed.crew import DepowerAnswer, speed_crew
from cringle.workflows.speed.fit import speed_fit
from cringle.workflows.speed.lanes import LaneQuestion, speed_lane
from cringle.workflows.speed.open import SpeedAsked, open_speed
from cringle.workflows.speed.speed import speed_polar, speed_targets, speed_techniques

FEW = SpeedAsked(members=2)


def fits(lines):
    text = "\n".join(lines)
    return max(len(line) for line in text.splitlines()) <= 80 and "nan" not in text.lower()


def test_numbers_carry_their_interval_only_when_it_is_known():
    assert ends(5.31, 5.04, 5.52) == "5.3 [5.0 5.5]"
    assert ends(5.31, math.nan, 5.5) == "5.3"
    assert ends(math.nan, 1.0, 2.0) == "–"
    assert ends(12.4, 8.2, 13.9, 0) == "12 [8 14]"


def test_targets_name_people_sea_and_the_technique(examples):
    lines = targets_text(speed_targets(examples, [8.0, 30.0], asked=FEW))
    text = "\n".join(lines)
    assert fits(lines)
    assert "Ines, Tobias, Marit, Keo, 320 kg; chop; no fit yet" in text
    assert "soak" in text


def test_a_wind_without_a_target_says_so(examples):
    found = speed_targets(examples, [12.0], asked=FEW)
    found.up.found.cells.status[:] = 1
    assert "no target" in "\n".join(targets_text(found))


def test_techniques_begin_with_their_windows(examples):
    lines = techniques_text(speed_techniques(examples, [8.0, 14.0], asked=FEW))
    assert fits(lines)
    assert " to " in lines[3]


def test_many_winds_are_thinned_to_fit_the_page(examples):
    found = speed_polar(examples, [float(wind) for wind in range(4, 25)], step_deg=20.0, cases=["up"])
    lines = polar_text(found)
    assert fits(lines)
    assert lines[4].split() == ["angle", "°", "4", "7", "10", "13", "16", "19", "22"]


def test_people_places_and_prices_fit_the_page(examples):
    lines = crew_text(speed_crew(examples, [5.0, 8.0, 12.0, 14.0, 16.0, 18.0, 20.0], asked=FEW))
    text = "\n".join(lines)
    assert fits(lines)
    assert "181 kg hiking, 139 kg legs in" in " ".join(text.split())
    assert "beside the best heel" in text
    assert "lifejackets" in text


def test_a_puff_that_cannot_be_feathered_is_eased(examples):
    puffs = (Puff(12.0, 15.0, False, None, None, 120.0), Puff(6.0, 7.5, True, 0.0, 60.0, 60.0))
    lines = depower_text(DepowerAnswer(open_speed(examples, FEW), (), puffs))
    assert fits(lines)
    assert "ease: no angle lets the boat feather it" in "\n".join(lines)


def test_a_lane_says_metres_and_break_even(examples):
    found = speed_lane(examples, LaneQuestion("layline", 10.0, right_m=50.0, ahead_m=500.0), about=FEW)
    lines = lane_text(found)
    assert fits(lines)
    assert any(line.startswith("Metres made good: -") for line in lines)
    plain = dataclasses.replace(found, answer=dataclasses.replace(found.answer, break_even_90=None))
    assert "s to the layline" in "\n".join(lane_text(plain))


def test_a_fit_lists_every_factor(examples):
    lines = fit_text(speed_fit(examples, str(examples / "steady.csv")))
    text = "\n".join(lines)
    assert fits(lines)
    assert all(name.replace("_", " ") in text for name in FACTOR_NAMES)
    assert "not kept" in text


def test_options_become_questions():
    assert winds_from("6, 10,14") == [6.0, 10.0, 14.0]
    assert winds_from(None) == []
    asked = about("flat", " Ines , Guest=70 ", 8)
    assert (asked.sea, asked.aboard, asked.members) == ("flat", ("Ines", "Guest=70"), 8)
    assert skills_from(["jib=a", "jib=b", "main=c"]) == {"jib": ["a", "b"], "main": ["c"]}
    with pytest.raises(InputError, match="ROLE=SKILL"):
        skills_from(["jib"])
    with pytest.raises(InputError, match="ROLE=SKILL"):
        skills_from([" =works_foredeck"])
    assert np.isfinite(winds_from("7")[0])


@pytest.mark.parametrize("text", ["nan", "10,inf", "-inf", "8,NaN,12"])
def test_a_wind_that_is_no_finite_number_is_refused(text):
    with pytest.raises(InputError, match="no finite number"):
        winds_from(text)


def test_a_boat_of_pounds_is_told_pounds(book_folder):
    set_value(book_folder / "boat.toml", ("boat", "display_units"), "inch-pound")
    found = speed_crew(book_folder, [12.0], asked=FEW)
    text = "\n".join(crew_text(found))
    assert "Keo, 705 lb; chop" in " ".join(text.split())
    assert "+22 lb of crew" in text
    assert " kg" not in text


def test_columns_never_touch(examples):
    lines = targets_text(speed_targets(examples, [20.0, 24.0], asked=FEW))
    assert fits(lines)
    rows = [line for line in lines if "plane" in line]
    assert rows
    assert all(not re.search(r"\]\S", line) for line in rows)
