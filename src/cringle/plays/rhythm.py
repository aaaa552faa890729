"""What the rule on propulsion forbids: a play that repeats body, trim or helm motion in rhythm is refused.

Racing Rules of Sailing, rule 42 (numbers of its parts from memory, edition 2025-2028): 42.2(a) pumping,
42.2(b)
rocking, 42.2(c) ooching, 42.2(d) sculling; 42.3(b) lets a crew roll a boat through a tack or gybe as long as
she is
not faster just after it than she would have been without. The sailing instructions and the judges have the
last word.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

from cringle.boat.toml_text import TomlText
from cringle.errors import Finding, RuleError
from cringle.plays.play_file import Action, Motion, PlayFile, PlayKind

MOST_REPEATS = 2
"""Out and back is one adjustment; the same motion a third time within one play is a rhythm (judgement)."""

PARTS = {
    Motion.BODY: "RRS 42.2(b), repeated rolling of the boat by body movement",
    Motion.TRIM: "RRS 42.2(a), repeated fanning of a sail",
    Motion.HELM: "RRS 42.2(d), repeated movement of the helm",
}
FORBIDDEN_WORDS = re.compile(r"\b(pump(s|ed|ing)?|rocking|ooch\w*|scull(s|ed|ing)?)\b", re.IGNORECASE)
DENIALS = re.compile(r"\b(no|never|not|without|do not|don't)\b[^.;]*$", re.IGNORECASE)


def require_no_rhythm(play: PlayFile, toml: TomlText) -> None:
    """Refuse a play that repeats body, trim or helm motion in rhythm.

    Raises
    ------
    RuleError
        With file, line and the part of the rule.
    """
    found = [*_repeated(play, toml), *_alternating(play, toml), *_spoken(play, toml)]
    if found:
        raise RuleError(
            "\n".join(str(one) for one in found),
            next_step="let it happen once, as an answer to one change of wind; RRS 42 forbids a rhythm",
        )


def _repeated(play: PlayFile, toml: TomlText) -> Iterator[Finding]:
    for index, action in enumerate(play.actions):
        if action.times > 1 and action.motion in PARTS:
            yield toml.finding(
                ("actions", index, "times"),
                f"refused: {action.id} repeats {action.motion.value} motion; {PARTS[action.motion]}",
                found=str(action.times),
                accepted="1",
            )


def _alternating(play: PlayFile, toml: TomlText) -> Iterator[Finding]:
    """Yield the motion that comes more often than out and back."""
    counts: Counter[tuple[str, ...]] = Counter()
    for index, action in enumerate(play.actions):
        if action.motion not in PARTS or action.hold:
            continue
        key = _motion_key(action)
        counts[key] += 1
        if counts[key] == MOST_REPEATS + 1:
            yield toml.finding(
                ("actions", index),
                f"refused: {action.id} is the third {action.motion.value} motion of the same kind by"
                f" {action.role or action.skill} in one play; {PARTS[action.motion]}",
            )


def _motion_key(action: Action) -> tuple[str, ...]:
    """Return what counts as the same motion: the same sheet, the tiller, or between the same two places."""
    who = action.role or action.skill or ""
    if action.motion is Motion.BODY:
        ends = sorted(f"{one.station} {one.side}" for one in (action.at, action.to) if one is not None)
        return (who, action.motion, *ends)
    return (who, action.motion, action.line or "")


def _spoken(play: PlayFile, toml: TomlText) -> Iterator[Finding]:
    for index, action in enumerate(play.actions):
        for field in ("say", "do"):
            for match in FORBIDDEN_WORDS.finditer(getattr(action, field)):
                if DENIALS.search(getattr(action, field)[: match.start()]):
                    continue
                yield toml.finding(
                    ("actions", index, field),
                    "refused: this asks for a motion that RRS 42.2 forbids",
                    found=repr(match[0]),
                )


def faster_after_turn(play: PlayFile) -> str | None:
    """Return a warning where a tack or gybe would leave the boat faster than before, else None."""
    share = play.speed_after_share
    if play.kind not in (PlayKind.TACK, PlayKind.GYBE) or share is None or share <= 1.0:
        return None
    return (
        f"the boat leaves this {play.kind.value} at {share:.0%} of the speed she came with: RRS 42.3(b)"
        " allows rolling through a turn only when she is not faster just after it; roll less"
    )
