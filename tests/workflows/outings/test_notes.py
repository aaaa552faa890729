from __future__ import annotations

from pathlib import Path

import pytest

from cringle.book.outings import settings_in_force
from cringle.errors import CringleError, InputError, OutOfRangeError
from cringle.settings.records import TonightRequest
from cringle.workflows.book_open import open_records
from cringle.workflows.books.book import check_book
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.numbers.tonight import tonight
from cringle.workflows.outings.notes import (
    Observed,
    WindSaid,
    note_crew,
    note_observation,
    note_rig,
    note_sails,
    note_sea,
    note_settings,
    note_start_numbers,
    note_wind,
)
from cringle.workflows.outings.outing import Door, show_outing, start_outing


@pytest.fixture
def door(book_folder: Path) -> Door:
    start_outing(Door(book_folder, "Ines", at="2026-05-01T18:00"))
    return Door(book_folder, "Ines", at="18:30")


def test_a_wind_without_a_height_is_at_the_tables_own(door: Door) -> None:
    (wind,) = note_wind(door, WindSaid(11.0, gust_kn=15.0)).winds
    assert (wind.height_m, wind.gust_kn, wind.reference) == (10.0, 15.0, "felt")
    said = WindSaid(9.0, 2.0, direction_deg=250.0, reference="hand-held")
    assert note_wind(door, said).winds[1].height_m == 2.0


def test_sea_crew_and_rig_as_they_change(door: Door) -> None:
    note_sea(door, "flat")
    note_sea(Door(door.folder, at="19:00"), "chop")
    note_crew(door, ["ines", "tobias", "keo"])
    outing = note_rig(door, {"cap_port": 1.0, "cap_starboard": 1.0}, row_kn=12.0)
    assert [one.sea for one in outing.seas] == ["flat", "chop"]
    assert outing.crews[-1].mass_kg == 247.0
    assert outing.rigs[0].turns == {"cap_port": 1.0, "cap_starboard": 1.0}


def test_settings_are_checked_against_the_boat_and_kept_with_their_times(door: Door) -> None:
    note_settings(door, {"jib_sheet_leeward": 4.5, "backstay": 3.0})
    outing = note_settings(Door(door.folder, at="19:00"), {"backstay": 4.0})
    force = settings_in_force(outing, outing.settings[-1].at)
    assert {role: (note.value, note.unit) for role, note in force.items()} == {
        "jib_sheet_leeward": (4.5, "mark"),
        "backstay": (4.0, "mark"),
    }
    earlier = settings_in_force(outing, outing.settings[0].at)
    assert earlier["backstay"].value == 3.0


@pytest.mark.parametrize(
    ("act", "error", "words"),
    [
        (
            lambda door: note_settings(door, {"jib_shet": 4.0}),
            InputError,
            "no role 'jib_shet'; known: jib_sheet",
        ),
        (lambda door: note_settings(door, {"backstay": 99.0}), OutOfRangeError, "backstay: found 99 mark"),
        (lambda door: note_sails(door, {"spare": 1.0}), InputError, "no sail 'spare'; known: main_1"),
        (lambda door: note_rig(door, {"cap": 1.0}), InputError, "no screw 'cap'; known: cap_port"),
        (lambda door: note_rig(door, {"cap_port": 50.0}), OutOfRangeError, "cap_port: found 50 turn"),
        (lambda door: note_wind(door, WindSaid(120.0)), OutOfRangeError, "wind_kn: found 120 kn"),
        (lambda door: note_crew(door, ["nobody"]), CringleError, "nobody of that id"),
        (
            lambda door: note_observation(door, Observed("x", photo=Path("/none.jpg"))),
            InputError,
            "no such file",
        ),
    ],
)
def test_a_note_that_does_not_fit_is_refused_whole(door: Door, act, error, words) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(error, match=words):
        act(door)
    outing = show_outing(door.folder)
    assert (outing.winds, outing.settings, outing.sails, outing.rigs) == ((), (), (), ())
    assert len(outing.crews) == 1


def test_everything_at_the_start_numbers_of_a_wind(door: Door, examples: Path) -> None:
    import_csv(door.folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    outing = note_start_numbers(door, TonightRequest(wind_kn=10.0), "settled")
    force = settings_in_force(outing, outing.settings[-1].at)
    numbers = tonight(door.folder, TonightRequest(wind_kn=10.0)).numbers.numbers
    expected = {one.role: one.number.value for one in numbers if one.gear == "settled"}
    assert {role: note.value for role, note in force.items()} == expected
    assert len(expected) > 10
    with pytest.raises(InputError, match="no numbers for 'plane' in 10 kn; the table has: "):
        note_start_numbers(door, TonightRequest(wind_kn=10.0), "plane")


def test_one_wrong_setting_keeps_out_the_right_one_beside_it(door: Door) -> None:
    with pytest.raises(OutOfRangeError):
        note_settings(door, {"backstay": 3.0, "vang": 99.0})
    assert show_outing(door.folder).settings == ()


def test_a_photo_is_copied_into_the_book_byte_for_byte(door: Door, tmp_path: Path) -> None:
    photo = tmp_path / "Leech.JPG"
    photo.write_bytes(bytes(range(256)) * 40)
    outing = note_observation(door, Observed("leech", tag="shape", photo=photo))
    again = note_observation(door, Observed("the same again", photo=photo))
    (first, second) = again.observations
    assert outing.observations == (first,)
    assert first.file is not None
    assert first.file == second.file
    assert (door.folder / first.file).read_bytes() == photo.read_bytes()
    assert first.file.startswith("logs/photos/")
    assert first.file.endswith(".jpg")
    assert (first.by, first.boat, first.tag) == ("Ines", "Brindle", "shape")
    photo.unlink()
    assert check_book(door.folder).is_well
    (door.folder / first.file).write_bytes(b"touched")
    assert "SHA-256 differs" in str(check_book(door.folder).mistakes[0])


def test_a_note_may_be_about_an_earlier_outing(door: Door) -> None:
    observed = Observed("remembered at home")
    outing = note_observation(Door(door.folder, "Keo", "2026-05-01", "19:10"), observed)
    assert outing.observations[0].by == "Keo"
    with pytest.raises(InputError, match=r"2026-..-.. ..:.. is far from outing 2026-..-.., which began 2026"):
        note_observation(Door(door.folder, at="2026-06-01T10:00"), observed)


def test_notes_are_entries_with_who_and_why(door: Door) -> None:
    note_sea(door, "flat")
    with open_records(door.folder) as records:
        (entry,) = records.book.history("outing_sea")
    assert (entry.who, entry.why, entry.key.subject) == ("Ines", "sea", "2026-05-01")
