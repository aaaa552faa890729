"""What one file says about another must hold; every disagreement is found, in file order."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from cringle.boat.check import check_all
from cringle.boat.read import read_book_files
from cringle.boat.toml_text import read_toml
from cringle.errors import BookFileError, Finding

Spoil = Callable[[str, str, str], Finding]
NAMES = ("class.toml", "boat.toml", "crew.toml", "survey.toml")


def test_the_demo_files_agree(examples: Path) -> None:
    texts = {name: read_toml(examples / name) for name in NAMES}
    assert check_all(read_book_files(examples), texts) == []


@pytest.mark.parametrize(
    ("name", "old", "new", "words"),
    [
        ("class.toml", 'sails = ["main", "jib"]', 'sails = ["main", "jibb"]', "did you mean 'jib'"),
        ("class.toml", 'lower = "mast_foot"', 'lower = "mast_heel"', "no such point of the rig"),
        (
            "class.toml",
            'start = "stem"\nend = "hounds"',
            'start = "hounds"\nend = "hounds"',
            "a wire of no length",
        ),
        ("boat.toml", 'control = "backstay"', 'control = "backstays"', "no such control"),
        ("boat.toml", 'upper_wire = "backstay"', 'upper_wire = "stay"', "no such wire"),
        ("boat.toml", 'sail = "jib"\nkind = "jib"', 'sail = "jib"\nkind = "main"', "another kind"),
        ("boat.toml", "mm_per_mark = 20.0", "mm_per_mark = 21.0", "port and starboard differ"),
        ("boat.toml", 'id = "cap_port"', 'id = "vang"', "a control has the same id"),
        ("crew.toml", 'id = "keo"', 'id = "ines"', "the same id stands at line"),
        (
            "crew.toml",
            'station = "rail_1"\nposture = "hike"',
            'station = "hatch"\nposture = "hike"',
            "not possible at",
        ),
        ("class.toml", "rail_2 = 1.0,", "rail_7 = 1.0,", "no such station"),
        (
            "boat.toml",
            'sail = "jib"\nkind = "jib"',
            'sail = "jibb"\nkind = "jib"',
            "no such sail of the class",
        ),
        ("boat.toml", 'wire = "cap"', 'wire = "capp"', "did you mean 'cap'"),
        ("boat.toml", 'pair = "cap_starboard"', 'pair = "cap_left"', "no such screw"),
        ("crew.toml", 'station = "rail_1"', 'station = "rail_9"', "no such station"),
        ("survey.toml", 'controls = ["', 'controls = ["anchor", "', "no such control"),
    ],
)
def test_a_disagreement_is_named(spoil: Spoil, name: str, old: str, new: str, words: str) -> None:
    assert words in str(spoil(name, old, new))


def test_disagreements_come_in_file_order(book_folder: Path) -> None:
    for name, old, new in (
        ("survey.toml", '"main_halyard", "backstay"]', '"main_halyard", "backstayy"]'),
        ("boat.toml", 'pair = "jib_sheet_starboard"', 'pair = "jib_sheet_left"'),
        ("boat.toml", 'wire = "lower"', 'wire = "loser"'),
    ):
        path = book_folder / name
        path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    with pytest.raises(BookFileError) as caught:
        read_book_files(book_folder)
    places = [(str(one.path), one.line or 0) for one in caught.value.findings]
    assert places == sorted(places)
    assert len(places) >= 4


def test_fewer_people_than_the_class_wants(book_folder: Path) -> None:
    path = book_folder / "class.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("crew_min = 3", "crew_min = 5"), encoding="utf-8")
    with pytest.raises(BookFileError, match=r"number of crew outside rule C\.3\.1"):
        read_book_files(book_folder)


@pytest.mark.parametrize(
    ("name", "old", "new", "words"),
    [
        ("crew_mass_max", r"crew_mass_max = [0-9.]+", "crew_mass_max = 200.0", "crew over the class limit"),
        ("crew_max", r"crew_max = \d+", "crew_max = 3", "number of crew outside rule"),
        ("hiking_max", r"hiking_max = \d+", "hiking_max = 0", "more people hiking than rule"),
    ],
)
def test_limits_of_the_class_are_held_with_their_rule(
    book_folder: Path, name: str, old: str, new: str, words: str
) -> None:
    path = book_folder / "class.toml"
    text, count = re.subn(old, new, path.read_text(encoding="utf-8"))
    assert count == 1, name
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BookFileError, match=words) as caught:
        read_book_files(book_folder)
    assert re.search(r"rule [A-Z]?\.?\d", str(caught.value))


def test_a_stricter_boat_than_its_class_is_allowed(book_folder: Path) -> None:
    path = book_folder / "boat.toml"
    text = path.read_text(encoding="utf-8")
    assert 'rule_state = "between races"' in text
    path.write_text(text.replace('rule_state = "between races"', 'rule_state = "ashore"'), encoding="utf-8")
    assert read_book_files(book_folder)
