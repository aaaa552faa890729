"""Trials as text for people."""

from __future__ import annotations

from typing import Final

from cringle.cli.lines import print_answer
from cringle.output.wording import mark_text
from cringle.trials.noise import Estimate
from cringle.trials.optimum import Influence
from cringle.workflows.trials.accept import Decision, proposals, stage_proposals
from cringle.workflows.trials.evidence import Evidence, RoleEvidence, Tip, Tips
from cringle.workflows.trials.records import Trial
from cringle.workflows.trials.result import Judged
from cringle.workflows.trials.trial import Planned

DOUBTED: Final = 0.3
"""An observation that counts less than this contradicts the others."""


def named(role: str) -> str:
    """Return a role as a person says it."""
    return role.replace("_", " ")


def say(*lines: str) -> None:
    """Print lines."""
    print_answer(lines)


def show_planned(found: Planned) -> None:
    """Print a plan: what to do first, then why, then how sure."""
    trial, plan, noise = found.trial, found.plan, found.noise
    say(
        f"{trial.id}: {trial.text}",
        f"Sail {plan.minutes:.0f} minutes: {plan.block_min:.0f} with the change on one boat, then swap it, "
        f"{plan.swaps} swap{'s' if plan.swaps > 1 else ''} in all.",
        f"That shows a difference of {trial.matters_m_per_min:.1f} m a minute "
        f"{100 * plan.power:.0f} % of the time.",
        f"Noise: {noise.sd_m_per_min:.1f} m a minute, from {noise.pairs} past pairs and a prior.",
        *(f"Caution: {one}" for one in found.cautions),
    )


def show_trial(trial: Trial) -> None:
    """Print where a trial stands."""
    carrier = trial.carried[-1].who if trial.carried else "nobody"
    say(f"{trial.id}: {trial.text}", f"{trial.state}; the change: {carrier}")


def show_result(found: Judged) -> None:
    """Print what a trial showed."""
    say(f"{found.trial.id}: {found.trial.text}")
    pair = found.pair
    if pair is not None:
        say(
            f"{pair.verdict.words[0].upper()}{pair.verdict.words[1:]}.",
            f"  gain   {interval(pair.gain)}",
            f"  height {interval(pair.height)}",
            f"  speed  {interval(pair.speed)}",
            f"  {pair.usable_min:.0f} usable minutes, worth {pair.effective_min:.1f} independent ones",
            f"  if you stop because it looks good: {pair.always_low:+.1f} to {pair.always_high:+.1f}",
            *(f"  left out: {minutes:.1f} min {name}" for name, minutes in pair.left_out_min.items()),
            *(f"  mind: {note}" for note in pair.notes),
        )
    say("Kept as evidence." if found.outcome.used else f"Kept, not used: {found.outcome.why_not}.")


def interval(one: Estimate) -> str:
    """Return an estimate with its 90 % interval."""
    return f"{one.value:+.1f} m a minute ({one.low:+.1f} to {one.high:+.1f})"


def show_evidence_text(found: Evidence) -> None:
    """Print the evidence, role by role, and what it asks for."""
    for role in found.roles:
        say(f"{role.scale.name} [{role.scale.unit}s]", *_rows(role))
    if not found.roles:
        say("No trial counts as evidence yet; plan one with: cringle trial suggest --wind 11")
    for one in proposals(found):
        say(
            f"Move {named(one.role)} at {one.wind_kn:g} kn from {mark_text(one.before)} to "
            f"{mark_text(one.after)}: "
            f"{one.gain:+.1f} m a minute, {one.observations} trials.",
            f"  to do so: cringle trial accept {one.role} --wind {one.wind_kn:g}",
        )
    for name in stage_proposals(found):
        say(
            f"The numbers of {named(name)} are settled: its marks may go to the next stage "
            "(cringle settings marks)."
        )
    for outcome in found.unused:
        say(f"Not used: {outcome.trial} of {outcome.outing}, {outcome.why_not}")


def _rows(role: RoleEvidence) -> list[str]:
    lines = []
    for one in role.findings:
        wind_kn = one.cell.wind_kn
        low, high = (role.number(wind_kn, steps) for steps in (one.best_low, one.best_high))
        words = {"flat": "flat: do not care"}.get(one.state, one.state)
        lines.append(
            f"  {wind_kn:4g} kn  table {mark_text(role.table[wind_kn])}  "
            f"best {mark_text(low)} to {mark_text(high)}  {words}  "
            f"({one.observations} trial{'' if one.observations == 1 else 's'})"
        )
        lines += [_influence(each) for each in role.influences.get(wind_kn, ())]
    return lines


def _influence(one: Influence) -> str:
    doubt = "; disagrees with the others: look at its wind, sails and settings, and sail it again"
    words = f"           {one.name}: counts {100 * one.trust:.0f} %, moves the best by {one.shift:+.2f} steps"
    return words + (doubt if one.trust < DOUBTED else "")


def show_tips(found: Tips) -> None:
    """Print what to try."""
    for number, one in enumerate(found.tips, start=1):
        say(
            f"{number}. {named(one.role)} {mark_text(one.start)} → {mark_text(one.to)}{_other_side(one)}",
            f"   {one.reason}; worth {one.worth_m_per_min:.2f} m a minute over the season",
            f"   cringle trial plan {one.role}={one.to:g}{_against(one)} --wind {found.wind_kn:g}",
        )
    for role, why in found.left_out.items():
        say(f"Left out: {named(role)}, {why}")


def _other_side(one: Tip) -> str:
    """Return what the other boat sails, where it is not the table's number."""
    return "" if one.against == one.start else f", the other boat {mark_text(one.against)}"


def _against(one: Tip) -> str:
    return "" if one.against == one.start else f" --against {one.against:g}"


def show_decision(found: Decision) -> None:
    """Print what was decided."""
    one = found.proposal
    say(
        f"{found.decided}: {named(one.role)} at {one.wind_kn:g} kn, {mark_text(one.before)} → "
        f"{mark_text(one.after)} "
        f"({one.gain:+.1f} m a minute, {one.observations} trials)"
    )
