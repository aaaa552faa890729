"""Opening a playbook, and who sails."""

from __future__ import annotations

import os
import shutil

import pytest

from cringle.errors import BookFileError, InputError
from cringle.workflows.plays.open import (
    CrewAsked,
    all_round,
    chosen_hands,
    deck_from,
    hands_of,
    library_folder,
    open_playbook,
    spare_spot,
)


@pytest.fixture
def book(book_folder):
    return open_playbook(book_folder)


def test_a_book_without_plays_has_the_library(book):
    assert len(book.paths) == 21
    assert book.own == frozenset()
    assert book.in_order()[0] == "press_low"
    assert book.in_order()[-1] == "wrap"
    assert book.runs == ()


def test_a_book_of_its_own_plays(book_folder):
    (book_folder / "plays").mkdir()
    shutil.copyfile(library_folder() / "tack.toml", book_folder / "plays" / "tack.toml")
    book = open_playbook(book_folder)
    assert book.own == {"tack"}
    assert book.paths["tack"].parent == book_folder / "plays"


def test_an_edited_play_is_read_again(book_folder):
    (book_folder / "plays").mkdir()
    path = book_folder / "plays" / "tack.toml"
    text = (library_folder() / "tack.toml").read_text(encoding="utf-8")
    for title in ("One", "Two"):
        path.write_text(text.replace('title = "Tack"', f'title = "{title}"'), encoding="utf-8")
        os.utime(path, ns=(1, 1 if title == "One" else 2))
        assert open_playbook(book_folder).load("tack").play.title == title


def test_an_edited_crew_is_read_again(book_folder):
    assert open_playbook(book_folder).aboard().hand("keo").name == "Keo"
    path = book_folder / "crew.toml"
    path.write_text(path.read_text(encoding="utf-8").replace('"Keo"', '"Kea"'), encoding="utf-8")
    os.utime(path, ns=(7, 7))
    assert open_playbook(book_folder).aboard().hand("keo").name == "Kea"


def test_no_book(tmp_path):
    with pytest.raises(InputError):
        open_playbook(tmp_path / "nothing")


def test_a_play_that_does_not_fit_the_class(book_folder):
    path = book_folder / "class.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace('postures = ["hatch"]', 'postures = ["centreline"]'), encoding="utf-8")
    with pytest.raises(BookFileError, match="hatch has no such posture"):
        open_playbook(book_folder).load("gybe_kite")


def test_the_deck_knows_the_middle_of_the_boat(book):
    deck = deck_from(book.files.class_file)
    assert {name for name, one in deck.places.items() if one.on_centreline} == {
        "centre",
        "hatch",
        "stern",
        "foredeck",
    }


def test_people_with_their_usual_places(book):
    hands = hands_of(book.files.crew_file)
    assert [one.role for one in hands] == ["helm", "main", "jib", "forward"]
    assert hands[3].at.station == "rail_1"
    assert hands[3].mass_kg == 89.0


def test_who_sails(book):
    def names(**asked):
        return [one.id for one in chosen_hands(book, CrewAsked(**asked))]

    assert names() == ["ines", "tobias", "marit", "keo"]
    assert names(people=("keo", "ines")) == ["ines", "keo"]
    assert names(without=("tobias",)) == ["ines", "marit", "keo"]
    assert names(hands=5)[-1] == "hand_5"


def test_a_role_or_a_skill_can_be_missing(book):
    hands = chosen_hands(book, CrewAsked(lacking=(("marit", "trims_kite"), ("marit", "helm"))))
    marit = next(one for one in hands if one.id == "marit")
    assert marit.skills == ()
    assert "helm" not in marit.roles


def test_all_round_hands_can_do_everything(book):
    able = all_round(hands_of(book.files.crew_file), 6, spare_spot(book.files.class_file))
    assert len({one.id for one in able}) == 6
    assert all(set(one.roles) == {"helm", "main", "jib", "forward"} for one in able)
    assert able[5].at.station == "stern"


def test_spare_hands_sit_where_nobody_passes(book):
    assert spare_spot(book.files.class_file).station == "stern"
