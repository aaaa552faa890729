"""Answers of the speed model as text, at most 80 columns wide."""

from __future__ import annotations

import math

from cringle.cli.text_rule import wrapped
from cringle.output.display_units import in_display_units
from cringle.output.wording import printable, role_text
from cringle.speed.assign import Assignment
from cringle.speed.ensemble import FACTOR_NAMES
from cringle.speed.heel import HeelCost
from cringle.workflows.speed.crew import CrewAnswer, DepowerAnswer
from cringle.workflows.speed.fit import FitAnswer
from cringle.workflows.speed.lanes import LaneFound
from cringle.workflows.speed.open import SpeedBook
from cringle.workflows.speed.speed import CaseTargets, PolarAnswer, TargetsAnswer, TechniquesAnswer

LAST_WORD = (
    "Computed, not measured: trust a trial on the water more. Hike only as far as you can hold for the whole"
    " leg without pain, with lifejackets on; the class rules have the last word."
)


def head(book: SpeedBook, what: str) -> list[str]:
    """Return the lines over every answer."""
    boat, people = printable(book.files.boat_file.boat.name), ", ".join(one.name for one in book.crew.people)
    fit = "no fit yet" if book.fitted is None or book.fit is None else f"fit of {book.fit.at:%Y-%m-%d}"
    return [
        f"{boat}: {what}",
        wrapped("", f"{printable(people)}, {spoken(book, f'{book.crew.mass_kg:.0f} kg')}; {book.asked.sea};"
                f" {fit}; wind at 10 m; 90 % intervals in brackets", indent=0),
        "",
    ]  # fmt: skip


def spoken(book: SpeedBook, words: str) -> str:
    """Return a sentence in the units that the boat's people read."""
    return in_display_units(words, book.files.boat_file.boat.display_units)


def ends(value: float, low: float, high: float, digits: int = 1) -> str:
    """Return a number with its interval: ``5.3 [5.0 5.5]``."""
    if not math.isfinite(value):
        return "–"
    if not (math.isfinite(low) and math.isfinite(high)):
        return f"{value:.{digits}f}"
    return f"{value:.{digits}f} [{low:.{digits}f} {high:.{digits}f}]"


def _row(name: str, one: CaseTargets, place: int) -> str:
    cells, known = one.found.cells, one.known
    if not cells.converged[place]:
        return f"{one.found.wind_kn[place]:>5g}  {name:<13}no target"
    texts = (
        ends(one.found.made_good_kn[place], known.vmg_kn.low[place], known.vmg_kn.high[place]),
        ends(cells.boat_speed_kn[place], known.speed_kn.low[place], known.speed_kn.high[place]),
        ends(cells.angle_deg[place], known.angle_deg.low[place], known.angle_deg.high[place], 0),
        ends(cells.heel_deg[place], known.heel_deg.low[place], known.heel_deg.high[place], 0),
    )
    cells_text = "".join(f"{text:<{width}}" for text, width in zip(texts, WIDTHS, strict=True))
    return f"{one.found.wind_kn[place]:>5g}  {name:<13}{cells_text}".rstrip()


WIDTHS = (17, 17, 15, 11)
"""Of the columns of a target, so that two digits before the point do not touch the next."""

COLUMNS = (
    f"{'wind':>5}  {'':<13}"
    + "".join(
        f"{text:<{width}}"
        for text, width in zip(("made good kn", "speed kn", "angle °", "heel °"), WIDTHS, strict=True)
    ).rstrip()
)


def targets_text(found: TargetsAnswer) -> list[str]:
    """Return targets up and down the wind."""
    lines = [*head(found.book, f"targets, gear {found.gear}"), COLUMNS]
    for place in range(found.wind_kn.size):
        lines.append(_row("up", found.up, place))
        best = found.best_run(place)
        if best is not None:
            lines.append(_row(best.found.case.name, best, place))
    return [*lines, "", wrapped("", LAST_WORD, indent=0)]


def techniques_text(found: TechniquesAnswer) -> list[str]:
    """Return the windows, then every technique in every wind."""
    lines = head(found.book, "techniques for the run")
    for one in found.windows:
        margin = "" if not math.isfinite(one.margin_s_per_mile) else (
            f": {one.margin_m_per_min:.0f} m a minute, {one.margin_s_per_mile:.0f} s a mile"
            f" better than {one.next_best.name if one.next_best else 'nothing'}"
        )  # fmt: skip
        lines.append(f"{one.from_kn:5.1f} to {one.to_kn:4.1f} kn  {one.case.name}{margin}")
    lines += ["", COLUMNS]
    for place in range(found.wind_kn.size):
        rows = [one for one in found.cases if one.found.cells.converged[place]]
        lines += [_row(one.found.case.name, one, place) for one in rows]
    return [*lines, "", wrapped("", LAST_WORD, indent=0)]


def polar_text(found: PolarAnswer) -> list[str]:
    """Return one table of speeds for each case."""
    lines = head(found.book, "polar, boat speed in knots")
    for one in found.polars:
        winds = one.wind_kn[:: max(1, -(-one.wind_kn.size // 9))]
        step = max(1, -(-one.wind_kn.size // 9))
        lines += [one.case.name, "angle °" + "".join(f"{wind:>7g}" for wind in winds)]
        for j, angle in enumerate(one.angle_deg):
            speeds = one.cells.boat_speed_kn[::step, j]
            if any(math.isfinite(speed) for speed in speeds):
                cells = "".join(f"{speed:7.2f}" if math.isfinite(speed) else f"{'–':>7}" for speed in speeds)
                lines.append(f"{angle:>7g}{cells}")
        lines.append("")
    return lines


def _cost_rows(cost: HeelCost) -> list[str]:
    heads = "".join(f"{offset:+.0f}°".ljust(15) for offset in cost.offset_deg)
    title = f"{cost.case.name}: seconds a mile lost beside the best heel"
    lines = ["", title, f"{'wind':>5}  {'heel °':<8}{heads}".rstrip()]
    for i, wind in enumerate(cost.wind_kn):
        known = cost.s_per_mile_90
        cells = [
            ends(cost.s_per_mile[i, k], known.low[i, k], known.high[i, k], 0)
            for k in range(cost.offset_deg.size)
        ]
        if any(cell != "–" for cell in cells):
            lines.append(
                f"{wind:>5g}  {cost.heel_deg[i]:<8.1f}" + "".join(f"{c:<15}" for c in cells).rstrip()
            )
    return lines


def crew_text(found: CrewAnswer) -> list[str]:
    """Return places, what people are worth, and the price of heel."""
    lines = [*head(found.book, "people and heel"), "Best places upwind"]
    for wind, one in zip(found.wind_kn, found.places, strict=True):
        lines.append(wrapped(f"{wind:5g} kn", spoken(found.book, _seats(one)) + ".", indent=10))
    lines += ["", "Seconds a mile lost (minus: gained) by a change"]
    lines.append((" " * 8 + "".join(f"{wind:g} kn".ljust(18) for wind in found.wind_kn[::2])).rstrip())
    for worth in found.worth:
        known = worth.s_per_mile_90
        cells = [
            ends(worth.s_per_mile[i], known.low[i], known.high[i], 0) for i in range(0, worth.wind_kn.size, 2)
        ]
        words = spoken(found.book, printable(worth.change.words))
        lines.append(wrapped("", f"{worth.point:<5} {words}:", indent=0))
        lines.append("        " + "".join(f"{cell:<18}" for cell in cells).rstrip())
    for cost in found.costs:
        lines += _cost_rows(cost)
    return [*lines, "", wrapped("", LAST_WORD, indent=0)]


def _seats(one: Assignment) -> str:
    seats = "; ".join(
        f"{printable(x.person.name)} ({x.role}) {x.seat.station_name}, {x.seat.posture}" for x in one.seated
    )
    return f"{seats}. {one.hiking_kg:.0f} kg hiking, {one.legs_in_kg:.0f} kg legs in"


def depower_text(found: DepowerAnswer) -> list[str]:
    """Return the steps, then puffs."""
    lines = head(found.book, "order of depowering upwind")
    for one in found.steps:
        controls = "" if not one.controls else f" Controls: {', '.join(role_text(x) for x in one.controls)}."
        cost = ends(one.cost_s_per_mile, *one.cost_s_per_mile_90, 0)
        spare = f" {100 * one.spare_share:.0f} % of the righting moment unused ({one.spare_nm:.0f} N m)."
        words = (
            f"{one.words}.{controls}{spare} To {one.heel_deg:.0f}° and {100 * one.power:.0f} % power;"
            f" costs {cost} s a mile."
        )
        lines.append(wrapped(f"{one.from_kn:g} kn", words, indent=9))
    lines += ["", "In a puff of a quarter more wind"]
    for puff in found.puffs:
        gain = puff.gain_m_per_min
        if gain is None or puff.feather_deg is None:
            words = "ease: no angle lets the boat feather it"
        else:
            better = "feather" if gain > 0.0 else "ease"
            words = f"feather {puff.feather_deg:.1f}° higher, or ease: {better} by {abs(gain):.1f} m a minute"
        lines.append(wrapped(f"{puff.wind_kn:g} kn", words + ".", indent=9))
    return [*lines, "", wrapped("", LAST_WORD, indent=0)]


def lane_text(found: LaneFound) -> list[str]:
    """Return one lane answer."""
    answer = found.answer
    lines = [*head(found.book, f"{answer.question.replace('_', ' ')} in {found.asked.wind_kn:g} kn")]
    lines.append(wrapped("", answer.words[:1].upper() + answer.words[1:] + ".", indent=0))
    low, high = answer.gain_m_90 or (math.nan, math.nan)
    lines.append(f"Metres made good: {ends(answer.gain_m, low, high)}")
    low, high = answer.break_even_90 or (math.nan, math.nan)
    unit = "%" if answer.break_even_unit == "percent" else answer.break_even_unit
    even = ends(answer.break_even, low, high)
    lines.append(wrapped("", f"Break-even: {even} {unit} {answer.break_even_words}.", indent=0))
    return lines


def fit_text(found: FitAnswer) -> list[str]:
    """Return factors and residuals of a fit."""
    report = found.report
    lines = [
        f"Fit to {report.used} steady stretches of {printable(found.source)}; {report.left_out} left out",
        f"Speed less model, root mean square: {report.before_percent:.1f} % before,"
        f" {report.after_percent:.1f} % after",
        "",
        f"{'factor':<20}{'value':>8}{'prior ±%':>11}{'now ±%':>9}{'earned %':>10}",
    ]
    for place, name in enumerate(FACTOR_NAMES):
        lines.append(
            f"{name.replace('_', ' '):<20}{getattr(report.fitted.factors, name):>8.3f}"
            f"{100 * report.prior_spread[place]:>11.1f}{100 * report.spread[place]:>9.1f}"
            f"{100 * report.earned[place]:>10.0f}"
        )
    lines.append(f"{'wind instrument':<20}{report.wind_factor:>8.3f}")
    kept = "not kept: add --keep" if found.kept is None else f"kept in the book as fit {found.kept.id}"
    return [*lines, "", kept]
