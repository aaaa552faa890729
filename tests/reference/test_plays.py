"""Plays against published networks, textbook schedules, a graph library and closed forms."""

from __future__ import annotations

import math
from pathlib import Path

import networkx as nx
import numpy as np
import pytest
from scipy.stats import beta

from cringle.boat.read import read_book_files
from cringle.plays.crew import Hand, usual_deal
from cringle.plays.deck import DeckPlace, deck_of
from cringle.plays.durations import (
    beta_shapes,
    beta_variance,
    inverse_table,
    look_up,
    three_point_mean,
    three_point_sd,
)
from cringle.plays.network import (
    Bound,
    added,
    at_least,
    can_add,
    distances,
    earliest,
    holds,
    impossible_loop,
    latest,
)
from cringle.plays.plan import Aboard, plan_play
from cringle.plays.play_file import PlayFile, Spot
from cringle.plays.read import play_paths, read_play
from cringle.plays.replay import broken_rules
from cringle.plays.roll import RollModel, roll_response
from cringle.plays.simulate import RiskSettings, simulate

ROOT = Path(__file__).parents[2]
NETWORKS = "Dechter, Meiri, Pearl, Artificial Intelligence 49 (1991), John and Fred; recomputed"
TEXTBOOK = "Hillier and Lieberman, Introduction to Operations Research, Reliable Construction Co."
LIBRARY = "networkx, longest path in a directed acyclic graph"

# The published network: 0 is 7:00, John leaves 1, arrives 2, Fred leaves 3, arrives 4 [min]
COMMUTE = [(0, 1, 10, 20), (1, 2, 30, 40), (3, 2, 10, 20), (3, 4, 40, 50), (0, 4, 60, 70)]
MINIMAL = [
    [0, 20, 50, 30, 70],
    [-10, 0, 40, 20, 60],
    [-40, -30, 0, -10, 30],
    [-20, -10, 20, 0, 50],
    [-60, -50, -20, -40, 0],
]
RELIABLE: dict[str, tuple[str, tuple[float, float, float], float, float]] = {
    "A": ("", (1, 2, 3), 2, 1 / 9),
    "B": ("A", (2, 3.5, 8), 4, 1),
    "C": ("B", (6, 9, 18), 10, 4),
    "D": ("C", (4, 5.5, 10), 6, 1),
    "E": ("C", (1, 4.5, 5), 4, 4 / 9),
    "F": ("E", (4, 4, 10), 5, 1),
    "G": ("D", (5, 6.5, 11), 7, 1),
    "H": ("EG", (5, 8, 17), 9, 4),
    "I": ("C", (3, 7.5, 9), 7, 1),
    "J": ("FI", (3, 9, 9), 8, 1),
    "K": ("J", (4, 4, 4), 4, 0),
    "L": ("J", (1, 5.5, 7), 5, 1),
    "M": ("H", (1, 2, 3), 2, 1 / 9),
    "N": ("KL", (5, 5.5, 9), 6, 4 / 9),
}
SLACK = {"D": 4, "G": 4, "H": 4, "M": 4, "I": 2, "K": 1}
ROLES = ("helm", "main", "jib", "forward")
OWNER = {"helm": "ines", "main": "tobias", "jib": "marit", "forward": "keo"}


def commute(last=(60, 70)):
    rows = [*COMMUTE[:-1], (0, 4, *last)]
    return [part for one, two, low, high in rows for part in (at_least(one, two, low), Bound(one, two, high))]


def test_minimal_network_of_the_published_example(outside):
    matrix = distances(5, commute())
    outside.close(
        id="PL01",
        what="minimal network, 5 by 5 [min]",
        got=matrix,
        expected=MINIMAL,
        atol=1e-9,
        source=NETWORKS,
        memory=True,
    )
    outside.close(
        id="PL02",
        what="earliest times [min]",
        got=earliest(matrix)[1:],
        expected=[10, 40, 20, 60],
        atol=1e-9,
        source=NETWORKS,
        memory=True,
    )
    outside.close(
        id="PL03",
        what="latest times [min]",
        got=latest(matrix)[1:],
        expected=[20, 50, 30, 70],
        atol=1e-9,
        source=NETWORKS,
        memory=True,
    )


def test_the_inconsistent_variant_is_found_with_its_loop(outside):
    bounds = commute((40, 45))
    chain = impossible_loop(5, bounds)
    total = sum(one.at_most for one in chain)
    ok = not holds(distances(5, bounds)) and total < 0 and {one.later for one in chain} >= {0, 4}
    outside.true(
        id="PL04",
        what="X4 - X0 in [40, 45] cannot hold, loop through 0 and 4",
        ok=ok,
        got=f"loop sums to {total:g} min",
        source=NETWORKS,
        memory=True,
    )


def test_one_bound_more_agrees_with_the_whole_network(outside):
    bounds = commute()
    matrix = distances(5, bounds[:-2])
    for one in bounds[-2:]:
        assert can_add(matrix, one)
        matrix = added(matrix, one)
    outside.close(
        id="PL05",
        what="minimal network by adding the last bounds",
        got=matrix,
        expected=MINIMAL,
        atol=1e-9,
        source=NETWORKS,
        memory=True,
    )


def crew_and_deck():
    files = read_book_files(ROOT / "examples")
    hands = [
        Hand(
            one.id,
            one.name,
            one.role,
            one.roles,
            one.skills,
            one.mass_kg,
            one.height_m,
            Spot(station=one.station, posture=one.posture),
        )
        for one in files.crew_file.people
    ]
    places = [
        DeckPlace(one.id, one.name, one.x, one.y, one.z, one.capacity, one.neighbours, abs(one.y) <= 0.15)
        for one in files.class_file.stations
    ]
    return Aboard(hands, deck_of(places))


def play_of(actions, *, roles=ROLES):
    return PlayFile.model_validate(
        {
            "schema_version": 1, "id": "check", "title": "Check", "kind": "change",
            "summary": "For a check.", "point": "run",
            "wind_low_kn": 0, "wind_high_kn": 20, "sails_before": "main+kite", "sails_after": "main+kite",
            "heel_before_deg": 0, "heel_after_deg": 0, "done_by": "due", "end": "Done.",
            "roles": [{"id": one, "at": {"station": "rail_1", "posture": "hike"}} for one in roles],
            "cues": [{"id": "due", "words": "Due", "at_s": [47, 47, 47]}],
            "actions": actions,
        }
    )  # fmt: skip


def reliable_actions():
    """Return the textbook project as actions in the background, so that people do not bind."""
    return [
        {
            "id": name.lower(),
            "do": name,
            "role": ROLES[n % 4],
            "hands": 0,
            "background": True,
            "duration_s": list(times),
            "after": [one.lower() for one in before],
        }
        for n, (name, (before, times, _, _)) in enumerate(RELIABLE.items())
    ]


def reliable_plan():
    play = play_of(reliable_actions())
    deal = {one.id: OWNER[one.role] for one in play.actions}
    return plan_play(
        play,
        crew_and_deck(),
        deal,
        durations_s={name.lower(): mean for name, (_, _, mean, _) in RELIABLE.items()},
    )


def test_textbook_project(outside):
    plan = reliable_plan()
    names = list(RELIABLE)
    means = [float(three_point_mean(*RELIABLE[one][1])) for one in names]
    variances = [float(three_point_sd(RELIABLE[one][1][0], RELIABLE[one][1][2])) ** 2 for one in names]
    outside.close(
        id="PL06",
        what="means of 14 activities",
        got=means,
        expected=[RELIABLE[one][2] for one in names],
        atol=1e-12,
        source=TEXTBOOK,
        memory=True,
    )
    outside.close(
        id="PL07",
        what="variances of 14 activities",
        got=variances,
        expected=[RELIABLE[one][3] for one in names],
        atol=1e-12,
        source=TEXTBOOK,
        memory=True,
    )
    outside.close(
        id="PL08",
        what="duration of the project",
        got=plan.makespan_s,
        expected=44.0,
        atol=1e-9,
        source=TEXTBOOK,
        memory=True,
    )
    outside.close(
        id="PL09",
        what="slack of 14 activities",
        got=[plan.slack_s[one.lower()] for one in names],
        expected=[SLACK.get(one, 0) for one in names],
        atol=1e-9,
        source=TEXTBOOK,
        memory=True,
    )
    outside.true(
        id="PL10",
        what="critical path A-B-C-E-F-J-L-N",
        ok="".join(plan.critical).upper() == "ABCEFJLN",
        got="-".join(plan.critical).upper(),
        source=TEXTBOOK,
        memory=True,
    )
    along = sum(RELIABLE[one.upper()][3] for one in plan.critical)
    chance = 0.5 * (1 + math.erf((47 - 44) / math.sqrt(along) / math.sqrt(2)))
    outside.close(
        id="PL11",
        what="path variance; chance of 47 by the normal approximation",
        got=[along, chance],
        expected=[9.0, 0.841345],
        atol=5e-7,
        source=TEXTBOOK,
        memory=True,
    )


def test_sampling_the_textbook_project_is_never_more_hopeful_than_its_critical_path(outside):
    found = simulate(reliable_plan(), settings=RiskSettings(100_000, 0.0, 11))
    outside.within(
        id="PL12",
        what="mean duration by sampling: more than the critical path alone, less than 10 % more",
        got=found.mean_s,
        low=44.0,
        high=48.4,
        source="merge-event bias, " + TEXTBOOK,
        memory=True,
    )


def random_graph(random):
    count = int(random.integers(2, 31))
    lasting = np.round(random.uniform(0.2, 9.0, count), 2)
    edges = [(a, b) for b in range(count) for a in range(b) if random.random() < 2.5 / count]
    return lasting, edges


def test_longest_path_on_500_random_graphs(outside):
    random = np.random.default_rng(500)
    aboard, worst, critical = crew_and_deck(), 0.0, True
    for _ in range(500):
        lasting, edges = random_graph(random)
        actions = [
            {
                "id": f"a{n}",
                "do": "x",
                "role": ROLES[n % 4],
                "hands": 0,
                "background": True,
                "duration_s": [t, t, t],
                "after": [f"a{a}" for a, b in edges if b == n],
            }
            for n, t in enumerate(lasting.tolist())
        ]
        play = play_of(actions)
        plan = plan_play(play, aboard, {one.id: OWNER[one.role] for one in play.actions})
        graph = nx.DiGraph()
        graph.add_nodes_from(["s", "t"])
        for n, seconds in enumerate(lasting.tolist()):
            graph.add_edge("s", f"a{n}", weight=0.0)
            graph.add_edge(f"a{n}", "t", weight=seconds)
        graph.add_weighted_edges_from((f"a{a}", f"a{b}", float(lasting[a])) for a, b in edges)
        worst = max(worst, abs(nx.dag_longest_path_length(graph) - plan.makespan_s))
        critical = critical and set(nx.dag_longest_path(graph)[1:-1]) <= set(plan.critical)
    outside.close(
        id="PL13",
        what="makespan of 500 random graphs, worst difference [s]",
        got=worst,
        expected=0.0,
        atol=1e-9,
        source=LIBRARY,
    )
    outside.true(
        id="PL14",
        what="the longest path is critical in each of them",
        ok=critical,
        got="500 of 500",
        source=LIBRARY,
    )


def closed_form(time, *, stiffness, inertia, zeta):
    """Return the response of an underdamped oscillator at rest to a unit step of moment."""
    natural = math.sqrt(stiffness / inertia)
    damped = natural * math.sqrt(1 - zeta**2)
    decay = np.exp(-zeta * natural * time)
    return (
        1 - decay * (np.cos(damped * time) + zeta / math.sqrt(1 - zeta**2) * np.sin(damped * time))
    ) / stiffness


@pytest.mark.parametrize(("number", "zeta"), [(15, 0.05), (16, 0.25), (17, 0.7)])
def test_roll_against_the_damped_oscillator(outside, number, zeta):
    time = np.arange(0.0, 20.0, 0.005)
    ramp = 0.005
    moment = np.clip(time / ramp, 0.0, 1.0)
    got = roll_response(RollModel(15_000.0, 900.0, zeta), time, moment)
    expected = closed_form(np.maximum(time - 0.5 * ramp, 0.0), stiffness=15_000.0, inertia=900.0, zeta=zeta)
    outside.close(
        id=f"PL{number}",
        what=f"step response in roll, damping ratio {zeta:g}, times stiffness",
        got=15_000.0 * got,
        expected=15_000.0 * expected,
        atol=2e-4,
        source="closed form of the damped oscillator, any text on vibration",
        memory=True,
    )


def test_free_roll_period_and_decay(outside):
    zeta, time = 0.1, np.arange(0.0, 20.0, 0.002)
    heel = roll_response(RollModel(15_000.0, 900.0, zeta), time, np.where(time < 0.002, 1500.0, 0.0))
    tops = [
        i
        for i in range(1, time.size - 1)
        if heel[i] > heel[i - 1] and heel[i] >= heel[i + 1] and heel[i] > 1e-6
    ]
    natural = math.sqrt(15_000.0 / 900.0)
    period = 2 * math.pi / (natural * math.sqrt(1 - zeta**2))
    outside.close(
        id="PL18",
        what="damped period of free roll [s]",
        got=np.diff(time[tops])[:4],
        expected=[period] * 4,
        rtol=2e-3,
        source="closed form of the damped oscillator",
        memory=True,
    )
    ratio = math.log(heel[tops[0]] / heel[tops[1]])
    outside.close(
        id="PL19",
        what="logarithmic decrement",
        got=ratio,
        expected=2 * math.pi * zeta / math.sqrt(1 - zeta**2),
        rtol=5e-3,
        source="closed form of the damped oscillator",
        memory=True,
    )


def test_serial_chain_has_the_analytic_mean_and_variance(outside):
    times = [(1.0, 1.5 + 0.25 * n, 3.0 + 0.5 * n) for n in range(12)]
    actions = [
        {
            "id": f"a{n}",
            "do": "x",
            "role": ROLES[n % 4],
            "duration_s": list(one),
            "after": [f"a{n - 1}"] if n else [],
        }
        for n, one in enumerate(times)
    ]
    play = play_of(actions)
    plan = plan_play(play, crew_and_deck(), {one.id: OWNER[one.role] for one in play.actions})
    samples = 200_000
    found = simulate(plan, settings=RiskSettings(samples, 0.0, 7))
    mean = sum(float(three_point_mean(*one)) for one in times)
    variance = sum(beta_variance(one) for one in times)
    pert = "three-point means; exact variance of the beta distribution (Malcolm et al., Oper. Res. 7, 1959)"
    outside.close(
        id="PL40",
        what="mean of a chain of 12, 200,000 runs [s]",
        got=found.mean_s,
        expected=mean,
        atol=4 * math.sqrt(variance / samples),
        source=pert,
    )
    outside.close(
        id="PL41",
        what="variance of a chain of 12 [s2]",
        got=found.sd_s**2,
        expected=variance,
        rtol=4 * math.sqrt(2 / samples),
        source=pert,
    )


def test_tabulated_inverse_against_the_library(outside):
    worst = 0.0
    for times in ((1.0, 2.0, 6.0), (1.0, 1.0, 4.0), (2.0, 5.0, 5.0), (3.0, 4.0, 5.0)):
        a, b = beta_shapes(times)
        scores = np.linspace(-3.5, 3.5, 501)
        from scipy.stats import norm

        exact = beta.ppf(norm.cdf(scores), a, b, loc=times[0], scale=times[2] - times[0])
        worst = max(
            worst,
            float(np.max(np.abs(look_up(inverse_table(times), scores) - exact)) / (times[2] - times[0])),
        )
        assert math.isclose(beta.var(a, b, scale=times[2] - times[0]), beta_variance(times), rel_tol=1e-12)
    outside.within(
        id="PL42",
        what="inverse of the beta distribution from the table, worst error over its range",
        got=worst,
        low=0.0,
        high=1e-4,
        source="scipy.stats.beta",
    )


def test_the_library_of_plays_replayed_without_network_or_solver(outside):
    aboard = crew_and_deck()
    broken = {}
    for name, path in play_paths(ROOT / "examples" / "plays").items():
        text = read_play(path)
        plan = plan_play(text.play, aboard, usual_deal(text, aboard.hands))
        rules = broken_rules(plan, aboard)
        if rules or not plan.feasible:
            broken[name] = rules
    outside.true(
        id="PL43",
        what="every play of the library can be done and keeps its own rules on replay",
        ok=not broken,
        got=f"{len(broken)} broken",
        source="own replay, reads the fields directly",
        kind="arithmetic",
    )


def test_facts_of_the_trade_in_the_library(outside):
    plays = {name: read_play(path).play for name, path in play_paths(ROOT / "examples" / "plays").items()}
    sets = [plays[one] for one in ("set_straight", "set_wing", "set_after_gybe")]
    source = "common practice, no source"
    together = all("pole_out" in one.action("hoist").ends_with for one in sets)
    outside.true(
        id="PL44",
        what="tack and head of the kite reach their ends together",
        ok=together,
        got=f"{len(sets)} sets",
        source=source,
        kind="practice",
    )
    sheeted = all(
        {"hoist", "pole_out"} <= set(one.action(name).after)
        for one in sets
        for name in ("sheet_kite", "wing_sheet")
        if any(a.id == name for a in one.actions)
    )
    outside.true(
        id="PL45",
        what="the kite is sheeted only when both ends are home",
        ok=sheeted,
        got=f"{len(sets)} sets",
        source=source,
        kind="practice",
    )
    gybes = [plays[one] for one in ("gybe_kite", "plane_gybe", "wing_gybe")]
    furled = all("furl" in one.action("gybe_call").after for one in gybes)
    outside.true(
        id="PL46",
        what="the jib is furled before every gybe under kite",
        ok=furled,
        got=f"{len(gybes)} gybes",
        source=source,
        kind="practice",
    )
    hiking = all(one.action("hike_on").not_until for one in (*sets, plays["windward_mark_offset"]))
    outside.true(
        id="PL47",
        what="somebody keeps hiking until the boat is past the mark",
        ok=hiking,
        got="4 plays",
        source=source,
        kind="practice",
    )
