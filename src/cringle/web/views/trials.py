"""What the page Trials receives: what goes on, what is planned, what to try, what was found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from cringle.settings.roles import RoleScale, role_scales
from cringle.settings.table import SEAS
from cringle.web.beside import kept_result
from cringle.web.problems import ProblemError
from cringle.web.site import Site
from cringle.web.views.afloat import LogRow, afloat_view
from cringle.web.workers import WorkError
from cringle.workflows.numbers.settings import show_table
from cringle.workflows.trials.accept import Decided, decisions
from cringle.workflows.trials.records import Trial
from cringle.workflows.trials.trial import CARRIERS, list_trials, trial_cautions

WIND_UNTOLD_KN: Final = 10.0


@dataclass(frozen=True)
class RowAsked:
    """Which row of the table: wind [kn], sails, sea, gear; None takes tonight's."""

    wind_kn: float | None = None
    sail_set: str | None = None
    sea: str | None = None
    gear: str | None = None


@dataclass(frozen=True)
class TrialsView:
    """The page Trials.

    Parameters
    ----------
    row : dict
        Wind, sails, sea and gear looked at.
    trials : tuple of Trial
        All, newest first.
    logs : tuple of LogRow
        To judge from.
    evidence, tips : dict or None
        What the trials say, and what to try; None while not worked out.
    judged : dict or None
        What a trial just showed.
    decided : tuple of Decided
        Newest decision of each cell.
    scales : dict
        Roles that can be tried, by name.
    gears, sail_sets : tuple
        To choose from.
    racing : bool
        Whether no advice is shown.
    """

    row: Mapping[str, Any]
    trials: tuple[Trial, ...]
    logs: tuple[LogRow, ...]
    evidence: dict[str, Any] | None
    tips: dict[str, Any] | None
    judged: dict[str, Any] | None
    decided: tuple[Decided, ...]
    scales: Mapping[str, RoleScale]
    gears: tuple[str, ...]
    sail_sets: tuple[tuple[str, str], ...]
    racing: bool
    seas: tuple[str, ...] = SEAS
    carriers: tuple[str, ...] = CARRIERS
    cautions: tuple[str, ...] = field(default=())

    def of_state(self, *states: str) -> list[Trial]:
        """Return the trials in some states, newest first."""
        return [one for one in self.trials if one.state in states]


def row_asked(site: Site, asked: RowAsked) -> dict[str, Any]:
    """Return the row meant, filled from tonight's conditions."""
    request = site.served.evening().request
    wind_kn = asked.wind_kn or request.mean_kn or WIND_UNTOLD_KN
    return {
        "wind_kn": wind_kn,
        "sail_set": asked.sail_set,
        "sea": asked.sea or request.sea,
        "gear": asked.gear or "settled",
    }


def evidence_asked(row: Mapping[str, Any]) -> dict[str, Any]:
    """Return what the evidence is asked for with."""
    return {name: row[name] for name in ("sail_set", "sea", "gear")}


def trials_view(site: Site, asked: RowAsked, judged: str | None) -> TrialsView:
    """Return the page Trials."""
    row, files = row_asked(site, asked), site.served.files()
    trials = tuple(reversed(list_trials(site.settings.folder)))
    scales = role_scales(files.boat_file, rules=files.class_file)
    table = show_table(site.settings.folder, sail_set=row["sail_set"], sea=row["sea"])
    going = [scales[one.role] for one in trials if one.state == "going on" and one.role in scales]
    return TrialsView(
        row=row,
        trials=trials,
        logs=afloat_view(site).logs,
        evidence=kept_result(site, "evidence", evidence_asked(row)),
        tips=kept_result(site, "suggest", row),
        judged=_judged(site, judged),
        decided=tuple(decisions(site.settings.folder)),
        scales={name: one for name, one in scales.items() if not name.endswith("_windward")},
        gears=tuple(table.gears),
        sail_sets=tuple((one.id, one.name) for one in files.class_file.sail_sets),
        racing=site.served.evening().is_racing,
        cautions=tuple(caution for scale in going for caution in trial_cautions(scale)),
    )


def _judged(site: Site, work: str | None) -> dict[str, Any] | None:
    """Return what the judging just done showed; None when that is not known any more."""
    if work is None:
        return None
    try:
        return site.workers.find(work).result
    except (WorkError, ProblemError):
        return None
