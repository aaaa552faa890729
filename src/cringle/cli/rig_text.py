"""Answers about the rig as lines of text for the dock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from cringle.output.rig_sheet_pdf import notes_by_words
from cringle.output.wording import role_text, signed_text
from cringle.rig.backstay import CoarseRow
from cringle.rig.base import BASE_CONDITIONS
from cringle.rig.bridle_choice import LegComparison
from cringle.rig.cautions import LOAD_CAUTIONS, RACING_CAUTION, RIG_CAUTIONS, SCREW_CAUTIONS
from cringle.rig.fit import RigFit
from cringle.rig.state import RigState
from cringle.workflows.rig.backstay import BackstayAnswer, LoadsAnswer
from cringle.workflows.rig.choose import ChooseAnswer
from cringle.workflows.rig.measure import CheckAnswer, MeasureAnswer
from cringle.workflows.rig.rig import BaseAnswer, SheetAnswer, SolveAnswer, TurnsAnswer
from cringle.workflows.rig.shape import ShapeAnswer


def words(name: str) -> str:
    """Return a wire or role as a person says it: ``cap_port`` is ``cap port``."""
    return name.replace("_", " ")


def whole(value: float) -> str:
    """Return a number without decimals and without a minus before zero."""
    return f"{round(value) + 0}"


def cautions_text(cautions: Sequence[str], warnings: Sequence[str]) -> list[str]:
    """Return warnings and cautions, warnings first."""
    return ["", *(f"Warning: {one}." for one in warnings), *(f"Caution: {one}" for one in cautions)]


def rules_text(states: Mapping[str, str]) -> str:
    """Return when each role may be changed."""
    return "May be changed: " + "; ".join(f"{words(role)} {state}" for role, state in states.items()) + "."


def tensions_text(state: RigState) -> str:
    """Return all tensions on one line."""
    return "  ".join(f"{words(name)} {value:.0f} N" for name, value in state.tensions_n.items())


def shape_text(state: RigState) -> str:
    """Return the mast's shape on one line."""
    return f"prebend {state.prebend_mm:.0f} mm, masthead {whole(state.rake_mm)} mm aft of the foot"


def turns_text(found: TurnsAnswer) -> list[str]:
    """Return the answer for some turns."""
    moved = [f"{words(name)} {signed_text(value)}" for name, value in found.turns.items() if value]
    dock, sailing = found.dock.state, found.sailing.state
    lines = [
        f"Turns from base: {', '.join(moved) or 'none'}.",
        f"On the dock: {tensions_text(dock)}",
        f"  {shape_text(dock)}" + _slack(dock),
        f"Upwind in {found.wind_kn:g} kn, starboard tack: {tensions_text(sailing)}",
        f"  forestay sag {sailing.sag_mm:.0f} mm, {shape_text(sailing)}, "
        f"masthead {sailing.tip_to_leeward_mm:.0f} mm to leeward{_slack(sailing)}",
        "",
        "One turn tighter, on the dock:",
        *sensitivity_text(found),
        "",
        rules_text(found.rule_states),
    ]
    return [*lines, *cautions_text((*RIG_CAUTIONS, RACING_CAUTION), found.warnings)]


def _slack(state: RigState) -> str:
    return f"; slack: {', '.join(words(one) for one in state.slack)}" if state.slack else ""


def sensitivity_text(found: TurnsAnswer) -> list[str]:
    """Return one line a screw: what one turn does to every tension, prebend, rake and sag."""
    table, underway = found.sensitivity, found.sailing_sensitivity
    lines = []
    for screw in table.screws:
        parts = [
            f"{words(name.removesuffix('_n'))} {table.of(name, screw):+.0f} N"
            for name in table.names
            if name.endswith("_n") and abs(table.of(name, screw)) >= 5.0
        ]
        shape = (
            f"prebend {table.of('prebend_mm', screw):+.1f} mm, rake {table.of('rake_mm', screw):+.1f} mm, "
            f"sag in {found.wind_kn:g} kn {underway.of('sag_mm', screw):+.1f} mm"
        )
        lines.append(f"  {words(screw)}: {', '.join([*parts, shape])}")
    return lines


def base_text(found: BaseAnswer) -> list[str]:
    """Return the base tune."""
    state = found.base.state
    origin = "measured" if found.is_measured else "entered in the files, not measured"
    turns = [f"{words(name)} {signed_text(value)}" for name, value in found.turns.items()]
    return [
        f"Base tune ({origin}); measured with {'; '.join(BASE_CONDITIONS)}.",
        tensions_text(state),
        f"{shape_text(state)}; the mast's own curve is taken as {1000.0 * found.base.model.bow_m:.0f} mm",
        f"Turns on record: {', '.join(turns) or 'none'}.",
        *cautions_text(RIG_CAUTIONS, found.warnings),
    ]


def solve_text(found: SolveAnswer) -> list[str]:
    """Return the turns for what was wanted."""
    answer = found.proposal
    lines = ["Turn, from base:"]
    for role, value in answer.turns.items():
        exact, half = answer.exact[role], answer.half_width[role]
        lines.append(
            f"  {role_text(role)}: {signed_text(value)} turns "
            f"(exact {exact:+.2f}, 90 % {exact - half:+.1f} to {exact + half:+.1f})"
        )
    lines.append("That gives:")
    for one, value in zip(found.targets, answer.reached, strict=True):
        unit = "mm" if one.name.endswith("_mm") else "N"
        name = words(one.name.removesuffix("_mm").removesuffix("_n"))
        place = f"in {found.wind_kn:g} kn" if one.sailing else "on the dock"
        asked = f"{one.value:+g} {unit} of change" if one.kind == "change" else f"{one.value:g} {unit}"
        lines.append(f"  {name} {value:.0f} {unit} {place} (asked: {asked})")
    return [
        *lines,
        rules_text(found.rule_states),
        *cautions_text((*SCREW_CAUTIONS, RACING_CAUTION), found.warnings),
    ]


def sheet_text(found: SheetAnswer) -> list[str]:
    """Return the tune sheet as a table."""
    roles = list(found.rule_states)
    wires = [name for name in found.rows[0].dock.tensions_n if not name.endswith("_starboard")]
    head = [
        "wind",
        *(words(role) for role in roles),
        *(words(w.removesuffix("_port")) for w in wires),
        "prebend",
        "sag",
        "from",
    ]
    body = [
        [
            f"{row.wind_kn:g} kn",
            *(signed_text(row.turns[role]) if role in row.turns else "0" for role in roles),
            *(f"{row.dock.tensions_n[name]:.0f} N" for name in wires),
            f"{row.dock.prebend_mm:.0f} mm",
            f"{row.sailing.sag_mm:.0f} ± {row.sag_half_width_mm:.0f} mm",
            str(row.source),
        ]
        for row in found.rows
    ]
    widths = [max(len(line[column]) for line in [head, *body]) for column in range(len(head))]
    lines = [
        "  ".join(cell.rjust(width) for cell, width in zip(line, widths, strict=True))
        for line in [head, *body]
    ]
    notes = [f"  {one}" for one in notes_by_words(found.rows)]
    title = (
        f"Tune sheet, {found.boat}: turns from base; computed: tensions and prebend on the dock, sag upwind."
    )
    return [
        title,
        *lines,
        *(["Notes:", *notes] if notes else []),
        rules_text(found.rule_states),
        *cautions_text((*RIG_CAUTIONS, RACING_CAUTION), found.warnings),
    ]


def choose_text(found: ChooseAnswer) -> list[str]:
    """Return the choice for a forecast."""
    best, *others = found.candidates
    turns = ", ".join(f"{words(role)} {signed_text(value)}" for role, value in best.turns.items())
    winds = found.forecast.winds_kn
    lines = [
        f"For {winds[0]:.0f} to {winds[-1]:.0f} kn set the {best.row_kn:g} kn row: {turns}.",
        f"Expected loss {best.expected_s_per_mile:.1f} s a mile "
        f"({best.low_s_per_mile:.1f} to {best.high_s_per_mile:.1f}); at worst {best.worst_s_per_mile:.1f}.",
    ]
    lines += [
        f"  the {one.row_kn:g} kn row loses {one.behind_s_per_mile:.1f} s a mile more "
        f"(at worst {one.worst_s_per_mile:.1f})"
        for one in others[:4]
    ]
    if found.costs is not None:
        lines.append(
            f"Costs are assumed, no source: 20 mm of sag {found.costs.sag_s_per_mile:g}, "
            f"10 mm of bend {found.costs.prebend_s_per_mile:g} s a mile. Replace them with your own."
        )
    return [
        *lines,
        rules_text(found.rule_states),
        *cautions_text((*SCREW_CAUTIONS, RACING_CAUTION), found.warnings),
    ]


def backstay_text(found: BackstayAnswer) -> list[str]:
    """Return the backstay's travel, advice, winds and legs."""
    lines = [
        f"Backstay of {found.boat} ({found.backstay.kind}), upwind in {found.wind_kn:g} kn:",
        found.advice.words,
    ]
    lines.append(f"{found.advice.slack_travel_pct:.0f} % of the travel only removes slack.")
    lines += ["Coarse part:", *(_coarse_text(one) for one in found.advice.coarse)]
    lines.append("travel   pull  take-up    load   hand  masthead aft  bend   sag")
    lines += [
        f"{row.travel_pct:5.0f} %  {row.pull_mm:5.0f}  {row.take_up_mm:5.0f} mm  {row.load_n:5.0f} N  "
        f"{row.hand_load_n:3.0f} N"
        f"  {row.tip_aft_mm:8.0f} mm  {row.prebend_mm:4.0f}  {row.sag_mm:4.0f}"
        for row in found.rows
    ]
    if found.winds:
        lines.append("Where the settings table puts it:")
    lines += [
        f"  {one.wind_kn:g} kn: {one.travel_pct:.0f} % of the travel, {one.load_n:.0f} N"
        + (" (slack)" if one.is_slack else "")
        for one in found.winds
    ]
    lines += [
        f"A shorter upper leg with a longer V "
        f"(top load {found.advice.top_load_n:.0f} N, {found.top_load_source}):"
    ]
    lines += [_leg_text(one) for one in found.legs]
    return [*lines, *cautions_text(RIG_CAUTIONS, found.warnings)]


def _coarse_text(one: CoarseRow) -> str:
    way = "shorter" if one.shorten_mm >= 0.0 else "longer"
    top = "beyond the travel" if one.top_at_pct is None else f"at {one.top_at_pct:.0f} %"
    free = "off both ends" if one.is_off_both_ends else "at an end"
    light = f"lightest setting at {one.least_at_pct:.0f} %"
    return f"  {abs(one.shorten_mm):.0f} mm {way}: top load {top}, {light}; {free}"


def _leg_text(leg: LegComparison) -> str:
    name = f"{leg.shorter_mm:.0f} mm shorter" if leg.shorter_mm else "as it is"
    load = "more than the rig stands" if leg.load_n is None else f"{leg.load_n:.0f} N"
    top = "the travel ends before the top load"
    if leg.usable_travel_mm is not None and leg.top_hand_load_n is not None:
        top = f"top load after {leg.usable_travel_mm:.0f} mm, {leg.top_hand_load_n:.0f} N in the hand"
    return (
        f"  {name}, {leg.compared_at} ({leg.pull_mm:.0f} mm): take-up {leg.take_up_mm:.0f} mm, "
        f"{load}, {leg.step_mm:.1f} mm for 10 mm more; {top}"
    )


def loads_text(found: LoadsAnswer) -> list[str]:
    """Return working loads and margins."""
    lines = [f"Loads of {found.boat} over {', '.join(f'{one:g}' for one in found.winds_kn)} kn upwind."]
    for row in found.rows:
        margin = (
            "break load unknown"
            if row.margin is None
            else f"break {row.break_load_n:.0f} N, margin {row.margin:.1f}"
        )
        standard = (
            "" if row.righting_moment_n is None else f"; {row.righting_moment_n:.0f} N by righting moment"
        )
        at = "" if row.wind_kn is None else f" in {row.wind_kn:g} kn"
        lines.append(
            f"  {words(row.part)}: {row.working_n:.0f} N{at}, peak {row.peak_n:.0f} N; {margin}{standard}"
        )
    lines.append(f"Peak = working load x {found.factor.value:g} ({found.factor.source}).")
    return [*lines, *cautions_text(LOAD_CAUTIONS, found.warnings)]


def measure_text(found: MeasureAnswer) -> list[str]:
    """Return a measurement beside the model."""
    one = found.reading
    pitch = "" if one.frequency_hz is None else f" ({one.frequency_hz:.2f} Hz)"
    return [
        f"{words(one.wire)}: {one.tension_n:.0f} N "
        f"({one.low_n:.0f} to {one.high_n:.0f}) by {one.method}{pitch}.",
        f"The model expects {found.expected_n:.0f} N at the recorded turns: {found.difference_pct:+.0f} %.",
        *(f"  {note}" for note in one.notes),
        "Kept in the book." if found.kept else "Not kept; add --keep to write it into the book.",
        *cautions_text(SCREW_CAUTIONS, found.warnings),
    ]


def shape_text_beside(found: ShapeAnswer) -> list[str]:
    """Return a measured shape beside the model."""
    place = f"upwind in {found.wind_kn:g} kn" if found.wind_kn else "on the dock"
    lines = [
        f"{words(one.quantity.removesuffix('_mm'))} {place}: {one.measured_mm:.0f} mm; the model expects "
        f"{one.expected_mm:.0f} ± {one.half_width_mm:.0f} mm: {'within' if one.is_within else 'outside'}."
        for one in found.rows
    ]
    kept = "Kept in the book." if found.kept else "Not kept; add --keep to write it into the book."
    return [*lines, kept, *cautions_text(SCREW_CAUTIONS, found.warnings)]


def check_text(found: CheckAnswer) -> list[str]:
    """Return the symmetry and mast-in-the-middle checks."""
    lines = [
        f"{words(one.wire)}: port {one.port_n:.0f} N, starboard {one.starboard_n:.0f} N: {one.words}."
        for one in found.pairs
    ]
    if not lines:
        lines.append("No wire was measured on both sides yet: cringle rig measure cap_port ... --keep")
    if found.middle is not None:
        lines.append(f"Masthead {abs(found.middle.offset_mm):.0f} mm off: {found.middle.words}.")
    return [*lines, *cautions_text(SCREW_CAUTIONS, ())]


def fit_text(found: RigFit, *, kept: bool) -> list[str]:
    """Return fitted factors."""
    values = {
        "wire stiffness": found.factors.wire,
        "mast stiffness": found.factors.mast,
        "sag load": found.factors.sag,
    }
    half = list(found.half_width.values())
    lines = [f"Fitted to {found.count} measurements:"]
    lines += [
        f"  {name}: {value:.2f} ± {width:.2f}"
        for (name, value), width in zip(values.items(), half, strict=True)
    ]
    before, after = (sum(one * one for one in misses) / len(misses) for misses in (found.before, found.after))
    lines.append(f"Mean squared miss {before:.1f} before, {after:.1f} after (1 is the readings' own spread).")
    return [*lines, "Kept in the book." if kept else "Not kept; add --keep."]
