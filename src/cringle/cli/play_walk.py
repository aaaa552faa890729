"""Stepping through a play on the terminal: big words per role, a stop-watch, one tap for each action done."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

from cringle.cli.common import console
from cringle.errors import InputError
from cringle.plays.play_file import Motion
from cringle.workflows.plays.play import CheckedPlay, check_play
from cringle.workflows.plays.rehearse import Rehearsed, RunSaid, record_taps

HELP = "Enter when it is done; s and Enter to pass over it; q and Enter to leave without keeping anything."
Ask = Callable[[], str]
Clock = Callable[[], float]


def walk(
    folder: Path,
    name: str,
    said: RunSaid,
    *,
    who: str,
    ask: Ask | None = None,
    clock: Clock = time.monotonic,
) -> Rehearsed:
    """Step through a play in the order of the plan and keep the run.

    Raises
    ------
    InputError
        The play cannot be done as it is, the walk was left, or there is nobody to tap.
    """
    found = check_play(folder, name)
    if found.checked.plan.makespan_s is None:
        raise InputError(f"{name} cannot be done as it is", next_step=f"run: cringle play check {name}")
    taps = _tapped(found, ask or _line, clock)
    return record_taps(folder, name, taps, said, who=who)


def _line() -> str:
    text = sys.stdin.readline()
    if not text:
        raise InputError(
            "nobody is there to tap", next_step="give the times: --times ACTION=SECONDS --total SECONDS"
        )
    return text.strip().lower()


def _tapped(found: CheckedPlay, ask: Ask, clock: Clock) -> dict[str, float]:
    """Return when each action was tapped as done [s]."""
    plan, screen = found.checked.plan, console()
    screen.print(HELP, markup=False)
    for hand in found.hands:
        screen.print(f"{hand.role.upper()}: {hand.name}", markup=False, style="bold")
    screen.print("Enter at the call.", markup=False)
    _heed(ask())
    start, taps = clock(), {}
    steps = [one for one in plan.play.actions if not one.hold]
    for action in sorted(steps, key=lambda one: (plan.end_s[one.id], plan.start_s[one.id])):
        words = f"“{action.say}”" if action.say else action.do
        screen.print()
        screen.rule(f"{found.name_of(plan.deal[action.id]).upper()}", style="bold")
        screen.print(words.upper() if action.motion is Motion.WORD else words, markup=False, style="bold")
        screen.print(f"{action.id}, planned at {plan.end_s[action.id]:.1f} s", markup=False)
        if _heed(ask()):
            taps[action.id] = clock() - start
    return taps


def _heed(answer: str) -> bool:
    """Return whether an answer is a tap; leave the walk when it says so."""
    if answer == "q":
        raise InputError("left; nothing was kept", next_step="start again when the crew is ready")
    return answer != "s"
