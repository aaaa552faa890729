"""The race on the page, in the order of a debrief: advice, ledger, legs, heel, manoeuvres."""

from __future__ import annotations

from typing import Final

from cringle.output.page_parts import section, sentences
from cringle.output.report_heel import discipline_svg
from cringle.output.report_ledger import ledger_svg
from cringle.output.report_legs import legs_html
from cringle.output.report_race_words import (
    ADVICE_HEADS,
    advice_sentence,
    felt_sentence,
    heel_sentences,
    kind_sentence,
    spotted_sentences,
    total_sentence,
    trace_words,
    withheld_sentence,
)
from cringle.output.report_words import clock, number
from cringle.output.wording import html_text
from cringle.track.debrief.race import Race
from cringle.track.turns.manoeuvre import Judged

LOSSES_SHOWN: Final = 5
"""So many of the dearest manoeuvres are listed with what their trace shows."""


def race_sections(race: Race | None, time_zone: str = "UTC") -> tuple[str, ...]:
    """Return the sections of the race; none where none was made out.

    Parameters
    ----------
    race : Race or None
        The race inside the log.
    time_zone : str
        IANA name of the zone times are shown in.
    """
    if race is None:
        return ()
    found = (_advice(race), _ledger(race), _legs(race), _heel(race), _manoeuvres(race, time_zone))
    return tuple(one for one in found if one)


def _advice(race: Race) -> str:
    if not race.advice:
        return ""
    rows = "".join(
        f'<div class="advice {html_text(one.kind)}"><h3>{ADVICE_HEADS[one.kind]}</h3>'
        f"<p>{html_text(advice_sentence(one))}</p></div>"
        for one in race.advice
    )
    return section("Keep, change, try", f'<div class="three">{rows}</div>')


def _ledger(race: Race) -> str:
    ledger = race.ledger
    if ledger is None:
        return ""
    said = [one for one in (total_sentence(ledger), withheld_sentence(ledger)) if one]
    words = (
        "Seconds lost to each cause; trim is the speed at the angle and heel you sailed. The thin line is its"
        " uncertainty: nine chances in ten."
    )
    return section(
        "Where the time went",
        f"{sentences(said)}<figure>{ledger_svg(ledger)}<figcaption>{words}</figcaption></figure>",
    )


def _legs(race: Race) -> str:
    if race.ledger is None:
        return ""
    words = (
        '<p class="small">The true wind comes from the top. A ring is where the leg begins, a square where it'
        " ends; metres stand beside each tack and gybe.</p>"
    )
    return section("Legs", words + legs_html(race, race.pictures))


def _heel(race: Race) -> str:
    said = [
        *([] if race.heel is None else heel_sentences(race.heel)),
        *spotted_sentences(race.spotted),
        *(felt_sentence(one) for one in race.felt),
    ]
    if not said:
        return ""
    return section("Heel against its target", sentences(said) + _horizons(race))


def _horizons(race: Race) -> str:
    """Return heel against its target as pictures; few readings have none."""
    if race.heel is None:
        return ""
    figures = "".join(
        f"<figure>{discipline_svg(name, share)}<figcaption>{name}</figcaption></figure>"
        for name, share in (("Upwind", race.heel.upwind), ("On the run", race.heel.run))
        if share is not None
    )
    words = (
        '<p class="small">The level line is the target. The dashed wedge is 2° either side of it, the thick'
        " line the mean you sailed, the fan two thirds of the time.</p>"
    )
    return f'{words}<div class="heels">{figures}</div>'


def _manoeuvres(race: Race, time_zone: str) -> str:
    said = [one for one in (kind_sentence(kind) for kind in race.kinds) if one]
    if not said:
        return ""
    dear = sorted((one for one in race.manoeuvres if one.loss.metres_lost is not None), key=_metres)
    rows = "".join(_row(one, time_zone) for one in dear[:LOSSES_SHOWN])
    return section("What manoeuvres cost", f'{sentences(said)}<ol class="dear">{rows}</ol>')


def _metres(one: Judged) -> float:
    return -(one.loss.metres_lost or 0.0)


def _row(one: Judged, time_zone: str) -> str:
    loss = one.loss
    head = f"{loss.kind.capitalize()} at {clock(loss.at, time_zone)}: {number(loss.metres_lost, 0)} m"
    speeds = (
        f"{number(loss.entry_kn)} kn in, {number(loss.lowest_kn)} kn lowest, {number(loss.exit_kn)} kn out"
    )
    back = (
        "speed not back in 45 s" if loss.recovery_s is None else f"back after {number(loss.recovery_s, 0)} s"
    )
    trace = trace_words(one)
    said = f"{head}; {speeds}; {back}." + (f" {trace[:1].upper()}{trace[1:]}." if trace else "")
    return f"<li>{html_text(said)}</li>"
