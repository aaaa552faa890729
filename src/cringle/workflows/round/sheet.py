"""Home as one page for owner and crew: the same words in the terminal, as PDF and as HTML."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from cringle.boat.write import write_atomically
from cringle.errors import InputError
from cringle.output.sheet import Section, Sheet, sheet_html, sheet_pdf
from cringle.output.wording import mark_text, role_text, signed_text
from cringle.track.debrief.as_json import as_json
from cringle.track.ledger.interval import Ledger
from cringle.track.turns.manoeuvre import KindSummary
from cringle.workflows.round.goals import GoalSeen
from cringle.workflows.round.home import CAUSES, Home
from cringle.workflows.round.route import actions_by_route

CAUTIONS: Final = (
    "Times are model and measurement with their error; a cause within its own error is not shown. Hike "
    "within what bodies bear. Class rules, sailing instructions and a qualified rigger have the last word.",
)
MOST_ACTIONS: Final = 8
"""Open actions on the page; the rest are counted, so that it stays one page."""

KIND_TITLES: Final = {"keep": "Keep", "change": "Change", "try": "Try"}


def home_sheet(folder: Path, found: Home) -> Sheet:
    """Return the page, in the order in which it is talked through."""
    day = found.outing
    sections = (
        Section("What the data cannot tell", found.unknown),
        Section("Your own guess", (found.verdict,)),
        Section("Keep, change, try", tuple(_advice(found))),
        Section("Where the time went", *_ledger(found)),
        Section("Heel", tuple(_heel(found))),
        Section("Manoeuvres", tuple(_manoeuvres(found))),
        Section("Goals of the day", tuple(_goals(found))),
        Section("Settings in force", tuple(_settings(found))),
        Section("Still to do", tuple(_actions(folder))),
    )
    return Sheet(f"Home: {day.place or 'outing'}, {day.id}", _under(found), sections, CAUTIONS)


def _under(found: Home) -> str:
    log = "no log" if found.debrief is None else found.debrief.log.name
    wind = "wind not noted" if not found.outing.winds else f"{found.outing.winds[-1].wind_kn:g} kn noted last"
    return f"{log} · {wind}"


def _advice(found: Home) -> Iterator[str]:
    race = found.race
    for one in () if race is None else race.advice:
        yield f"{KIND_TITLES.get(one.kind, one.kind)}: {one.what}, {one.where}. How: {one.how}."


def _ledger(found: Home) -> tuple[tuple[str, ...], tuple[str, ...], tuple[tuple[str, ...], ...]]:
    race = found.race
    if race is None or race.ledger is None:
        return (), (), ()
    ledger = race.ledger
    total = f"{ledger.total.seconds:.0f} s lost in {ledger.sailed_s / 60.0:.0f} min on the legs"
    lines = [f"{total}, against the {ledger.baseline}."]
    if ledger.withheld:
        names = ", ".join(CAUSES.get(one, one) for one in ledger.withheld)
        lines.append(f"Not told apart within their own error: {names} ({ledger.withheld_s:.0f} s together).")
    return tuple(lines), ("cause", "seconds", "90 % interval"), tuple(_rows(ledger))


def _rows(ledger: Ledger) -> Iterator[tuple[str, str, str]]:
    for one in ledger.shown:
        yield CAUSES.get(one.name, one.name), f"{one.seconds:.0f}", f"{one.low:.0f} to {one.high:.0f}"


def _heel(found: Home) -> Iterator[str]:
    heel = None if found.race is None else found.race.heel
    for name, share in () if heel is None else (("Upwind", heel.upwind), ("On the run", heel.run)):
        if share is not None:
            more = "more" if share.error_mean_deg > 0.0 else "less"
            yield (
                f"{name}: within 2° of the target {100.0 * share.in_band_share:.0f} % of the time; "
                f"on average {abs(share.error_mean_deg):.0f}° {more} than the target."
            )


def _manoeuvres(found: Home) -> Iterator[str]:
    for one in () if found.race is None else found.race.kinds:
        if one.best is not None and one.worst is not None:
            yield _kind(one, found)


def _kind(one: KindSummary, found: Home) -> str:
    zone = found.outing.zone
    best, worst = one.best, one.worst
    if best is None or worst is None:
        return ""
    said = (
        f"{one.count} {one.kind}s: best {_metres(best.metres_lost)} at {best.at.astimezone(zone):%H:%M}, "
        f"worst {_metres(worst.metres_lost)} at {worst.at.astimezone(zone):%H:%M}"
    )
    play = "" if one.play is None else f"; play '{one.play.title}' (cringle play show {one.play.play})"
    return f"{said}{play}."


def _metres(lost: float | None) -> str:
    return "not measured" if lost is None else f"{max(lost, 0.0):.0f} m"


def _goals(found: Home) -> Iterator[str]:
    if not found.goals:
        yield "No goal was set for this outing."
    for one in (*found.goals, *found.goals_before):
        verdict = one.state if one.met is None or one.state != "open" else ("met" if one.met else "not met")
        before = "" if one.outing == found.outing.id else f"From {one.outing}, still open: "
        yield f"{before}{one.number}. {one.text}: {verdict} ({one.data})."


def _settings(found: Home) -> Iterator[str]:
    if found.outing.rigs:
        rig = found.outing.rigs[-1]
        turns = ", ".join(f"{role_text(screw)} {signed_text(value)}" for screw, value in rig.turns.items())
        yield "Rig as noted: " + "; ".join(one for one in (turns, rig.text) if one) + "."
    if not found.in_force:
        none = (
            "No other number was noted, and none is" if found.outing.rigs else "None were noted, and none are"
        )
        yield f"{none} assumed. Next time: cringle outing set, or between --keep."
        return
    said = "; ".join(f"{role_text(role)} {mark_text(value)}" for role, (value, _) in found.in_force.items())
    yield f"{said}. {'Confirmed.' if found.confirmed else 'Not confirmed yet: cringle home --confirm.'}"


def _actions(folder: Path) -> Iterator[str]:
    found = [
        f"{route}: {one.text} ({one.id}, since {one.opened_in})"
        for route, actions in actions_by_route(folder).items()
        for one in actions
    ]
    yield from found[:MOST_ACTIONS]
    if len(found) > MOST_ACTIONS:
        yield f"And {len(found) - MOST_ACTIONS} more: cringle outing action."


def write_home(sheet: Sheet, path: Path, made: datetime) -> None:
    """Write the page as PDF or HTML, by the ending of the name.

    Raises
    ------
    InputError
        The name ends otherwise.
    """
    ending = path.suffix.lower()
    if ending == ".pdf":
        write_atomically(path, sheet_pdf(sheet, made))
    elif ending in (".html", ".htm"):
        write_atomically(path, sheet_html(sheet).encode("utf-8"))
    else:
        raise InputError(f"{path.name}: accepted are .pdf and .html", next_step="give such a name with --out")


def home_json(found: Home) -> dict[str, Any]:
    """Return home as plain values."""
    said = None if found.guess is None else {"cause": found.guess.cause, "words": found.guess.words}
    return {
        "schema": 1,
        "outing": found.outing.id,
        "guess": said,
        "verdict": found.verdict,
        "unknown": list(found.unknown),
        "goals": [_goal_json(one) for one in found.goals],
        "goals_before": [_goal_json(one) for one in found.goals_before],
        "settings_in_force": {role: value for role, (value, _) in found.in_force.items()},
        "settings_confirmed": found.confirmed,
        "debrief": None if found.debrief is None else as_json(found.debrief),
    }


def _goal_json(one: GoalSeen) -> dict[str, Any]:
    return {
        "outing": one.outing,
        "number": one.number,
        "text": one.text,
        "state": one.state,
        "data": one.data,
        "met_by_data": one.met,
    }
