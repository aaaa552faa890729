"""The demo: an invented boat's book made from nothing, and the main job run on it from start to end."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from cringle.boat.book_files import FILE_NAMES
from cringle.book.entries import NewEntry, number_payload
from cringle.book.store import Book
from cringle.errors import InputError
from cringle.findings import Number, Source
from cringle.settings.records import TonightRequest
from cringle.settings.tonight import Tonight
from cringle.track.debrief.debrief import Debrief
from cringle.track.debrief.known import Pair
from cringle.workflows.afloat.logs import debrief_beside, debrief_log, read_into_book, write_report
from cringle.workflows.examples import examples_folder, recorded_log
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.numbers.marks import print_strips, set_stage
from cringle.workflows.outings.goals import set_goal
from cringle.workflows.outings.notes import WindSaid, note_rig, note_sea, note_wind
from cringle.workflows.outings.outing import Door, end_outing, start_outing
from cringle.workflows.round.card import make_card
from cringle.workflows.speed.tonight import model_answers, tonight_with_model

EVENING: Final = "evening.nmea"
TONIGHT: Final = TonightRequest(low_kn=9.0, high_kn=13.0, wind_kn=11.0, gust_kn=15.0)
STAGES: Final = {"jib_halyard": "inked", "main_halyard": "inked", "backstay": "taped", "mainsheet": "whipped"}
SCREWS: Final = ("cap_port", "cap_starboard", "lower_port", "lower_starboard", "forestay_screw")
TURNS: Final = dict.fromkeys(SCREWS, 0.0)
"""The rig as the 10 kn row of the demo's table has it: the base tune."""

Tell = Callable[[str], None]


@dataclass(frozen=True)
class DemoDone:
    """What the demo made and found.

    Parameters
    ----------
    folder : Path
        The book.
    made : bool
        Whether the book was made now; an existing one is used as it stands.
    tonight : Tonight
        Start numbers for the demo's wind.
    evening : Debrief
        The boat's own invented evening.
    recorded : Debrief or None
        The same debrief of a log recorded on real water; None where the project's test data is not installed.
    pairs : sequence of Pair
        Its tacks beside those noted by hand.
    results : sequence of (str, Path)
        What each result is, and where.
    """

    folder: Path
    made: bool
    tonight: Tonight
    evening: Debrief
    recorded: Debrief | None
    pairs: Sequence[Pair]
    results: Sequence[tuple[str, Path]]


def run_demo(folder: Path, tell: Tell = lambda _: None) -> DemoDone:
    """Make the demo book where there is none and run the main job on it.

    Parameters
    ----------
    folder : Path
        Where the book is or will be; empty or not there yet, or a book already.
    tell : callable
        Told each step before it starts.

    Raises
    ------
    InputError
        The folder holds something else.
    """
    made = _make_book(folder, tell)
    printed = folder / "printed"
    printed.mkdir(exist_ok=True)
    tell("reading tonight's start numbers off the table")
    answer = tonight_with_model(folder, TONIGHT, tell=tell)
    card, strips = printed / "tonight-card.pdf", printed / "scale-strips.pdf"
    tell("printing tonight's card and the scale strips")
    make_card(folder, TONIGHT, card, model=model_answers(folder, TONIGHT))
    print_strips(folder, [], strips)
    tell("debriefing the boat's own evening")
    evening_report = printed / "evening.html"
    evening = debrief_log(examples_folder() / EVENING, book=folder)
    write_report(evening, evening_report)
    results = [("card", card), ("strips", strips), ("evening", evening_report)]
    recorded, pairs = _debrief_recorded(printed, tell, results)
    return DemoDone(folder, made, answer, evening, recorded, pairs, (("book", folder), *results))


def _make_book(folder: Path, tell: Tell) -> bool:
    """Make the book; return False where one is there already."""
    if (folder / "boat.toml").is_file():
        tell(f"using the book in {folder} as it stands")
        return False
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise InputError(
            f"{folder} is not empty and is no book", next_step="give another folder: cringle demo DIR"
        )
    tell(f"making the book of an invented boat in {folder}")
    source = examples_folder()
    folder.mkdir(parents=True, exist_ok=True)
    for name in FILE_NAMES:
        shutil.copyfile(source / name, folder / name)
    if (source / "plays").is_dir():
        shutil.copytree(source / "plays", folder / "plays")
    _fill_records(folder, source)
    _record_evening(folder, source)
    return True


def _fill_records(folder: Path, source: Path) -> None:
    """Write the table, the locks of the screws, the turns of the rig and the stages of some marks."""
    with Book.open(folder, create=True, who="coach") as book:
        locks = [NewEntry("screw_lock", one, {"value": "locked"}) for one in SCREWS[:4]]
        turns = [
            NewEntry("rig_turns", one, number_payload(Number(value, "turn", Source.MEASURED)), unit="turn")
            for one, value in TURNS.items()
        ]
        book.write([*locks, *turns], why="rig checked at the dock")
    import_csv(folder, source / "table.csv", source / "cues.csv", who="coach", why="first table")
    for control, stage in STAGES.items():
        set_stage(folder, control, stage, who="coach", why="marking day")


def _record_evening(folder: Path, source: Path) -> None:
    """Record the evening that the demo log is of."""
    day = "2026-06-17"
    start_outing(Door(folder, at=f"{day} 18:25"))
    outing = Door(folder, at=f"{day} 18:28")
    note_wind(outing, WindSaid(11.0, low_kn=9.0, high_kn=13.0, gust_kn=14.0))
    note_sea(outing, "chop")
    note_rig(outing, TURNS, row_kn=10.0)
    set_goal(outing, "heel within two degrees of the target upwind")
    read_into_book([source / EVENING], book=folder, who="coach")
    end_outing(Door(folder, at=f"{day} 19:20"))


def _debrief_recorded(
    printed: Path, tell: Tell, results: list[tuple[str, Path]]
) -> tuple[Debrief | None, Sequence[Pair]]:
    found = recorded_log()
    if found is None:
        tell("no log recorded on real water is installed here; skipping its debrief")
        return None, ()
    tell("debriefing a log recorded on real water")
    log, noted = found
    recorded, report = debrief_log(log), printed / "recorded.html"
    write_report(recorded, report)
    results.append(("recorded log", report))
    return recorded, debrief_beside(recorded, noted)
