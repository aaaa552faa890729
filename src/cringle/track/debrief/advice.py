"""One keep, one change, one try: the few sentences a crew can act on, from ledger, heel and turns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from cringle.track.heel.discipline import HeelDiscipline
from cringle.track.ledger.interval import Ledger, LedgerPart
from cringle.track.turns.manoeuvre import KindSummary

GOOD_HEEL_SHARE: Final = 0.6
"""Heel within 2 degrees for so much of the time is worth keeping (our own limit)."""

WORTH_S: Final = 3.0
"""A cause that costs less than this is nobody's next job [s]."""

NOT_FOR_CREWS: Final = frozenset({"unknown"})


@dataclass(frozen=True)
class Advice:
    """One thing to keep, change or try.

    Parameters
    ----------
    kind : str
        ``keep``, ``change`` or ``try``.
    cause : str
        Part of the ledger, ``heel``, or a kind of manoeuvre.
    what, where, how : str
        In words: what was seen, on which leg, and the control, play or heel habit that addresses it.
    seconds : float or None
        What it cost.
    """

    kind: str
    cause: str
    what: str
    where: str
    how: str
    seconds: float | None


@dataclass(frozen=True)
class Sailed:
    """What advice is drawn from.

    Parameters
    ----------
    ledger : Ledger
        Of the whole race.
    legs : sequence of (str, Ledger)
        Name of each leg, such as ``beat 1``, and its ledger.
    heel : HeelDiscipline or None
        Heel against its target.
    kinds : sequence of KindSummary
        Tacks and gybes.
    angle_error_up_deg, angle_error_run_deg : float or None
        Mean true wind angle less the target's: upwind positive is too low, on the run positive too low too.
    """

    ledger: Ledger
    legs: Sequence[tuple[str, Ledger]]
    heel: HeelDiscipline | None
    kinds: Sequence[KindSummary]
    angle_error_up_deg: float | None = None
    angle_error_run_deg: float | None = None


def advise(sailed: Sailed) -> tuple[Advice, ...]:
    """Return at most three: one keep, one change, one try; fewer where the log does not carry them.

    Parameters
    ----------
    sailed : Sailed
        Ledger, heel and manoeuvres.

    Notes
    -----
    Only causes that are larger than their own interval are put to a crew as a change. What is not told apart
    becomes the thing to try: measure it.
    """
    costly = [one for one in sailed.ledger.shown if one.name not in NOT_FOR_CREWS and one.seconds >= WORTH_S]
    found = [_keep(sailed)]
    if costly:
        found.append(_cost("change", costly[0], sailed))
    second = next((one for one in costly[1:] if one.name != costly[0].name), None)
    found.append(_cost("try", second, sailed) if second is not None else _measure(sailed))
    return tuple(one for one in found if one is not None)


def _keep(sailed: Sailed) -> Advice | None:
    """Return what went well: heel held, or the kind of cause that cost the least."""
    heel = sailed.heel
    if heel is not None and heel.whole is not None and heel.whole.in_band_share >= GOOD_HEEL_SHARE:
        share = round(100.0 * heel.whole.in_band_share)
        return Advice(
            "keep",
            "heel",
            f"heel within 2° of the target {share} % of the time",
            "on all legs",
            KEEP_HEEL,
            None,
        )
    best = _best_leg(sailed)
    if best is None:
        return None
    name, ledger = best
    per_minute = 60.0 * ledger.total.seconds / ledger.sailed_s
    return Advice(
        "keep",
        "leg",
        f"your best leg against the baseline lost {per_minute:.0f} s a minute",
        f"on {name}",
        "write down what was set and who did what on it, and start from there",
        ledger.total.seconds,
    )


def _best_leg(sailed: Sailed) -> tuple[str, Ledger] | None:
    long = [one for one in sailed.legs if one[1].sailed_s >= 60.0]
    return min(long, key=lambda one: one[1].total.seconds / one[1].sailed_s) if long else None


def _cost(kind: str, part: LedgerPart, sailed: Sailed) -> Advice:
    what, how = _words(part, sailed)
    return Advice(kind, part.name, what, _where(part.name, sailed), how, part.seconds)


def _where(cause: str, sailed: Sailed) -> str:
    """Return the leg on which a cause took the most."""
    if not sailed.legs:
        return "over the race"
    name, ledger = max(sailed.legs, key=lambda one: one[1].part(cause).seconds)
    return f"most on {name} ({ledger.part(cause).seconds:.0f} s)"


def _words(part: LedgerPart, sailed: Sailed) -> tuple[str, str]:
    """Return what was seen and what addresses it."""
    if part.name == "heel":
        return _heel_words(part, sailed.heel)
    if part.name == "angle":
        return _angle_words(part, sailed)
    if part.name in ("tack", "gybe"):
        return _manoeuvre_words(part, sailed.kinds)
    what, how = PLAIN_WORDS[part.name]
    return f"{what} cost {part.seconds:.0f} s", how


KEEP_HEEL: Final = "keep calling the number, and go on from it when the wind changes"

PLAIN_WORDS: Final = {
    "trim": (
        "speed below the baseline at your own angle and heel",
        "set sheets, halyard and backstay to the table's settled numbers, then change one at a time",
    ),
    "set": ("hoists and the turn onto the run", "rehearse the set ashore as its play orders it"),
    "drop": ("drops and the turn onto the beat", "call the drop earlier and rehearse its play ashore"),
    "extra_distance": (
        "water sailed past the layline or away from the mark",
        "call the layline by the angle you really sail, and leave a tack in hand near the mark",
    ),
    "stopped": (
        "lying still on a leg",
        "build speed first: the table's build numbers, sheets eased, bow down",
    ),
}
"""Cause to what was seen and what addresses it."""


def _heel_words(part: LedgerPart, heel: HeelDiscipline | None) -> tuple[str, str]:
    error = None if heel is None or heel.whole is None else heel.whole.error_mean_deg
    if error is None or abs(error) < 0.5:
        return (
            f"heel off its target, to both sides, cost {part.seconds:.0f} s",
            "call the heel aloud every few seconds and answer each gust before it heels the boat",
        )
    side = "more" if error > 0.0 else "less"
    how = (
        "ease the mainsheet at once, then more backstay, until the number is back"
        if error > 0.0
        else "sheet in or bring weight to leeward until the number is back"
    )
    return f"heel {abs(error):.0f}° {side} than the target on average cost {part.seconds:.0f} s", how


def _angle_words(part: LedgerPart, sailed: Sailed) -> tuple[str, str]:
    up, run = sailed.angle_error_up_deg, sailed.angle_error_run_deg
    if up is None and run is None:
        return (
            f"angles off the target cost {part.seconds:.0f} s",
            "steer to the target angle by the heel number",
        )
    use_up = run is None or (up is not None and abs(up) >= abs(run))
    error, point = (up, "upwind") if use_up else (run, "on the run")
    off = 0.0 if error is None else error
    if abs(off) < 1.0:
        return (
            f"wandering about the target angle cost {part.seconds:.0f} s",
            "steer smaller: pick a point ahead, and let the mainsheet answer the gusts",
        )
    too_low = off > 0.0
    turn = "higher" if too_low else "lower"
    return (
        f"{point} {abs(off):.0f}° too {'low' if too_low else 'high'} on average; angles cost"
        f" {part.seconds:.0f} s",
        f"steer {turn} until speed and heel are on target together",
    )


def _manoeuvre_words(part: LedgerPart, kinds: Sequence[KindSummary]) -> tuple[str, str]:
    kind = next((one for one in kinds if one.kind == part.name), None)
    if kind is None or kind.median_m is None or kind.best is None or kind.best.metres_lost is None:
        return f"{part.name}s cost {part.seconds:.0f} s", f"rehearse the {part.name} as its play orders it"
    play = f"the play {kind.play.title!r}" if kind.play else f"the {part.name}"
    return (
        f"{kind.count} {part.name}s cost {part.seconds:.0f} s; the middle one lost {kind.median_m:.0f} m,"
        f" the best {max(kind.best.metres_lost, 0.0):.0f} m",
        f"rehearse {play} until the middle one is as good as the best",
    )


def _measure(sailed: Sailed) -> Advice | None:
    """Return what to measure next time, where the causes are not told apart."""
    if not sailed.ledger.heel_known:
        return Advice(
            "try",
            "heel",
            "heel was not measured",
            "next time",
            "fix a phone below deck and log its heel",
            None,
        )
    if sailed.ledger.withheld:
        names = ", ".join(sailed.ledger.withheld).replace("_", " ")
        return Advice(
            "try",
            "not_told_apart",
            f"not told apart: {names}",
            "next time",
            "have the wind's speed noted every few minutes, and sail beside another boat",
            sailed.ledger.withheld_s,
        )
    return None
