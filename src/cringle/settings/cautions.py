"""What to be careful about tonight: limits of the class, people, rules nobody has written down."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from cringle.boat.base import RuleState
from cringle.boat.class_file import ClassFile
from cringle.boat.crew_file import Person
from cringle.settings.roles import RoleScale
from cringle.settings.start_numbers import StartNumbers
from cringle.settings.winds import Winds


def cautions(
    class_file: ClassFile,
    people: Sequence[Person],
    winds: Winds,
    numbers: StartNumbers,
    scales: Mapping[str, RoleScale],
) -> tuple[str, ...]:
    """Return everything to be careful about, limits first."""
    return (*limit_cautions(class_file, people, winds), *unknown_rules(scales, numbers))


def limit_cautions(class_file: ClassFile, people: Sequence[Person], winds: Winds) -> Iterator[str]:
    """Yield what the class limits say about this wind and these people, each with its rule."""
    limits, mass_kg = class_file.limits, sum(one.mass_kg for one in people)
    if winds.mean_kn > limits.wind_limit_kn:
        rule = f"the class limit of {limits.wind_limit_kn:g} kn, rule {limits.wind_limit_rule}"
        yield f"{winds.mean_kn:g} kn is above {rule}"
    elif winds.strongest_kn > limits.wind_limit_kn:
        limit = f"the class limit of {limits.wind_limit_kn:g} kn for the mean"
        yield f"{winds.strongest_kn:g} kn in the puffs is above {limit}: decide ashore"
    if mass_kg > limits.crew_mass_max:
        yield f"{mass_kg:g} kg aboard, the class allows {limits.crew_mass_max:g} kg, rule {limits.crew_rule}"
    if not limits.crew_min <= len(people) <= limits.crew_max:
        wanted = f"{limits.crew_min} to {limits.crew_max}, rule {limits.crew_rule}"
        yield f"{len(people)} aboard, the class asks for {wanted}"


def unknown_rules(scales: Mapping[str, RoleScale], numbers: StartNumbers) -> Iterator[str]:
    """Yield which lines the class file and the boat file leave open, as a question to ask before racing."""
    names = [scales[role].name for role in numbers.roles if scales[role].rule_state is RuleState.UNKNOWN]
    if names:
        yield f"when may these be changed? ask the class before you race: {'; '.join(names)}"
