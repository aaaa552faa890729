"""Activities that share limited resources, scheduled as short as can be, with proof.

The resource-constrained project scheduling problem on integers: each activity has a duration, follows its
predecessors, and takes a fixed amount of each renewable resource while it runs.

References
----------
.. [1] Kolisch and Sprecher, "PSPLIB - a project scheduling problem library", European Journal of Operational
   Research 96 (1997) 205-216: the problem and its benchmark instances.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from cringle.errors import InputError

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, IntVar

WORKERS = 2
SEED = 1
Stop = Callable[[], bool]


@dataclass(frozen=True)
class Activity:
    """One activity.

    Parameters
    ----------
    id : str
        Its name.
    duration : int
        In whole units of time, not negative.
    requests : mapping
        Resource to the amount it takes.
    after : tuple of str
        Activities that must have ended.
    """

    id: str
    duration: int
    requests: Mapping[str, int]
    after: tuple[str, ...] = ()


@dataclass(frozen=True)
class Schedule:
    """The best schedule found.

    Parameters
    ----------
    start : mapping
        Activity to its start; empty when there is none.
    makespan : int or None
        End of the last activity.
    bound : int
        No schedule can be shorter than this.
    status : str
        ``proven``, ``not proven`` or ``impossible``.
    seconds : float
        Time it took.
    """

    start: Mapping[str, int]
    makespan: int | None
    bound: int
    status: str
    seconds: float


def schedule_activities(
    activities: Sequence[Activity],
    capacities: Mapping[str, int],
    *,
    limit_s: float = 60.0,
    workers: int = WORKERS,
    stop: Stop | None = None,
) -> Schedule:
    """Return the shortest schedule of activities on limited resources, with its proof or its bound.

    Parameters
    ----------
    activities : sequence of Activity
        Precedences without a cycle.
    capacities : mapping
        Resource to the amount there is at any time.
    limit_s : float
        Longest time to think [s]; then the best found comes back as ``not proven``.
    workers : int
        Threads.
    stop : callable, optional
        Asked between improvements; true ends the search as the limit would.

    Raises
    ------
    InputError
        An unknown predecessor or resource, a negative number, or a cycle; named.

    Examples
    --------
    >>> two = [Activity("a", 3, {"hand": 1}), Activity("b", 2, {"hand": 1})]
    >>> found = schedule_activities(two, {"hand": 1})
    >>> found.makespan, found.status
    (5, 'proven')
    """
    from ortools.sat.python import cp_model

    _require_sound(activities, capacities)
    if any(amount > capacities[name] for one in activities for name, amount in one.requests.items()):
        return Schedule({}, None, 0, "impossible", 0.0)
    model = cp_model.CpModel()
    horizon = sum(one.duration for one in activities)
    starts = {one.id: model.new_int_var(0, horizon, one.id) for one in activities}
    end = model.new_int_var(0, horizon, "end")
    _add_order(model, activities, starts, end)
    _add_resources(model, activities, capacities, starts)
    model.minimize(end)
    solver, status = solve(model, limit_s=limit_s, workers=workers, stop=stop)
    bound = round(solver.best_objective_bound)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        said = "impossible" if status == cp_model.INFEASIBLE else "not proven"
        return Schedule({}, None, max(bound, 0), said, solver.wall_time)
    found = {name: solver.value(start) for name, start in starts.items()}
    said = "proven" if status == cp_model.OPTIMAL else "not proven"
    return Schedule(found, round(solver.objective_value), bound, said, solver.wall_time)


def _require_sound(activities: Sequence[Activity], capacities: Mapping[str, int]) -> None:
    names = {one.id for one in activities}
    if len(names) != len(activities):
        raise InputError("two activities have the same id", next_step="give each its own")
    for one in activities:
        if one.duration < 0 or min(one.requests.values(), default=0) < 0:
            raise InputError(f"activity {one.id!r}: a negative number", next_step="use 0 or more")
        unknown = [*(set(one.after) - names), *(set(one.requests) - set(capacities))]
        if unknown:
            raise InputError(f"activity {one.id!r}: no such activity or resource {unknown[0]!r}")
    cycle = _cycle(activities)
    if cycle:
        raise InputError(f"activities wait for each other: {', '.join(cycle)}", next_step="break the loop")


def _cycle(activities: Sequence[Activity]) -> list[str]:
    """Return what is left when every activity that waits for nothing is taken away, again and again."""
    waiting = {one.id: set(one.after) for one in activities}
    while True:
        free = {name for name, before in waiting.items() if not before}
        if not free:
            return sorted(waiting)
        waiting = {name: before - free for name, before in waiting.items() if name not in free}


def _add_order(
    model: CpModel, activities: Sequence[Activity], starts: Mapping[str, IntVar], end: IntVar
) -> None:
    lasting = {one.id: one.duration for one in activities}
    for one in activities:
        model.add(end >= starts[one.id] + one.duration)
        for before in one.after:
            model.add(starts[one.id] >= starts[before] + lasting[before])


def _add_resources(
    model: CpModel,
    activities: Sequence[Activity],
    capacities: Mapping[str, int],
    starts: Mapping[str, IntVar],
) -> None:
    spans = {
        one.id: model.new_fixed_size_interval_var(starts[one.id], one.duration, one.id)
        for one in activities
        if one.duration > 0
    }
    for name, capacity in capacities.items():
        users = [one for one in activities if one.id in spans and one.requests.get(name, 0) > 0]
        amounts = [one.requests[name] for one in users]
        if sum(amounts) > capacity:
            model.add_cumulative([spans[one.id] for one in users], amounts, capacity)


def solve(model: CpModel, *, limit_s: float, workers: int, stop: Stop | None = None) -> tuple[Any, Any]:
    """Run the solver with a fixed seed; return it and its status.

    `stop` is asked ten times a second on another thread; it must be quick and safe to call from there.
    """
    import threading

    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = limit_s
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = SEED
    if stop is None:
        return solver, solver.solve(model)
    done = threading.Event()

    def watch() -> None:
        while not done.wait(0.1):
            if stop():
                solver.stop_search()

    watcher = threading.Thread(target=watch, daemon=True)
    watcher.start()
    try:
        return solver, solver.solve(model)
    finally:
        done.set()
        watcher.join()
