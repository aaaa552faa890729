"""People, places, heel and depowering as JSON."""

from __future__ import annotations

from typing import Any

from cringle.speed.assign import Assignment
from cringle.workflows.speed.as_json import head, heel_cost_json, number, puff_json, step_json, with_ends
from cringle.workflows.speed.crew import CrewAnswer, DepowerAnswer


def crew_json(found: CrewAnswer) -> dict[str, Any]:
    """Return heel targets with the price of missing them, what people are worth, and places."""
    worth = [
        {
            "change": one.change.key,
            "means": one.change.words,
            "point": one.point,
            "tws_kn": number(one.wind_kn[i]),
            **with_ends(
                "cost",
                "s_per_mile",
                (one.s_per_mile[i], one.s_per_mile_90.low[i], one.s_per_mile_90.high[i]),
            ),
        }
        for one in found.worth
        for i in range(one.wind_kn.size)
    ]
    places = [
        {"tws_kn": number(wind), **places_json(one)}
        for wind, one in zip(found.wind_kn, found.places, strict=True)
    ]
    heel = [row for cost in found.costs for row in heel_cost_json(cost)]
    return {**head(found.book), "heel": heel, "worth": worth, "places": places}


def places_json(one: Assignment) -> dict[str, Any]:
    """Return one arrangement."""
    return {
        "hiking_kg": number(one.hiking_kg, 1),
        "legs_in_kg": number(one.legs_in_kg, 1),
        "hiking_share": number(one.hiking_share),
        "side_kg_m": number(one.side_kg_m, 1),
        "forward_kg_m": number(one.forward_kg_m, 1),
        "cost_s_per_mile": number(one.cost_s_per_mile),
        "crew": [
            {
                "person": seated.person.name,
                "role": seated.role,
                "station": seated.seat.station,
                "posture": str(seated.seat.posture),
            }
            for seated in one.seated
        ],
    }


def depower_json(found: DepowerAnswer) -> dict[str, Any]:
    """Return the order of depowering and puffs."""
    return {
        **head(found.book),
        "steps": [step_json(one) for one in found.steps],
        "puffs": [puff_json(one) for one in found.puffs],
    }
