"""The demo's table and cues: complete, on steps, plausible to a sailor, honest about its guesses."""

from __future__ import annotations

import numpy as np
import pytest

from cringle.boat.base import Posture
from cringle.boat.read import read_book_files
from cringle.findings import Source
from cringle.settings.csv_table import Vocabulary, read_cues_csv, read_table_csv
from cringle.settings.roles import role_scales
from cringle.settings.table import TECHNIQUES, Table


@pytest.fixture(scope="module")
def files(examples):
    return read_book_files(examples)


@pytest.fixture(scope="module")
def table(files, examples):
    scales = role_scales(files.boat_file)
    words = Vocabulary(
        tuple(one.id for one in files.class_file.sail_sets),
        {role: one.unit for role, one in scales.items()},
        {role: (one.low, one.high) for role, one in scales.items()},
    )
    cells = read_table_csv(examples / "table.csv", words)
    return Table.of(cells, read_cues_csv(examples / "cues.csv", words, [one.value for one in Posture]))


def column(table, role, gear="settled", sail_set="main+jib", sea="chop"):
    return np.array([cell.number.value for cell in table.column(sail_set, sea, gear, role)])


@pytest.mark.parametrize(
    "role", ["backstay", "cunningham", "jib_halyard", "main_halyard", "outhaul", "vang", "cap_shrouds"]
)
@pytest.mark.parametrize("gear", ["build", "settled"])
def test_more_wind_more_tension(table, role, gear):
    assert np.all(np.diff(column(table, role, gear)) >= 0)


def test_traveller_goes_down_and_tracks_aft_as_the_wind_builds(table):
    assert np.all(np.diff(column(table, "traveller")) <= 0)
    assert np.all(np.diff(column(table, "jib_track_leeward")) <= 0)


def test_sheets_are_hardest_in_the_middle_of_the_range(table):
    for role in ("jib_sheet_leeward", "mainsheet"):
        marks = column(table, role)
        assert 0 < int(np.argmin(marks)) < marks.size - 1


def test_to_build_speed_the_sheets_are_freer(table):
    for role in ("jib_sheet_leeward", "mainsheet"):
        assert np.all(column(table, role, "build") > column(table, role, "settled"))


def test_both_tracks_stand_at_the_same_number(table):
    assert np.array_equal(column(table, "jib_track_leeward"), column(table, "jib_track_windward"))


def test_the_forestay_is_set_ashore_and_never_moves(table):
    assert set(column(table, "forestay")) == {0.0}


def test_every_source_but_computed_is_there_and_the_ends_are_guesses(table):
    sources = {cell.number.source for cell in table.cells}
    assert sources == set(Source) - {Source.COMPUTED}
    strong = [cell for cell in table.cells if cell.sail_set == "main+jib" and cell.wind_kn >= 20]
    assert {cell.number.source for cell in strong} == {Source.GUESS}


def test_trials_say_how_many_observations_stand_behind_them(table):
    trials = [cell for cell in table.cells if cell.number.source is Source.TRIAL]
    assert trials
    assert all(cell.observations for cell in trials)


def test_every_row_has_a_posture_and_a_cue(table):
    rows = {(cell.sail_set, cell.wind_kn, cell.gear) for cell in table.cells}
    for sail_set, wind_kn, gear in rows:
        note = table.note(sail_set, "chop", wind_kn, gear)
        assert note is not None
        assert note.posture
        assert note.cues


def test_postures_of_the_rows_are_possible_on_this_boat(files, table):
    known = {posture.value for station in files.class_file.stations for posture in station.postures}
    assert {note.posture for note in table.notes} <= known


def test_the_run_goes_by_technique_from_light_to_strong(table):
    for sail_set in ("main+kite", "main+jib+kite"):
        assert set(table.gears(sail_set)) <= set(TECHNIQUES)
    assert table.winds("main+kite", "soak")[0] == 4
    assert table.winds("main+jib+kite", "plane")[-1] == 24
    covered = {wind for sail_set in ("main+kite", "main+jib+kite") for wind in table.winds(sail_set)}
    assert covered == set(table.winds("main+jib"))
