"""What the pages of plays receive: the list with duties, and one play with its steps and its record."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from cringle.plays.duties import DutySheet
from cringle.plays.play_file import Action, PlayFile
from cringle.web.site import Site
from cringle.web.views.studies import Studied, studied
from cringle.workflows.plays.open import open_playbook
from cringle.workflows.plays.play import Listed, duties_of, list_plays
from cringle.workflows.plays.rehearse import Rehearsed, rehearsed

Json = dict[str, Any]

HEADINGS: Final = {
    "timeline": (
        "Timeline",
        "Seconds from the call, a lane a person. Filled bars decide the time; below, the heel.",
    )
}


@dataclass(frozen=True)
class PlaysView:
    """The list of plays, those of tonight's wind first named, and the duties."""

    plays: tuple[Listed, ...]
    duties: DutySheet
    wind_kn: float


@dataclass(frozen=True)
class Step:
    """One action in the order of the plan: who, the words, and when it is planned [s]."""

    action: Action
    who: str
    start_s: float
    end_s: float
    slack_s: float
    decides: bool
    saves_s: float

    @property
    def words(self) -> str:
        """What is called, else what is done."""
        return f"“{self.action.say}”" if self.action.say else self.action.do


@dataclass(frozen=True)
class PlayView:
    """One play.

    Parameters
    ----------
    play : PlayFile
        As written.
    study : Studied
        Order, risk, heel, timeline.
    steps : tuple of Step
        In the order of time; empty while it is not worked out, or cannot be done.
    record : Rehearsed
        Runs so far.
    names : mapping
        Person to name.
    """

    play: PlayFile
    study: Studied
    steps: tuple[Step, ...]
    record: Rehearsed
    names: Mapping[str, str]

    @property
    def tapped(self) -> tuple[Step, ...]:
        """The steps of a rehearsal: what is held goes on by itself."""
        some = [one for one in self.steps if not one.action.hold]
        return tuple(sorted(some, key=lambda one: (one.end_s, one.start_s)))


def plays_view(site: Site) -> PlaysView:
    """Return the list of plays."""
    folder, wind = site.settings.folder, site.served.evening().request.mean_kn
    return PlaysView(tuple(list_plays(folder)), duties_of(folder), wind)


def play_view(site: Site, name: str) -> PlayView:
    """Return one play."""
    words = "Order, heel and risk are being worked out"
    study = studied(site, "play", {"play": name}, ask=f"/api/plays/{name}", words=words, headings=HEADINGS)
    play = open_playbook(site.settings.folder).load(name).play
    names = {one.id: one.name for one in site.served.files().crew_file.people}
    return PlayView(
        play, study, steps_of(play, study.answer, names), rehearsed(site.settings.folder, name), names
    )


def steps_of(play: PlayFile, answer: Json | None, names: Mapping[str, str]) -> tuple[Step, ...]:
    """Return the actions in the order of time, empty where they have none."""
    if answer is None or not answer["check"]["feasible"]:
        return ()
    check, risk = answer["check"], answer["risk"] or {"second_saved_s": {}}
    steps = [
        Step(
            one,
            names.get(check["who"][one.id], check["who"][one.id]),
            check["start_s"][one.id],
            check["end_s"][one.id],
            check["slack_s"][one.id],
            one.id in check["critical"],
            risk["second_saved_s"].get(one.id, 0.0),
        )
        for one in play.actions
    ]
    return tuple(sorted(steps, key=lambda one: (one.start_s, one.end_s)))
