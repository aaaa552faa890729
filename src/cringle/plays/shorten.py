"""A play for a crew in which some roles have nobody: moves of people who are not there fall away."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from cringle.plays.play_file import Action, PlayFile

LINKS = ("after", "starts_with", "ends_with", "not_until")


def without_idle_moves(play: PlayFile, roles: Collection[str]) -> PlayFile:
    """Return a play without the own moves of roles that nobody has.

    What waited for such a move waits for what the move waited for. A move that gives a cue stays, because
    the play hangs on it.

    Parameters
    ----------
    play : PlayFile
        Checked.
    roles : collection of str
        Roles that somebody aboard has tonight.
    """
    given = {cue.on.split(".")[0] for cue in play.cues if cue.on is not None}
    gone = {one.id: one for one in play.actions if one.own and one.role not in roles and one.id not in given}
    if not gone:
        return play
    kept = tuple(_relinked(one, gone) for one in play.actions if one.id not in gone)
    return play.model_copy(update={"actions": kept})


def _relinked(action: Action, gone: Mapping[str, Action]) -> Action:
    waited = [gone[name] for name in action.after if name in gone]
    links = {name: tuple(one for one in getattr(action, name) if one not in gone) for name in LINKS}
    links["after"] = tuple(dict.fromkeys([*links["after"], *_before(waited, gone)]))
    cues = [one.not_before_cue for one in waited if one.not_before_cue is not None]
    cue = action.not_before_cue or (cues[0] if cues else None)
    return action.model_copy(update={**links, "not_before_cue": cue})


def _before(waited: list[Action], gone: Mapping[str, Action]) -> list[str]:
    """Return what moves that fell away waited for, through chains of them."""
    found: list[str] = []
    for one in waited:
        found += [name for name in one.after if name not in gone]
        found += _before([gone[name] for name in one.after if name in gone], gone)
    return found
