"""Errands: what a server has done in a process of its own, so that nobody waits and nothing large stays.

An errand is plain values both ways; each kind calls one workflow.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Any, Final

from cringle.errors import InputError
from cringle.output.sheet import Sheet
from cringle.track.chunks import Progress, no_progress

Json = dict[str, Any]


@dataclass(frozen=True)
class Errand:
    """What is to be done.

    Parameters
    ----------
    kind : str
        One of `KINDS`.
    folder : Path
        The book.
    who : str
        Who asks; kept with what is written.
    path : Path or None
        A file that was sent.
    asked : mapping
        What else the kind needs, as plain values.
    """

    kind: str
    folder: Path
    who: str
    path: Path | None = None
    asked: Mapping[str, Any] = field(default_factory=dict)

    @property
    def file(self) -> Path:
        """The file that was sent.

        Raises
        ------
        InputError
            There is none.
        """
        if self.path is None:
            raise InputError(f"{self.kind}: no file was sent", next_step="choose a file")
        return self.path

    def to_json(self) -> Json:
        """Return it as plain values."""
        return {
            "kind": self.kind,
            "folder": str(self.folder),
            "who": self.who,
            "path": None if self.path is None else str(self.path),
            "asked": dict(self.asked),
        }

    @classmethod
    def from_json(cls, told: Mapping[str, Any]) -> Errand:
        """Return the errand that was told as plain values."""
        path = None if told["path"] is None else Path(told["path"])
        return cls(told["kind"], Path(told["folder"]), told["who"], path, told["asked"])


def run_errand(errand: Errand, progress: Progress = no_progress) -> Json:
    """Do an errand and return what came of it as plain values.

    Parameters
    ----------
    errand : Errand
        What is to be done.
    progress : callable
        Called with how much is done and how much there is.

    Raises
    ------
    InputError
        There is no such kind; and whatever the workflow behind it raises.
    """
    found = KINDS.get(errand.kind)
    if found is None:
        raise InputError(f"no errand {errand.kind!r}", next_step=f"known are: {', '.join(KINDS)}")
    return found(errand, progress)


def _log(errand: Errand, progress: Progress) -> Json:
    from cringle.workflows.logs import read_into_book

    kept = read_into_book([errand.file], book=errand.folder, who=errand.who, progress=progress)
    return {"logs": [one.to_json() for one in kept]}


def _pocket(errand: Errand, _progress: Progress) -> Json:
    from cringle.workflows.pocket import take_in_pocket

    done = take_in_pocket(errand.folder, _head(errand.file), who=errand.who)
    words = f"{done.taken} notes taken in, {done.already_there} were there already"
    return {"taken": done.taken, "already_there": done.already_there, "words": words}


def _history(errand: Errand, progress: Progress) -> Json:
    """Take in a history; a file of a pocket page is taken for what it is."""
    from cringle.workflows.book import import_history
    from cringle.workflows.pocket import is_pocket

    head = _head(errand.file)
    if is_pocket(head):
        return _pocket(errand, progress)
    if not head.lstrip().startswith(b"{"):
        raise InputError(
            "this is no history of a book", next_step="give what `cringle book export` or a pocket page wrote"
        )
    report = import_history(errand.folder, errand.file, who=errand.who, prefer=errand.asked.get("prefer"))
    words = f"{report.added} entries taken in"
    return {"taken": report.added, "already_there": report.already_there, "words": words}


def _debrief(errand: Errand, _progress: Progress) -> Json:
    """Debrief a kept log; that its outing's crew has seen it is kept, so that no guess comes after."""
    from cringle.output.report import report_body, report_head
    from cringle.track.debrief_json import as_json
    from cringle.workflows.home import HomeAsked, debrief_of_day, guess_seen, home
    from cringle.workflows.logs import DebriefWishes, debrief_log
    from cringle.workflows.logs_race import RaceWishes
    from cringle.workflows.outing import show_outing

    key, baseline = str(errand.asked["log"]), str(errand.asked.get("baseline") or "model")
    outing = errand.asked.get("outing") or None
    notes: tuple[str, ...] = ()
    if outing is None:
        wishes = DebriefWishes(race=RaceWishes(baseline=baseline))
        found = debrief_log(Path(key), book=errand.folder, wishes=wishes)
    else:
        found, notes = debrief_of_day(
            errand.folder, show_outing(errand.folder, outing), key, baseline=baseline
        )
        if not guess_seen(errand.folder, outing).revealed:
            home(errand.folder, HomeAsked(outing, baseline, no_guess=True), who=errand.who)
    return {
        "debrief": as_json(found),
        "notes": list(notes),
        "head": report_head(found),
        "body": report_body(found),
    }


def _correct(errand: Errand, _progress: Progress) -> Json:
    from cringle.workflows.corrections import Asked, correct_log

    asked = [Asked(**one) for one in errand.asked["corrections"]]
    kept = correct_log(
        errand.folder, Path(errand.asked["log"]), asked, who=errand.who, why=errand.asked.get("why") or ""
    )
    return {"corrections": [one.to_json() for one in kept]}


def _pair(errand: Errand, progress: Progress) -> Json:
    from cringle.output.report_pair import pair_body, pair_sentences
    from cringle.track.debrief_json import rounded
    from cringle.workflows.pair import compare_logs

    first, second = (Path(str(errand.asked[name])) for name in ("first", "second"))
    found = compare_logs((first, second), book=errand.folder, progress=progress)
    return {
        "pair": rounded(found.to_json()),
        "sentences": pair_sentences(found),
        "body": pair_body(found),
    }


def _home(errand: Errand, _progress: Progress) -> Json:
    from cringle.workflows.home import HomeAsked, home
    from cringle.workflows.home_sheet import home_json, home_sheet

    asked = HomeAsked(
        errand.asked.get("outing") or None,
        str(errand.asked.get("baseline") or "model"),
        no_guess=bool(errand.asked.get("no_guess")),
    )
    found = home(errand.folder, asked, who=errand.who)
    return {"home": home_json(found), "sheet": sheet_json(home_sheet(errand.folder, found))}


def sheet_json(sheet: Sheet) -> Json:
    """Return a page of words and tables as plain values, its empty sections left out."""
    told = asdict(replace(sheet, sections=sheet.filled))
    return {"schema": 1, **told}


def _head(path: Path) -> bytes:
    """Return as much of a file as a pocket page can be, and one byte more where there is more."""
    from cringle.workflows.pocket import MOST_BYTES

    with path.open("rb") as stream:
        return stream.read(MOST_BYTES + 1)


KINDS: Final[Mapping[str, Callable[[Errand, Progress], Json]]] = {
    "log": _log,
    "pocket": _pocket,
    "history": _history,
    "debrief": _debrief,
    "correct": _correct,
    "pair": _pair,
    "home": _home,
}
"""Kind of errand to what does it."""
