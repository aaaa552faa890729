"""The ways of sailing that the model solves: sails, arrangement, gear and the heel they are sailed at."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from cringle.boat.base import Technique
from cringle.boat.class_file import ClassFile
from cringle.errors import InputError
from cringle.physics.sails import Arrangement, Gear

Jib = Literal["out", "furled"]

UPWIND_HEEL_DEG = (0.0, 30.0)
"""Heel swept without a kite, to leeward; the best of it is the outcome."""

KITE_HEEL_DEG = (0.0, 8.0)
"""Heel swept with a kite where the class file has no bound of its own. Common practice, no source."""

PLANING_FROUDE = 0.50
"""From here a run counts as planing, below as soaking (Froude number on the waterline). Judgement: the
middle of the ramp 0.45 to 0.60 on which the hull's drag passes from the displacement to the semi-planing
methods; the transom of such a hull runs dry there."""


MOST_RUN_ANGLE_DEG = 175.0
"""Nobody aims closer to dead before the wind with a kite: a small shift would put the boat by the lee and the
boom across. Common practice, no source."""


@dataclass(frozen=True)
class Case:
    """One way of sailing.

    Parameters
    ----------
    name : str
        Unique among the cases of a model.
    technique : Technique or None
        None without a kite.
    jib : {"out", "furled"}
        Whether the jib is set.
    arrangement : Arrangement
        Kite on the main's side, or to windward.
    gear : Gear
        How the sails are trimmed.
    heel_low_deg, heel_high_deg : float
        Heel swept, positive to leeward. For the run these come from the class file: the forces are nearly
        even in heel, so the model alone cannot tell leeward from windward.
    froude_low, froude_high : float
        Froude numbers that still count as this technique.
    angle_high_deg : float
        Largest true wind angle it is sailed at.
    """

    name: str
    technique: Technique | None
    jib: Jib
    arrangement: Arrangement = Arrangement.SAME_SIDE
    gear: Gear = Gear.SETTLED
    heel_low_deg: float = UPWIND_HEEL_DEG[0]
    heel_high_deg: float = UPWIND_HEEL_DEG[1]
    froude_low: float = 0.0
    froude_high: float = 9.0
    angle_high_deg: float = 180.0

    def __post_init__(self) -> None:
        if self.heel_low_deg > self.heel_high_deg:
            raise InputError(
                f"case {self.name}: heel {self.heel_low_deg:g} to {self.heel_high_deg:g} deg",
                next_step="give the lower bound first",
            )

    @property
    def kite(self) -> bool:
        """Whether a kite is set."""
        return self.technique is not None

    def in_gear(self, gear: Gear) -> Case:
        """Return the same case in another gear, named after it."""
        return self if gear is self.gear else replace(self, name=f"{self.name} {gear}", gear=gear)


def _bounds(class_file: ClassFile, technique: Technique) -> tuple[float, float]:
    for one in class_file.techniques:
        if one.technique == technique:
            return one.heel_low_deg, one.heel_high_deg
    return KITE_HEEL_DEG


def upwind_case() -> Case:
    """Return main and jib."""
    return Case("up", None, "out")


def run_cases(class_file: ClassFile) -> tuple[Case, ...]:
    """Return soak, wing and plane, each with the jib out and furled where it applies, in that order.

    Parameters
    ----------
    class_file : ClassFile
        Sail sets there are, and the heel a technique is sailed at.

    Notes
    -----
    Soak: kite on the main's side, below `PLANING_FROUDE`. Plane: the same sails from there on. Wing: kite to
    windward of the main near dead before the wind, jib furled, as there is no clear air left for it.
    """
    out = _has(class_file, ("main", "jib", "kite"))
    if not _has(class_file, ("main", "kite")):
        return ()
    cases = []
    for jib in ("furled", "out") if out else ("furled",):
        low, high = _bounds(class_file, Technique.SOAK)
        cases.append(_run("soak", jib, (low, high), froude=(0.0, PLANING_FROUDE)))
    low, high = _bounds(class_file, Technique.WING)
    cases.append(replace(_run("wing", "furled", (low, high)), arrangement=Arrangement.WING))
    for jib in ("furled", "out") if out else ("furled",):
        low, high = _bounds(class_file, Technique.PLANE)
        cases.append(_run("plane", jib, (low, high), froude=(PLANING_FROUDE, 9.0)))
    return tuple(cases)


def _run(
    technique: str, jib: str, heel: tuple[float, float], froude: tuple[float, float] = (0.0, 9.0)
) -> Case:
    kind: Jib = "out" if jib == "out" else "furled"
    return Case(
        f"{technique} {jib}",
        Technique(technique),
        kind,
        heel_low_deg=heel[0],
        heel_high_deg=heel[1],
        froude_low=froude[0],
        froude_high=froude[1],
        angle_high_deg=MOST_RUN_ANGLE_DEG,
    )


def _has(class_file: ClassFile, kinds: tuple[str, ...]) -> bool:
    """Return whether the class file allows a sail set of exactly these kinds of sail."""
    kind_of = {one.id: str(one.kind) for one in class_file.sails}
    return any(
        sorted(kind_of.get(sail, "") for sail in one.sails) == sorted(kinds) for one in class_file.sail_sets
    )
