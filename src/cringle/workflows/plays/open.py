"""The plays of a book: its own files over the library, its people, its deck, and the runs recorded so far."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import lru_cache
from pathlib import Path
from typing import Any

from cringle.boat.book_files import FILE_NAMES, BookFiles
from cringle.boat.class_file import ClassFile
from cringle.boat.crew_file import CrewFile
from cringle.boat.read import read_book_files
from cringle.boat.toml_text import NEXT_STEP
from cringle.book.entries import Entry
from cringle.book.names import DATABASE_NAME
from cringle.book.store import Book
from cringle.errors import BookFileError, InputError
from cringle.plays.check_file import check_against_class
from cringle.plays.crew import Hand, require_crew_size
from cringle.plays.deck import Deck, DeckPlace, deck_of
from cringle.plays.plan import Aboard
from cringle.plays.play_file import PlayKind, Spot
from cringle.plays.read import PlayText, find_play, play_paths, read_play
from cringle.plays.rehearsal import Run
from cringle.workflows.examples import examples_folder

PLAYS_FOLDER = "plays"
RUN_KIND = "play_run"
CENTRELINE_M = 0.15
"""A station nearer to the middle than this stays where it is when the windward side changes [m]."""


@dataclass(frozen=True)
class Playbook:
    """Everything the plays of a book need.

    Parameters
    ----------
    folder : Path
        The book.
    files : BookFiles
        Class, boat, crew.
    paths : mapping
        Play id to its file.
    own : frozenset of str
        Ids of plays in the book itself; the others come from the library.
    deck : Deck
        The class's stations.
    runs : tuple of Run
        Recorded so far.
    """

    folder: Path
    files: BookFiles
    paths: Mapping[str, Path]
    own: frozenset[str]
    deck: Deck
    runs: tuple[Run, ...]

    def load(self, name: str) -> PlayText:
        """Return a play by its id or by the path of a TOML file, checked against the class.

        Raises
        ------
        InputError
            There is no such play.
        BookFileError
            The file has mistakes; all are listed with file and line.
        RuleError
            RRS 42 forbids it.
        """
        text = read_play(find_play(name, dict(self.paths)))
        postures = {
            one.id: [posture.value for posture in one.postures] for one in self.files.class_file.stations
        }
        findings = list(check_against_class(text.play, text.toml, postures))
        if findings:
            raise BookFileError(findings, next_step=NEXT_STEP)
        return text

    def in_order(self) -> list[str]:
        """Return the ids of all plays in the order of a race; trouble comes last."""
        kinds = list(PlayKind)
        return sorted(self.paths, key=lambda name: (kinds.index(self.load(name).play.kind), name))

    def aboard(self, hands: Sequence[Hand] | None = None) -> Aboard:
        """Return people and deck; everybody of the crew file when nobody is named."""
        return Aboard(tuple(hands or hands_of(self.files.crew_file, self.runs)), self.deck)


def open_playbook(folder: Path) -> Playbook:
    """Return the playbook of a book.

    Raises
    ------
    InputError, BookFileError
        The book's files cannot be read.
    """
    files = _files(folder, _stamp(folder))
    own = play_paths(folder / PLAYS_FOLDER)
    paths = {**play_paths(library_folder()), **own}
    deck = deck_from(files.class_file)
    return Playbook(folder, files, dict(sorted(paths.items())), frozenset(own), deck, recorded_runs(folder))


def _stamp(folder: Path) -> tuple[tuple[int, int, int], ...]:
    """Return what changes when a file of the book changes."""
    found = [(folder / name).stat() for name in FILE_NAMES if (folder / name).is_file()]
    return tuple((one.st_mtime_ns, one.st_size, one.st_ino) for one in found)


@lru_cache(maxsize=4)
def _files(folder: Path, stamp: tuple[tuple[int, int, int], ...]) -> BookFiles:  # noqa: ARG001 - a changed file is read again
    return read_book_files(folder)


def library_folder() -> Path:
    """Return the folder of the library, which comes with the demo's files."""
    return examples_folder() / PLAYS_FOLDER


def deck_from(class_file: ClassFile) -> Deck:
    """Return the stations of a class as places joined by ways."""
    return deck_of(
        [
            DeckPlace(
                one.id,
                one.name,
                one.x,
                one.y,
                one.z,
                one.capacity,
                one.neighbours,
                abs(one.y) <= CENTRELINE_M,
            )
            for one in class_file.stations
        ]
    )


def hands_of(crew: CrewFile, runs: Sequence[Run] = ()) -> list[Hand]:
    """Return the people of the crew file; a role somebody was seen in afloat counts as one they can do."""
    found = []
    for one in crew.people:
        seen = {role for run in runs if run.afloat for role, person in run.people.items() if person == one.id}
        roles = tuple(dict.fromkeys([*one.roles, *sorted(seen)]))
        spot = Spot(station=one.station, posture=one.posture)
        found.append(Hand(one.id, one.name, one.role, roles, one.skills, one.mass_kg, one.height_m, spot))
    return found


@dataclass(frozen=True)
class CrewAsked:
    """Which people to deal a play to.

    Parameters
    ----------
    people : tuple of str
        Ids who sail; everybody when empty.
    without : tuple of str
        Ids who stay ashore.
    lacking : tuple of (str, str)
        Person and the role or skill that person does not have today.
    hands : int or None
        A number of all-round hands instead: the question whether so many can do it at all.
    """

    people: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    lacking: tuple[tuple[str, str], ...] = ()
    hands: int | None = None


def chosen_hands(book: Playbook, asked: CrewAsked) -> list[Hand]:
    """Return the people a play is dealt to.

    Raises
    ------
    InputError
        Nobody has that id, or too few or too many people are left.
    """
    everybody = hands_of(book.files.crew_file, book.runs)
    known = [one.id for one in everybody]
    for name in (*asked.people, *asked.without, *(person for person, _ in asked.lacking)):
        if name not in known:
            raise InputError(f"nobody {name!r} in crew.toml", next_step=f"use one of: {', '.join(known)}")
    if asked.hands is not None:
        return all_round(everybody, asked.hands, spare_spot(book.files.class_file))
    left = [
        one
        for one in everybody
        if (not asked.people or one.id in asked.people) and one.id not in asked.without
    ]
    for person, missing in asked.lacking:
        left = [_lacking(one, missing) if one.id == person else one for one in left]
    require_crew_size(len(left))
    return left


def _lacking(hand: Hand, missing: str) -> Hand:
    if missing not in (*hand.roles, *hand.skills):
        raise InputError(
            f"{hand.name} has no role or skill {missing!r}",
            next_step=f"use one of: {', '.join((*hand.roles, *hand.skills))}",
        )
    return replace(
        hand,
        roles=tuple(one for one in hand.roles if one != missing),
        skills=tuple(one for one in hand.skills if one != missing),
    )


def all_round(everybody: Sequence[Hand], count: int, room: Spot | None = None) -> list[Hand]:
    """Return a number of people who can do everything: the crew's first ones, then spare hands at a spot."""
    require_crew_size(count)
    roles = tuple(dict.fromkeys(role for one in everybody for role in (*one.roles, one.role)))
    skills = tuple(dict.fromkeys(skill for one in everybody for skill in one.skills))
    able = [replace(one, roles=roles, skills=skills) for one in everybody[:count]]
    spare = [
        Hand(f"hand_{number}", f"Hand {number}", "spare", roles, skills, at=room)
        for number in range(len(able) + 1, count + 1)
    ]
    return [*able, *spare]


def spare_spot(class_file: ClassFile) -> Spot:
    """Return where somebody sits who has no role: the roomiest place that the fewest ways pass."""
    inside = [one for one in class_file.stations if not one.ahead_of_shrouds]
    place = min(inside, key=lambda one: (-one.capacity, len(one.neighbours)))
    return Spot(station=place.id, posture=place.postures[0])


def recorded_runs(folder: Path) -> tuple[Run, ...]:
    """Return the timed runs kept in a book, oldest first; none where there are no records yet."""
    if not (folder / DATABASE_NAME).is_file():
        return ()
    with Book.open(folder) as book:
        return tuple(run_of(entry) for entry in book.history(RUN_KIND))


def run_of(entry: Entry) -> Run:
    """Return the run that an entry keeps."""
    kept: Mapping[str, Any] = entry.payload
    at = kept.get("at")
    return Run(
        play=entry.key.subject,
        at=entry.at if at is None else datetime.fromisoformat(str(at)),
        times_s={str(name): float(value) for name, value in kept.get("times_s", {}).items()},
        total_s=kept.get("total_s"),
        people=dict(kept.get("people", {})),
        afloat=bool(kept.get("afloat", True)),
        outing=kept.get("outing"),
        note=str(kept.get("note", "")),
    )
