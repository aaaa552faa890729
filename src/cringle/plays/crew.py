"""The people of a play: who has which role and skill, and who does which action."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from cringle.errors import BookFileError, Finding, InputError
from cringle.plays.play_file import FEWEST_HANDS, MOST_HANDS, Action, PlayFile, Spot
from cringle.plays.read import PlayText


@dataclass(frozen=True)
class Hand:
    """One person aboard.

    Parameters
    ----------
    id, name : str
        As in the crew file.
    role : str
        Tonight's role.
    roles, skills : tuple of str
        What this person can do.
    mass_kg, height_m : float
        For the weight on the rail.
    at : Spot or None
        Usual place, for somebody whose role the play does not know.
    """

    id: str
    name: str
    role: str
    roles: tuple[str, ...]
    skills: tuple[str, ...] = ()
    mass_kg: float = 80.0
    height_m: float = 1.72
    at: Spot | None = None

    def can(self, action: Action) -> bool:
        """Return whether this person can do an action."""
        has_role = action.role is None or action.role in self.roles
        return has_role and (action.skill is None or action.skill in self.skills)


Deal = Mapping[str, str]
"""Action to the id of the person who does it."""


def usual_deal(text: PlayText, hands: Sequence[Hand]) -> dict[str, str]:
    """Return who does each action when everybody has their own role.

    A role that two people share goes to the first; an action that names only a skill goes to the first
    person who has it and the fewest actions so far.

    Raises
    ------
    BookFileError
        Nobody has the role or skill of an action; each is named with its line.
    """
    require_crew_size(len(hands))
    play = text.play
    deal: dict[str, str] = {}
    findings: list[Finding] = []
    for index, action in enumerate(play.actions):
        able = [one for one in hands if _takes(one, action)]
        if able:
            busy = list(deal.values())
            deal[action.id] = min(able, key=lambda one: busy.count(one.id) if action.role is None else 0).id
            continue
        place = ("actions", index, "skill" if action.role is None else "role")
        findings.append(text.toml.finding(place, _nobody(action), accepted=_have(hands)))
    if findings:
        raise BookFileError(
            findings,
            next_step=f"run: cringle play deal {play.id}, or give somebody the role or skill in crew.toml",
        )
    return deal


def _takes(hand: Hand, action: Action) -> bool:
    in_role = action.role is None or hand.role == action.role
    return in_role and (action.skill is None or action.skill in hand.skills)


def _nobody(action: Action) -> str:
    if action.role is None:
        return f"nobody aboard has the skill {action.skill!r} that {action.id} needs"
    skill = f" with the skill {action.skill!r}" if action.skill else ""
    return f"nobody aboard has the role {action.role!r}{skill} that {action.id} needs"


def _have(hands: Sequence[Hand]) -> str:
    return "; ".join(
        f"{one.name}: {one.role}{', ' if one.skills else ''}{', '.join(one.skills)}" for one in hands
    )


def require_crew_size(count: int) -> None:
    """Refuse a crew that no play is made for.

    Raises
    ------
    InputError
        Fewer than two or more than six.
    """
    if not FEWEST_HANDS <= count <= MOST_HANDS:
        raise InputError(
            f"{count} people aboard; accepted: {FEWEST_HANDS} to {MOST_HANDS}",
            next_step="name who sails with --people",
        )


def starting_spot(play: PlayFile, hand: Hand) -> Spot | None:
    """Return where a person is when the play is called."""
    return play.starting_spot(hand.role) or hand.at
