"""Errands: what a server has done in a process of its own, so that nobody waits and nothing large stays.

An errand is plain values both ways; each kind calls one workflow.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from cringle.errors import InputError
from cringle.output.palette import LIGHT, PAGE
from cringle.output.sheet import Sheet
from cringle.settings.table import DEFAULT_SEA
from cringle.track.reading.chunks import Progress, no_progress

if TYPE_CHECKING:
    from cringle.workflows.trials.evidence import Row

Json = dict[str, Any]
PHONE_PX: Final = 360.0


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
    from cringle.workflows.afloat.logs import read_into_book

    kept = read_into_book([errand.file], book=errand.folder, who=errand.who, progress=progress)
    return {"logs": [one.to_json() for one in kept]}


def _pocket(errand: Errand, _progress: Progress) -> Json:
    from cringle.workflows.serving.pocket import take_in_pocket

    done = take_in_pocket(errand.folder, _head(errand.file), who=errand.who)
    words = f"{done.taken} notes taken in, {done.already_there} were there already"
    return {"taken": done.taken, "already_there": done.already_there, "words": words}


def _history(errand: Errand, progress: Progress) -> Json:
    """Take in a history; a file of a pocket page is taken for what it is."""
    from cringle.workflows.books.book import import_history
    from cringle.workflows.serving.pocket import is_pocket

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
    from cringle.track.debrief.as_json import as_json
    from cringle.workflows.afloat.logs import DebriefWishes, debrief_log
    from cringle.workflows.afloat.logs_race import RaceWishes
    from cringle.workflows.outings.outing import show_outing
    from cringle.workflows.round.home import HomeAsked, debrief_of_day, guess_seen, home

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
    from cringle.workflows.afloat.corrections import Asked, correct_log

    asked = [Asked(**one) for one in errand.asked["corrections"]]
    kept = correct_log(
        errand.folder, Path(errand.asked["log"]), asked, who=errand.who, why=errand.asked.get("why") or ""
    )
    return {"corrections": [one.to_json() for one in kept]}


def _pair(errand: Errand, progress: Progress) -> Json:
    from cringle.output.report_pair import pair_body, pair_sentences
    from cringle.track.debrief.as_json import rounded
    from cringle.workflows.afloat.pair import compare_logs

    first, second = (Path(str(errand.asked[name])) for name in ("first", "second"))
    found = compare_logs((first, second), book=errand.folder, progress=progress)
    return {
        "pair": rounded(found.to_json()),
        "sentences": pair_sentences(found),
        "body": pair_body(found),
    }


def _home(errand: Errand, _progress: Progress) -> Json:
    from cringle.workflows.round.home import HomeAsked, home
    from cringle.workflows.round.sheet import home_json, home_sheet

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


def _study(errand: Errand, _progress: Progress) -> Json:
    from cringle.workflows.serving.studies import study

    asked = dict(errand.asked)
    return study(errand.folder, str(asked.pop("study")), asked)


def _recording(errand: Errand, _progress: Progress) -> Json:
    """Read a wire's tension from the recording of a pluck, or of a phone taped to it."""
    from cringle.workflows.rig.as_json import measure_json
    from cringle.workflows.rig.measure import MeasureRequest, rig_measure

    asked, path = errand.asked, errand.file
    is_motion = path.suffix.lower() == ".csv"
    request = MeasureRequest(
        str(asked.get("wire") or ""),
        wav=None if is_motion else path,
        motion=path if is_motion else None,
        upper=str(asked.get("upper") or "") == "true",
        wide=str(asked.get("wide") or "") == "true",
    )
    keep = str(asked.get("keep") or "") == "true"
    return measure_json(rig_measure(errand.folder, request, keep=keep, who=errand.who))


def _evidence(errand: Errand, _progress: Progress) -> Json:
    """Return what the trials say, with a picture a role in the page's colours."""
    from cringle.output.trial_charts import DrawnRow, Panel, evidence_svg
    from cringle.output.wording import role_text
    from cringle.workflows.trials.as_json import evidence_json
    from cringle.workflows.trials.evidence import show_evidence

    told = evidence_json(show_evidence(errand.folder, _row(errand)))
    for role in told["roles"]:
        names = ("wind_kn", "table", "best", "best_low", "best_high", "state")
        rows = tuple(DrawnRow(*(one[name] for name in names)) for one in role["winds"])
        panel = Panel(role_text(role["role"]), role["unit"], rows)
        role["picture"] = _of_page(evidence_svg([panel], width=PHONE_PX, worded=False))
    return told


def _suggest(errand: Errand, _progress: Progress) -> Json:
    from cringle.workflows.trials.as_json import tips_json
    from cringle.workflows.trials.evidence import suggest_trials

    found = suggest_trials(errand.folder, float(errand.asked["wind_kn"]), _row(errand))
    return {"wind_kn": found.wind_kn, "tips": tips_json(found), "left_out": dict(found.left_out)}


def _judge(errand: Errand, _progress: Progress) -> Json:
    from cringle.output.trial_charts import gain_svg
    from cringle.workflows.trials.as_json import result_json
    from cringle.workflows.trials.result import ResultWish, judge_trial

    asked = errand.asked
    ours, other = (_log_path(errand.folder, asked.get(name)) for name in ("ours", "other"))
    wish = ResultWish(
        asked["trial"],
        ours,
        other,
        asked.get("wind_from_deg"),
        float(asked.get("shift_s") or 0.0),
        note=str(asked.get("note") or ""),
    )
    found = judge_trial(errand.folder, wish, who=errand.who)
    svg = None if found.pair is None else gain_svg(found.pair, found.trial.text, width=PHONE_PX, worded=False)
    return {**result_json(found), "picture": None if svg is None else _of_page(svg)}


def _gauge(errand: Errand, _progress: Progress) -> Json:
    from cringle.workflows.numbers.gauge import gauge_json, study_gauge

    control = str(errand.asked.get("control") or "")
    return gauge_json(study_gauge(errand.folder, control, errand.file, who=errand.who))


def _season(errand: Errand, progress: Progress) -> Json:
    """Debrief every log of the book; one process at a time leaves the server a core."""
    from cringle.book.names import LOGS_NAME
    from cringle.output.season_page import season_body
    from cringle.output.season_words import season_head
    from cringle.workflows.afloat.logs import list_logs
    from cringle.workflows.afloat.season import SeasonAsked, season, season_view

    asked = SeasonAsked(errand.folder / LOGS_NAME, errand.folder, workers=1)
    found = season(asked, lambda done, total, _path: progress(done, total))
    names = {one.sha256: one.name for one in list_logs(errand.folder)}
    view = season_view(found)
    rows = tuple({**row, "file": names.get(row["sha256"], row["file"])} for row in view.rows)
    view = replace(view, rows=rows)
    body = season_body(view).partition("</header>")[2]
    return {"season": found.to_json(), "head": season_head(view), "body": body}


def _visit(errand: Errand, _progress: Progress) -> Json:
    """Return the report of a visit, and write it as a PDF where one is asked for."""
    from cringle.workflows.round.visit import VisitAsked, visit_report
    from cringle.workflows.round.visit_sheet import SCREEN_ROWS, print_visit, visit_json, visit_pages

    asked = VisitAsked(errand.asked.get("visit"), errand.asked.get("wind_kn"), errand.asked.get("sea"))
    found = visit_report(errand.folder, asked, who=errand.who)
    if errand.asked.get("out"):
        print_visit(found, Path(errand.asked["out"]))
    return {"visit": visit_json(found), "sheet": sheet_json(visit_pages(found, SCREEN_ROWS).body)}


def _row(errand: Errand) -> Row:
    from cringle.workflows.trials.evidence import Row

    asked = errand.asked
    return Row(asked.get("sail_set"), asked.get("sea") or DEFAULT_SEA, asked.get("gear") or "settled")


def _log_path(folder: Path, key: str | None) -> Path | None:
    """Return how the trials name a kept log: by its name, or where two are called so by its file."""
    from cringle.book.names import LOGS_NAME
    from cringle.track.reading.store import list_stored

    if not key:
        return None
    logs = list_stored(folder / LOGS_NAME)
    found = next((one for one in logs if one.sha256 == key), None)
    if found is None:
        raise InputError("there is no such log in the book", next_step="take it in on Afloat first")
    same = [one for one in logs if one.name == found.name]
    return Path(found.name) if len(same) == 1 else found.original


def _of_page(svg: str) -> str:
    """Return a picture drawn in the light theme with the page's names of the colours."""
    for role in ("ground", "ink", "fog", "tape", "kelp", "rust"):
        svg = svg.replace(getattr(LIGHT, role), getattr(PAGE, role))
    return svg


def _head(path: Path) -> bytes:
    """Return as much of a file as a pocket page can be, and one byte more where there is more."""
    from cringle.workflows.serving.pocket import MOST_BYTES

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
    "evidence": _evidence,
    "suggest": _suggest,
    "judge": _judge,
    "season": _season,
    "gauge": _gauge,
    "visit": _visit,
    "study": _study,
    "recording": _recording,
}
"""Kind of errand to what does it."""
