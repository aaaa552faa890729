"""A mistake in a file is reported with file, line, field, what was found and what is accepted."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from cringle.boat.base import Posture
from cringle.boat.read import read_book_files
from cringle.errors import BookFileError, Finding, InputError

Spoil = Callable[[str, str, str], Finding]


@pytest.fixture
def spoil(book_folder: Path) -> Spoil:
    """Return a function that replaces text in one file and gives back the first mistake reported for it."""

    def run(name: str, old: str, new: str) -> Finding:
        path = book_folder / name
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
        with pytest.raises(BookFileError) as caught:
            read_book_files(book_folder)
        assert caught.value.next_step is not None
        return next(one for one in caught.value.findings if one.path == path)

    return run


def line_of(folder: Path, name: str, text: str) -> int:
    rows = (folder / name).read_text(encoding="utf-8").splitlines()
    return next(number for number, row in enumerate(rows, start=1) if text in row)


def test_demo_files_are_right_and_as_the_design_says(examples: Path) -> None:
    files = read_book_files(examples)
    assert files.class_file.identity.name == "Ouzel"
    assert files.boat_file.boat.hull_number == 41
    assert files.crew_file.mass_kg == pytest.approx(320.0)
    assert [one.name for one in files.crew_file.people] == ["Ines", "Tobias", "Marit", "Keo"]
    assert {one.area for one in files.class_file.sails} == {14.0, 10.6, 42.0}
    assert files.class_file.hull.mass == 735.0


def test_demo_boat_has_every_control_later_work_needs(examples: Path) -> None:
    boat = read_book_files(examples).boat_file
    wanted = "jib_sheet_port jib_sheet_starboard jib_halyard jib_track_port jib_track_starboard main_halyard"
    wanted += " mainsheet traveller cunningham outhaul vang backstay kite_sheet_port kite_sheet_starboard"
    wanted += " tack_line cap_port cap_starboard"
    for identifier in [*wanted.split(), "lower_port", "lower_starboard"]:
        assert boat.control(identifier) is not None, identifier


def test_a_turn_of_the_body_moves_the_sum_of_both_pitches(examples: Path) -> None:
    screw = next(one for one in read_book_files(examples).boat_file.screws if one.id == "cap_port")
    assert screw.mm_per_turn == pytest.approx(2.1167, abs=1e-4)  # 5/16-24, ASME B1.1: 25.4 / 24 twice


def test_scale_goes_there_and_back(examples: Path) -> None:
    control = read_book_files(examples).boat_file.controls[0]
    assert control.to_mark(control.to_mm(6.5)) == pytest.approx(6.5)


def test_unknown_field_names_the_nearest(spoil: Spoil, book_folder: Path) -> None:
    finding = spoil("boat.toml", "mm_per_mark = 25.0", "mm_per_marks = 25.0")
    assert finding.line == line_of(book_folder, "boat.toml", "mm_per_marks")
    assert finding.field == "controls[1].mm_per_marks"
    assert finding.nearest == "mm_per_mark"


def test_unknown_word_names_the_nearest_and_the_accepted(spoil: Spoil) -> None:
    finding = spoil("crew.toml", 'posture = "legs in"', 'posture = "leg in"')
    assert finding.nearest == "legs in"
    assert finding.accepted is not None
    assert "hike" in finding.accepted
    assert finding.found == "'leg in'"


def test_unit_in_a_number_is_refused(spoil: Spoil) -> None:
    finding = spoil("crew.toml", "mass_kg = 66.0", 'mass_kg = "146 lb"')
    assert finding.found == "'146 lb'"
    assert finding.accepted == "a number without quotes or unit"


def test_height_in_centimetres_is_refused(spoil: Spoil) -> None:
    finding = spoil("crew.toml", "height_m = 1.70", "height_m = 170")
    assert finding.field == "people[1].height_m"
    assert "2.3" in finding.message


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("low = 0\nhigh = 12", "low = 12\nhigh = 12", "must be less than high"),
        ("step = 0.5\nlow = 0\nhigh = 12", "step = 13\nlow = 0\nhigh = 12", "larger than the whole range"),
        ('id = "vang"', 'id = "outhaul"', "the same id stands at line"),
        ('time_zone = "Europe/London"', 'time_zone = "Europe/Tarrow"', "IANA"),
        ('pair = "jib_sheet_starboard"', 'pair = "jib_sheet_starbord"', "no such control"),
        ('wire = "cap"', 'wire = "caps"', "no such wire"),
        ('rule_state = "between races"', 'rule_state = "any time"', "laxer than class rule C.9.4"),
        ('class_name = "Ouzel"', 'class_name = "Dunlin"', "another class"),
        ("leg_m = 2.1632", "leg_m = 0.5", "longer than half_width_m"),
        ("made = 2025-03-20", "made = 2025-13-20", "not valid TOML"),
    ],
)
def test_mistakes_in_the_boat_file(spoil: Spoil, old: str, new: str, words: str) -> None:
    finding = spoil("boat.toml", old, new)
    assert words in str(finding)
    assert finding.line is not None


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("cp = 0.560", "cp = 5.60", "less than 0.75"),
        ("volume_canoe = 0.988", "volume_canoe = 3.9", "more than its own box"),
        ("area = 14.0", "area = -14.0", "greater than 0"),
        ('end = "hounds"', 'end = "hound"', "did you mean 'hounds'"),
        ("crew_min = 3", "crew_min = 6", "crew_min must not be more"),
        ("rail_2 = 1.0,", "rail_9 = 1.0,", "no such station"),
        ("heel_low_deg = 5.0", "heel_low_deg = 9.0", "heel_low_deg must not"),
        ("half_entrance_deg = 14.0", "", "missing field"),
    ],
)
def test_mistakes_in_the_class_file(spoil: Spoil, old: str, new: str, words: str) -> None:
    assert words in str(spoil("class.toml", old, new))


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("mass_kg = 92.0", "mass_kg = 150.0", "crew over the class limit"),
        ('posture = "legs in"', 'posture = "hike"', "more people hiking"),
        ('station = "rail_1"', 'station = "rail_2"', "rail_2 holds 1"),
        ('station = "rail_1"', 'station = "rial_1"', "did you mean 'rail_1'"),
        ('role = "forward"', 'role = "helm"', "not among roles"),
    ],
)
def test_mistakes_in_the_crew_file(spoil: Spoil, old: str, new: str, words: str) -> None:
    assert words in str(spoil("crew.toml", old, new))


def test_survey_names_controls_that_exist(spoil: Spoil) -> None:
    finding = spoil("survey.toml", '"jib_sheet_port", "jib_sheet_starboard"]', '"jib_sheet_prt"]')
    assert finding.nearest == "jib_sheet_port"


def test_all_mistakes_of_all_files_come_at_once(book_folder: Path) -> None:
    for name, old, new in (
        ("boat.toml", "step = 0.5", "stepp = 0.5"),
        ("crew.toml", "mass_kg = 66.0", "mass_kg = 3"),
    ):
        path = book_folder / name
        path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    with pytest.raises(BookFileError) as caught:
        read_book_files(book_folder)
    assert len(caught.value.findings) > 15
    assert {one.path.name for one in caught.value.findings if one.path} == {"boat.toml", "crew.toml"}


def test_every_mistake_has_a_line_that_exists(book_folder: Path) -> None:
    path = book_folder / "class.toml"
    text = path.read_text(encoding="utf-8")
    for field in set(re.findall(r"(?m)^(\w+) = ", text)) - {
        "spreader_tip"
    }:  # a point that nothing else names
        path.write_text(re.sub(rf"(?m)^{field} = ", f"{field}_wrong = ", text, count=1), encoding="utf-8")
        with pytest.raises(BookFileError) as caught:
            read_book_files(book_folder)
        assert all(one.line and one.line <= text.count("\n") + 1 for one in caught.value.findings)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"\xff\xfe[\x00b\x00", "not UTF-8"),
        (b"schema_version = 1\n[boat\n", "not valid TOML"),
        (b"", "missing field"),
        (b"schema_version = 2\n", "not a word this field knows"),
        (b"a = 1\na = 2\n", "not valid TOML"),
    ],
)
def test_broken_files(book_folder: Path, content: bytes, words: str) -> None:
    (book_folder / "boat.toml").write_bytes(content)
    with pytest.raises(BookFileError, match=words):
        read_book_files(book_folder)


def test_missing_file_and_missing_book(book_folder: Path) -> None:
    (book_folder / "crew.toml").unlink()
    with pytest.raises(InputError, match=r"crew\.toml: no such file"):
        read_book_files(book_folder)
    with pytest.raises(InputError, match="there is no book here"):
        read_book_files(book_folder / "nowhere")


def test_a_huge_file_is_not_read(book_folder: Path) -> None:
    (book_folder / "boat.toml").write_bytes(b"#" * 4_100_000)
    with pytest.raises(InputError, match="too large"):
        read_book_files(book_folder)


def test_models_are_frozen(examples: Path) -> None:
    person = read_book_files(examples).crew_file.people[0]
    with pytest.raises(ValueError, match="frozen"):
        person.posture = Posture.HIKE  # type: ignore[misc]
