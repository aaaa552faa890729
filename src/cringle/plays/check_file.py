"""What one part of a play file says about another: names that must exist, ends tied to one cue only."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator, Mapping, Sequence

from cringle.boat.toml_lines import Path as FieldPath
from cringle.boat.toml_text import TomlText
from cringle.errors import Finding
from cringle.plays.play_file import MOST_ACTIONS, Action, PlayFile

REFERENCES = ("after", "starts_with", "ends_with")
CUE_REFERENCES = ("not_before_cue", "before_cue", "ends_at_cue")
WRITTEN = {"starts_with": "with"}
"""How a field is written in the file where its name is a word of the language."""


def check_play(play: PlayFile, toml: TomlText) -> list[Finding]:
    """Return every disagreement inside a play file, in the order of its lines."""
    found = [
        *_too_many(play, toml),
        *_twice(toml, "roles", [one.id for one in play.roles]),
        *_twice(toml, "cues", [one.id for one in play.cues]),
        *_twice(toml, "actions", [one.id for one in play.actions]),
        *_same_name(play, toml),
        *_check_head(play, toml),
        *_check_cues(play, toml),
        *(
            one
            for index, action in enumerate(play.actions)
            for one in _check_action(play, toml, index, action)
        ),
    ]
    if not found:
        found = [*_check_tied_ends(play, toml)]
    return sorted(found, key=lambda one: one.line or 0)


def check_against_class(
    play: PlayFile, toml: TomlText, postures: Mapping[str, Sequence[str]]
) -> Iterator[Finding]:
    """Yield stations and postures that the class file does not have.

    Parameters
    ----------
    play, toml
        The play and its text.
    postures : mapping
        Station to the postures it allows.
    """
    spots = [(("roles", index, "at"), one.at) for index, one in enumerate(play.roles)]
    for index, action in enumerate(play.actions):
        spots += [
            (("actions", index, name), spot)
            for name, spot in (("at", action.at), ("to", action.to))
            if spot is not None
        ]
    for place, spot in spots:
        if spot.station not in postures:
            yield _unknown(toml, place, spot.station, postures, "station of the class file")
        elif spot.posture.value not in postures[spot.station]:
            accepted = ", ".join(postures[spot.station])
            yield toml.finding(
                place, f"{spot.station} has no such posture", found=spot.posture.value, accepted=accepted
            )


def _too_many(play: PlayFile, toml: TomlText) -> Iterator[Finding]:
    if len(play.actions) > MOST_ACTIONS:
        yield toml.finding(
            ("actions", MOST_ACTIONS),
            "more actions than a crew can learn as one play; split it",
            found=str(len(play.actions)),
            accepted=f"at most {MOST_ACTIONS}",
        )


def _twice(toml: TomlText, table: str, names: Sequence[str]) -> Iterator[Finding]:
    for index, name in enumerate(names):
        if name in names[:index]:
            yield toml.finding((table, index, "id"), "this id is there already", found=repr(name))


def _same_name(play: PlayFile, toml: TomlText) -> Iterator[Finding]:
    cues = {one.id for one in play.cues}
    for index, action in enumerate(play.actions):
        if action.id in cues:
            yield toml.finding(
                ("actions", index, "id"), "a cue has this id; give the action another", found=repr(action.id)
            )


def _unknown(toml: TomlText, place: FieldPath, found: str, known: Iterable[str], what: str) -> Finding:
    names = sorted(known)
    close = difflib.get_close_matches(found, names, n=1, cutoff=0.5)
    return toml.finding(
        place,
        f"no such {what}",
        found=repr(found),
        accepted=", ".join(names),
        nearest=close[0] if close else None,
    )


def _check_head(play: PlayFile, toml: TomlText) -> Iterator[Finding]:
    cues = [one.id for one in play.cues]
    for name, value in (("done_by", play.done_by), ("flips_at", play.flips_at)):
        if value is not None and value not in cues:
            yield _unknown(toml, (name,), value, cues, "cue")
    if play.ends is not None:
        actions = [one.id for one in play.actions]
        for name, value in (("tack", play.ends.tack), ("head", play.ends.head)):
            if value not in actions:
                yield _unknown(toml, ("ends", name), value, actions, "action")


def _check_cues(play: PlayFile, toml: TomlText) -> Iterator[Finding]:
    actions = [one.id for one in play.actions]
    for index, cue in enumerate(play.cues):
        if cue.on is not None and cue.on.split(".")[0] not in actions:
            yield _unknown(toml, ("cues", index, "on"), cue.on.split(".")[0], actions, "action")


def _check_action(play: PlayFile, toml: TomlText, index: int, action: Action) -> Iterator[Finding]:
    actions, cues = [one.id for one in play.actions], [one.id for one in play.cues]
    place: FieldPath = ("actions", index)
    for name in REFERENCES:
        for other in getattr(action, name):
            where = (*place, WRITTEN.get(name, name))
            if other == action.id:
                yield toml.finding(where, "an action cannot wait for itself", found=repr(other))
            elif other not in actions:
                yield _unknown(toml, where, other, actions, "action")
    for name in CUE_REFERENCES:
        cue = getattr(action, name)
        if cue is not None and cue not in cues:
            yield _unknown(toml, (*place, name), cue, cues, "cue")
    for other in action.not_until:
        if other not in actions and other not in cues:
            yield _unknown(toml, (*place, "not_until"), other, [*actions, *cues], "action or cue")
    roles = [one.id for one in play.roles]
    if action.role is not None and action.role not in roles:
        yield _unknown(toml, (*place, "role"), action.role, roles, "role of this play")


def _check_tied_ends(play: PlayFile, toml: TomlText) -> Iterator[Finding]:
    """Yield groups of ends that meet but are tied to different cues."""
    group = {one.id: one.id for one in play.actions}

    def root(name: str) -> str:
        while group[name] != name:
            name = group[name]
        return name

    for action in play.actions:
        for other in action.ends_with:
            group[root(other)] = root(action.id)
    tied: dict[str, tuple[str, str]] = {}
    for index, action in enumerate(play.actions):
        cue = action.ends_at_cue
        if cue is None:
            continue
        first, by = tied.setdefault(root(action.id), (cue, action.id))
        if first != cue:
            yield toml.finding(
                ("actions", index, "ends_at_cue"),
                f"{action.id} and {by} end together but are tied to different cues: {cue} and {first}",
                accepted="one cue for ends that meet",
            )
