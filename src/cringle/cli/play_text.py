"""Answers about plays as lines of text."""

from __future__ import annotations

from collections.abc import Sequence

from cringle.plays.duties import DutySheet
from cringle.plays.play_file import PlayFile
from cringle.plays.rehearsal import SkillSeen
from cringle.plays.weight import WeightStrip
from cringle.workflows.plays.learn import Learned
from cringle.workflows.plays.play import CheckedPlay, DealtPlay, Listed, RiskOfPlay
from cringle.workflows.plays.rehearse import Rehearsed

RULES = "Class rules and sailing instructions have the last word. No advice while racing: RRS 41."


def list_lines(found: Sequence[Listed]) -> list[str]:
    """Return the list of plays."""
    lines = [f"{'play':<21}{'title':<37}{'wind [kn]':<10}{'runs':>4}"]
    for one in found:
        winds = f"{one.play.wind_low_kn:g} to {one.play.wind_high_kn:g}"
        own = "" if one.own else " lib"
        lines.append(f"{one.play.id:<21}{one.play.title:<37}{winds:<10}{one.runs:>4}{own}")
    return [
        *lines,
        "",
        "lib: from the library; your own file of the same name takes its place.",
        "Next: cringle play show PLAY, cringle play check PLAY",
    ]


def show_lines(play: PlayFile) -> list[str]:
    """Return a play as it is written."""
    techniques = ", ".join(one.value for one in play.techniques) or play.point
    lines = [
        f"{play.title} ({play.id}): {techniques}, {play.wind_low_kn:g} to {play.wind_high_kn:g} kn",
        play.summary,
        *(f"Caution: {one}" for one in play.cautions),
        "",
        "Cues",
    ]
    for cue in play.cues:
        when = f"about {cue.at_s[1]:g} s after the call" if cue.at_s is not None else f"with {cue.on}"
        lines.append(f"  {cue.id}: {cue.words} ({when})")
    for role in play.roles:
        lines += ["", f"{role.id.capitalize()}, from {role.at.station} ({role.at.posture.value})"]
        lines += [_action_line(play, one.id) for one in play.actions if one.role == role.id]
    skilled = [one.id for one in play.actions if one.role is None]
    if skilled:
        lines += ["", "Whoever has the skill", *(_action_line(play, one) for one in skilled)]
    lines += ["", f"Done when: {play.end}", "", "Usual faults"]
    lines += [f"  {one.symptom} → {one.cause} → {one.cure}" for one in play.faults]
    return [*lines, "", RULES]


def _action_line(play: PlayFile, name: str) -> str:
    action = play.action(name)
    say = f"“{action.say}” " if action.say else ""
    waits = [
        f"after {', '.join(action.after)}" if action.after else "",
        f"at {action.not_before_cue}" if action.not_before_cue else "",
        f"with {', '.join(action.starts_with)}" if action.starts_with else "",
        f"ends with {', '.join(action.ends_with)}" if action.ends_with else "",
        f"until {', '.join(action.not_until)}" if action.not_until else "",
        f"before {action.before_cue}" if action.before_cue else "",
    ]
    told = "; ".join(one for one in waits if one)
    return f"  {name}: {say}{action.do}{f' ({told})' if told else ''}, {action.likely_s:g} s"


def check_lines(found: CheckedPlay, strip: WeightStrip | None = None) -> list[str]:
    """Return a checked play: a line for each action in the order of time, then what is wrong."""
    plan, play = found.checked.plan, found.play
    if plan.makespan_s is None:
        return [
            f"{play.title}: cannot be done as it is.",
            *(f"  {one}" for one in plan.conflicts),
            *([f"  The loop: {' → '.join(plan.loop)}"] if plan.loop else []),
            *(f"  {place}" for place in loop_places(found)),
        ]
    head = f"{play.title}: {'can be done' if plan.feasible else 'has conflicts'}, {plan.makespan_s:.1f} s"
    lines = [head, f"{'start':>6} {'end':>6} {'slack':>6}  who       action"]
    for name in sorted(plan.start_s, key=lambda one: plan.start_s[one]):
        mark = "■" if name in plan.critical else " "
        who = found.name_of(plan.deal[name])
        slack = "  held" if play.action(name).hold else f"{plan.slack_s[name]:6.1f}"
        lines.append(
            f"{plan.start_s[name]:6.1f} {plan.end_s[name]:6.1f} {slack} {mark}"
            f" {who:<9} {name}: {play.action(name).words}"
        )
    lines += ["", f"Critical (■): {', '.join(plan.critical)}"]
    lines += [f"Conflict: {one}." for one in plan.conflicts]
    for person, spans in found.checked.off_rail_s.items():
        told = ", ".join(f"{start:.1f} to {end:.1f} s" for start, end in spans) or "never"
        lines.append(f"Off the rail: {found.name_of(person)}: {told}")
    lines += [f"Warning: {one}." for one in found.checked.warnings]
    if strip is not None:
        lines += [f"Weight: {one}." for one in strip.warnings] or ["Weight: heel stays in its band."]
        lines.append(
            f"Steady heel from the {strip.source}; people's weight is shown, never timed for thrust."
        )
    return [*lines, *(f"Caution: {one}" for one in play.cautions), RULES]


def loop_places(found: CheckedPlay) -> list[str]:
    """Return where in the file the actions of an impossible loop stand."""
    ids = [one.id for one in found.play.actions]
    toml = found.text.toml
    return [
        f"{toml.path}:{toml.lines.get(('actions', ids.index(name)), 1)}: {name}"
        for name in found.checked.plan.loop
    ]


def deal_lines(found: DealtPlay) -> list[str]:
    """Return a play dealt anew."""
    dealt, play = found.dealt, found.play
    names = ", ".join(one.name for one in found.hands)
    head = f"{play.title} with {len(found.hands)}: {names}"
    if dealt.status == "impossible":
        return [head, f"Proven: it cannot be done. {dealt.reason[:1].upper()}{dealt.reason[1:]}."]
    if not dealt.deal:
        return [head, f"Not proven either way: {dealt.reason}. Give it more time with --limit."]
    least = "" if dealt.bound_s is None else f", no deal can take less than {dealt.bound_s:.1f} s"
    proof = "proven shortest" if dealt.status == "proven" else f"not proven{least}"
    lines = [head, f"{dealt.makespan_s:.1f} s, {proof}; {_changes(len(dealt.changes))} hands."]
    lines += [f"It would be {dealt.reason}."] if dealt.reason else []
    for hand in found.hands:
        mine = sorted(
            (name for name, who in dealt.deal.items() if who == hand.id), key=lambda one: dealt.start_s[one]
        )
        lines += ["", f"{hand.name}"]
        lines += [
            f"  {dealt.start_s[one]:6.1f} s  {one}{'  (new)' if one in dealt.changes else ''}" for one in mine
        ]
    conflicts = [] if found.checked is None else found.checked.plan.conflicts
    return [*lines, "", *(f"Conflict left: {one}." for one in conflicts), RULES]


def _changes(count: int) -> str:
    return "1 action changes" if count == 1 else f"{count} actions change"


def risk_lines(found: RiskOfPlay) -> list[str]:
    """Return what many runs of a play say."""
    risk, play = found.risk, found.play
    due = play.cue(play.done_by).words
    lines = [
        f"{play.title}, {risk.samples:,} runs",
        f"Done by “{due}”: {risk.p_done:.0%} of them",
        f"Half are done by {risk.p50_s:.1f} s, nine in ten by {risk.p90_s:.1f} s",
    ]
    if risk.gap is not None:
        later = "after" if risk.gap.mean_s >= 0.0 else "before"
        lines.append(
            f"Head arrives {abs(risk.gap.mean_s):.1f} s {later} the tack on average,"
            f" give or take {risk.gap.sd_s:.1f} s"
        )
    lines += ["", f"{'action':<20}{'decides':>9}{'1 s saved is worth':>21}"]
    for name in sorted(risk.criticality, key=lambda one: -risk.criticality[one]):
        if risk.criticality[name] >= 0.005:
            lines.append(f"{name:<20}{risk.criticality[name]:>9.0%}{risk.second_saved_s[name]:>19.2f} s")
    learned = (
        f"Times learned afloat: {', '.join(sorted(found.learned))}." if found.learned else "Times as written."
    )
    return [*lines, "", learned, "Times are spread by judgement until a stop-watch says better."]


def duties_lines(sheet: DutySheet) -> list[str]:
    """Return the communication sheet."""
    lines = []
    for leg in sheet.file.legs:
        lines += [leg.capitalize()]
        for role in sheet.file.roles:
            lines.append(f"  {role}")
            for one in sheet.of(role, leg):
                to = f" to {one.to}" if one.to else ""
                often = f", every {one.every_s:g} s" if one.every_s else ""
                ahead = f", looking {one.horizon_s:g} s ahead" if one.horizon_s else ""
                lines.append(f"    {one.kind.value}: {one.what}{to}{often}{ahead}")
    lines += ["", *(f"Hole: {one}." for one in sheet.holes), *(f"Overlap: {one}." for one in sheet.overlaps)]
    lines += [f"Too much: {one}." for one in sheet.loads]
    whole = not (sheet.holes or sheet.overlaps or sheet.loads)
    return [*lines, *(["Everything is said by exactly one person."] if whole else [])]


def rehearsed_lines(found: Rehearsed) -> list[str]:
    """Return the record of a play so far."""
    lines = [f"{found.play.title}: {_runs(len(found.runs))} kept"]
    for one in found.progress:
        best = "no total" if one.best_s is None else f"best {one.best_s:.1f} s, middle {one.median_s:.1f} s"
        lines.append(f"  {one.day}: {_runs(one.runs)} ({one.afloat} afloat), {best}")
    timed = {name: one for name, one in found.timings.items() if one.runs > 0}
    for name, timing in timed.items():
        written = found.play.action(name).likely_s
        lines.append(
            f"  {name}: {timing.mean_s:.1f} ± {timing.sd_s:.1f} s after {_runs(timing.runs)}"
            f" (written: {written:g} s)"
        )
    return lines


def learned_lines(found: Learned) -> list[str]:
    """Return what a log added to a play."""
    head = f"{_runs(found.kept)} taken from the log; {found.known} known before, {found.untimed} not timed"
    return [head, *rehearsed_lines(found.rehearsed)]


def _runs(count: int) -> str:
    return "1 run" if count == 1 else f"{count} runs"


def skills_lines(rows: Sequence[SkillSeen]) -> list[str]:
    """Return who has been seen in which role."""
    if not rows:
        return ["Nobody has been seen in a play yet. Next: cringle play rehearse PLAY"]
    head = f"{'person':<12}{'role':<10}{'play':<24}{'runs':>4}  last"
    return [
        head,
        *(f"{one.person:<12}{one.role:<10}{one.play:<24}{one.runs:>4}  {one.last:%Y-%m-%d}" for one in rows),
    ]
