"""The race in sentences: the words that screen, page and paper share."""

from __future__ import annotations

from typing import Final

from cringle.output.report_words import counted, number
from cringle.track.debrief.advice import Advice
from cringle.track.debrief.race import Race, RaceLeg, Side
from cringle.track.heel.discipline import HeelDiscipline, HeelShare
from cringle.track.heel.felt import FeltBias
from cringle.track.heel.spotted import HeelSpotted, SpottedShare
from cringle.track.ledger.interval import Ledger, LedgerPart
from cringle.track.turns.manoeuvre import Judged, KindSummary

CAUSES: Final = {
    "heel": "heel off its target",
    "angle": "angle off the target",
    "trim": "speed at that angle and heel (trim)",
    "tack": "tacks",
    "gybe": "gybes",
    "set": "hoists",
    "drop": "drops",
    "extra_distance": "extra distance",
    "stopped": "stopped",
    "unknown": "not known",
}
"""Part of the ledger to words."""

NOTHING_M: Final = 0.5
"""A best manoeuvre that lost less than this lost nothing [m]."""

ADVICE_HEADS: Final = {"keep": "Keep", "change": "Change", "try": "Try"}


def cause(name: str) -> str:
    """Return the words for a part of the ledger."""
    return CAUSES.get(name, name.replace("_", " "))


def seconds(value: float) -> str:
    """Return seconds in whole numbers, minutes from two minutes on."""
    whole = round(abs(value))
    sign = "−" if value < -0.5 else ""
    return f"{sign}{whole} s" if whole < 120 else f"{sign}{whole // 60} min {whole % 60:02d} s"


def total_sentence(ledger: Ledger) -> str:
    """Return the whole loss in a sentence."""
    total = ledger.total
    return (
        f"Against the {ledger.baseline} you lost {seconds(total.seconds)}"
        f" in {seconds(ledger.sailed_s)} of racing"
        f" (nine chances in ten: {seconds(total.low)} to {seconds(total.high)})."
    )


def withheld_sentence(ledger: Ledger) -> str | None:
    """Return what is not told apart, or None."""
    if not ledger.withheld:
        return None
    names = ", ".join(cause(one) for one in ledger.withheld)
    return (
        f"Not told apart: {names}, together {seconds(ledger.withheld_s)}; each is smaller than its own"
        " uncertainty."
    )


def part_words(part: LedgerPart) -> str:
    """Return a part with its interval: ``85 s (71 to 97)``."""
    return f"{seconds(part.seconds)} ({number(part.low, 0)} to {number(part.high, 0)})"


def advice_sentence(one: Advice) -> str:
    """Return a keep, change or try as one sentence: what and where, then what to do."""
    return f"{_capital(one.what)}, {one.where}: {one.how}."


def advice_line(one: Advice) -> str:
    """Return a keep, change or try with its head."""
    return f"{ADVICE_HEADS[one.kind]}: {advice_sentence(one)}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def leg_words(one: RaceLeg) -> str:
    """Return a leg's name, how long it took, and what was lost on it."""
    head = f"{one.name.capitalize()}, {seconds(one.leg.seconds)}"
    if one.ledger is None:
        return f"{head}."
    return f"{head}: lost {seconds(one.ledger.total.seconds)}."


def side_words(one: RaceLeg) -> list[str]:
    """Return what was lost with the wind from either side, a minute."""
    sides = (("starboard", one.starboard), ("port", one.port))
    return [
        f"Wind from {name}: {seconds(side.sailed_s)}, lost {per_minute(side)} s a minute"
        for name, side in sides
        if side is not None and side.sailed_s >= 1.0
    ]


def per_minute(side: Side) -> str:
    """Return seconds lost a minute."""
    return number(60.0 * side.lost_s / side.sailed_s)


def heel_sentences(heel: HeelDiscipline) -> list[str]:
    """Return heel discipline in short sentences."""
    said = [
        _share_sentence(name, share) for name, share in (("Upwind", heel.upwind), ("On the run", heel.run))
    ]
    response = heel.response
    if response is not None:
        said.append(
            f"When it left the band it was back after {number(response.median_s, 0)} s in the middle case, "
            f"after {number(response.slow_s, 0)} s in the slow ones."
        )
        if response.surges:
            said.append(
                f"{counted(response.surges, 'time')} it jumped by 5° or more within two seconds: on a deep,"
                " narrow fin that can cost the flow on the keel (common practice, no source)."
            )
    if heel.pattern is not None:
        said.append(f"Its pattern upwind: {heel.pattern.name}.")
    if heel.wrong_side_share is not None and heel.wrong_side_share > 0.02:
        said.append(
            f"On the run {number(100.0 * heel.wrong_side_share, 0)} % of the time it was on the wrong side"
            " of upright for this boat and technique."
        )
    return [one for one in said if one]


def _share_sentence(name: str, share: HeelShare | None) -> str:
    if share is None:
        return ""
    error = share.error_mean_deg
    side = "over" if error > 0.0 else "under"
    return (
        f"{name}, heel was within 2° of its target {number(100.0 * share.in_band_share, 0)} % of the time, "
        f"on average {number(abs(error))}° {side} it."
    )


def spotted_sentences(spotted: HeelSpotted | None) -> list[str]:
    """Return what few readings of heel say, in short sentences."""
    if spotted is None:
        return []
    parts = (("Upwind", spotted.upwind), ("On the run", spotted.run))
    said = [_spotted_sentence(name, share) for name, share in parts if share is not None]
    few = f"{counted(spotted.given, 'reading')} of heel: too few on any leg to say more."
    return said or [few]


def _spotted_sentence(name: str, share: SpottedShare) -> str:
    low, high = (number(100.0 * one, 0) for one in (share.in_band_share_low, share.in_band_share_high))
    ends = (number(one) for one in (share.error_mean_deg_low, share.error_mean_deg_high))
    side = "over" if share.error_mean_deg > 0.0 else "under"
    return (
        f"{name}, {share.in_band} of {share.count} readings were within 2° of the target:"
        f" {low} to {high} % of the time (nine chances in ten);"
        f" on average {number(abs(share.error_mean_deg))}° {side} it ({' to '.join(ends)}°)."
    )


def felt_sentence(one: FeltBias) -> str:
    """Return how far somebody's feeling is off."""
    side = "more" if one.bias_deg > 0.0 else "less"
    return (
        f"Felt against measured ({one.who}, {one.count} readings): {number(abs(one.bias_deg))}° {side}"
        f" than it was, between {number(one.bias_deg_low)} and {number(one.bias_deg_high)}°."
    )


def kind_sentence(one: KindSummary) -> str | None:
    """Return best, middle and worst of a kind of manoeuvre."""
    if one.median_m is None or one.best is None or one.worst is None:
        return None
    way = "windward" if one.kind == "tack" else "leeward"
    least = one.best.metres_lost or 0.0
    best = "nothing" if least < NOTHING_M else f"{number(least, 0)} m"
    plan = ""
    if one.play is not None and one.play.planned_s is not None:
        plan = f" The play {one.play.title!r} plans full speed after {number(one.play.planned_s, 0)} s."
    return (
        f"{counted(one.count, one.kind)}: the best lost {best} to {way},"
        f" the middle one {number(one.median_m, 0)} m, the worst {number(one.worst.metres_lost, 0)} m.{plan}"
    )


def trace_words(one: Judged) -> str:
    """Return what a manoeuvre's trace shows, and the play's cure where one fits."""
    said = ", ".join(one.shows)
    if one.fault is None:
        return said
    return f"{said}: {one.fault.symptom.lower()}. {one.fault.cure}"


def race_sentences(race: Race) -> list[str]:
    """Return the race in a few sentences for the terminal."""
    said: list[str | None] = []
    if race.ledger is not None:
        said.append(total_sentence(race.ledger))
        said.extend(f"{_capital(cause(one.name))}: {part_words(one)}" for one in race.ledger.shown)
        said.append(withheld_sentence(race.ledger))
    if race.heel is not None:
        said.extend(heel_sentences(race.heel))
    said.extend(spotted_sentences(race.spotted))
    said.extend(felt_sentence(one) for one in race.felt)
    said.extend(kind_sentence(one) for one in race.kinds)
    return [one for one in said if one]
