"""Which turns give what you want: least squares with the rig's own sensitivities, then whole steps."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.rig.base import BaseTune
from cringle.rig.model import RigModel
from cringle.rig.spread import NINETY_PERCENT, Ensemble
from cringle.rig.state import quantities, quantity_names, turn_sensitivity
from cringle.rig.turns import Setting, Solved, role_turns, solve_setting
from cringle.rig.wind_load import no_wind

Array = NDArray[np.float64]

SCALES = {"n": 100.0, "mm": 5.0}
"""Misses that weigh alike: a hundred newtons, five millimetres. [N], [mm]"""

_PULL_TO_BASE = 0.02
_ROUNDS = 30
_LARGEST_STEP = 2.0
_SEARCH_TOLERANCE = 1e-7


@dataclass(frozen=True)
class Target:
    """One thing wanted.

    Parameters
    ----------
    name : str
        As in `quantity_names`: ``cap_starboard_n``, ``prebend_mm``, ``sag_mm`` ...
    value : float
        Wanted.
    sailing : bool
        In the setting's wind; on the dock otherwise.
    kind : str
        ``absolute``; ``change`` from what the setting's own turns give; or ``share`` of that.
    """

    name: str
    value: float
    sailing: bool = False
    kind: Literal["absolute", "change", "share"] = "absolute"

    def goal(self, now: float) -> float:
        """Return the number to reach when it is `now` at the setting's own turns."""
        return {"absolute": self.value, "change": now + self.value, "share": now * self.value}[self.kind]

    @property
    def scale(self) -> float:
        """Miss that counts as one."""
        return SCALES["mm" if self.name.endswith("_mm") else "n"]


@dataclass(frozen=True)
class Wanted:
    """A whole question.

    Parameters
    ----------
    targets : tuple of Target
        What is wanted.
    roles : tuple of str
        Roles whose screws may be turned.
    step : float or None
        Smallest turn; the screws' own step when None.
    """

    targets: tuple[Target, ...]
    roles: tuple[str, ...]
    step: float | None = None


@dataclass(frozen=True)
class Proposal:
    """Turns that come nearest.

    Parameters
    ----------
    turns : dict
        Role to turns from base, in whole steps.
    exact : dict
        Role to turns before rounding.
    half_width : dict
        Half the 90 % interval of the exact turns, from what the model does not know.
    reached : tuple of float
        Value of every target with the whole steps.
    solved : Solved
        The rig set like that, in the setting's wind.
    dock : Solved
        The same turns on the dock.
    """

    turns: dict[str, float]
    exact: dict[str, float]
    half_width: dict[str, float]
    reached: tuple[float, ...]
    solved: Solved
    dock: Solved


def propose(found: Ensemble, wanted: Wanted, setting: Setting) -> Proposal:
    """Return the turns that come nearest to what is wanted.

    Parameters
    ----------
    found : Ensemble
        Base tune with neighbours.
    wanted : Wanted
        Targets and which screws may turn.
    setting : Setting
        Wind and backstay of the sailing targets, and turns of the screws that stay.

    Raises
    ------
    InputError
        A target or role is unknown, or nothing is wanted.

    Notes
    -----
    Gauss-Newton on (miss / scale)^2 + (0.02 turns)^2, bounds from the threads, steps kept where they
    help; the small second term chooses the least turning where the targets leave a choice. Rounding tries
    the steps either side of every role.
    """
    search = _Search(found.middle, wanted, setting)
    exact = search.run()
    whole = search.whole_steps(exact) + 0.0
    half = _half_width(found, search, exact)
    names = wanted.roles
    solved, dock = search.solve(whole)
    reached = tuple(float(value) for value in search.values(whole))
    return Proposal(
        dict(zip(names, whole.tolist(), strict=True)),
        dict(zip(names, exact.tolist(), strict=True)),
        dict(zip(names, half.tolist(), strict=True)),
        reached,
        solved,
        dock,
    )


def _half_width(found: Ensemble, search: _Search, exact: Array) -> Array:
    """Return half the 90 % interval of the turns: what each neighbour would have to turn differently."""
    _, jacobian = search.linear(exact)
    pull = _PULL_TO_BASE * np.eye(len(exact))
    matrix = np.linalg.pinv(np.concatenate([jacobian, pull]))[:, : len(jacobian)]
    here = search.values(exact) - search.goal
    moved = []
    for other in found.others:
        same = _Search(other, search.wanted, search.setting, search.last)
        there = same.values(exact) - same.goal
        moved.append(matrix @ ((there - here) / search.scale))
    return np.asarray(NINETY_PERCENT * np.sqrt(np.sum(np.square(moved), axis=0)), dtype=np.float64)


class _Search:
    """One question on one base tune; keeps the last states to start the next solution from."""

    def __init__(
        self, base: BaseTune, wanted: Wanted, setting: Setting, near: Mapping[bool, Solved] | None = None
    ) -> None:
        self.base, self.wanted, self.setting = base, wanted, setting
        names = quantity_names(base.model)
        unknown = [one.name for one in wanted.targets if one.name not in names]
        if unknown or not wanted.targets:
            raise InputError(
                f"no quantity {unknown[0]!r}" if unknown else "nothing is wanted",
                next_step=f"ask for one of: {', '.join(names)}",
            )
        self.groups = [_screws(base.model, role) for role in wanted.roles]
        self.rows = [names.index(one.name) for one in wanted.targets]
        self.scale = np.array([one.scale for one in wanted.targets])
        self.last: dict[bool, Solved] = dict(near or {})
        self.solved_at: dict[bool, Mapping[str, float]] = {}
        screws = [[base.model.screw(one) for one in group] for group in self.groups]
        self.low = np.array([max(one.low for one in group) for group in screws])
        self.high = np.array([min(one.high for one in group) for group in screws])
        self.step = np.array([wanted.step or max(one.step for one in group) for group in screws])
        self.start = np.clip(
            [float(setting.turns.get(group[0], 0.0)) for group in self.groups], self.low, self.high
        )
        self.goal = self._goal()

    def _goal(self) -> Array:
        if all(one.kind == "absolute" for one in self.wanted.targets):
            return np.array([one.value for one in self.wanted.targets])
        now = self.values(self.start)
        return np.array([one.goal(float(value)) for one, value in zip(self.wanted.targets, now, strict=True)])

    def settings(self, turns: Array) -> tuple[Setting, Setting]:
        """Return the setting in its wind, and the same on the dock."""
        named = dict(self.setting.turns)
        for group, value in zip(self.groups, turns, strict=True):
            named.update(dict.fromkeys(group, float(value)))
        return replace(self.setting, turns=named), Setting(named, 0.0, no_wind())

    def one(self, turns: Array, sailing: bool) -> Solved:
        """Return one of the two states."""
        setting = self.settings(turns)[0 if sailing else 1]
        if self.solved_at.get(sailing) != setting.turns:
            last = self.last.get(sailing)
            self.last[sailing] = solve_setting(self.base, setting, start=last, tolerance=_SEARCH_TOLERANCE)
            self.solved_at[sailing] = setting.turns
        return self.last[sailing]

    def solve(self, turns: Array) -> tuple[Solved, Solved]:
        """Return both states."""
        return self.one(turns, True), self.one(turns, False)

    def values(self, turns: Array) -> Array:
        """Return the targets' quantities."""
        states = {
            sailing: self.one(turns, sailing) for sailing in {one.sailing for one in self.wanted.targets}
        }
        return np.array(
            [
                _vector(states[one.sailing])[row]
                for one, row in zip(self.wanted.targets, self.rows, strict=True)
            ]
        )

    def linear(self, turns: Array) -> tuple[Array, Array]:
        """Return scaled misses and their derivative by the roles' turns."""
        value, slope = np.zeros(len(self.rows)), np.zeros((len(self.rows), len(self.groups)))
        for sailing in {one.sailing for one in self.wanted.targets}:
            state = self.one(turns, sailing)
            table = turn_sensitivity(state.model, state.equilibrium)
            columns = [
                table.table[:, [table.screws.index(one) for one in group]].sum(axis=1)
                for group in self.groups
            ]
            for place, (one, row) in enumerate(zip(self.wanted.targets, self.rows, strict=True)):
                if one.sailing == sailing:
                    value[place] = _vector(state)[row]
                    slope[place] = [column[row] for column in columns]
        return (value - self.goal) / self.scale, slope / self.scale[:, None]

    def run(self) -> Array:
        """Return the best turns before rounding."""
        turns = self.start
        miss, slope = self.linear(turns)
        reach = _LARGEST_STEP
        for _ in range(_ROUNDS):
            step = self._bounded(miss, slope, turns, reach) - turns
            moved = float(np.max(np.abs(step)))
            if moved < 1e-3:
                break
            there, slope_there = self.linear(turns + step)
            if self._worth(there, turns + step) < self._worth(miss, turns):
                turns, miss, slope = turns + step, there, slope_there
                reach = min(2.0 * reach, _LARGEST_STEP)
            else:
                reach = 0.3 * moved
        return turns

    def _worth(self, miss: Array, turns: Array) -> float:
        return float(miss @ miss + _PULL_TO_BASE**2 * (turns @ turns))

    def _bounded(self, miss: Array, slope: Array, turns: Array, reach: float) -> Array:
        from scipy.optimize import lsq_linear

        matrix = np.concatenate([slope, _PULL_TO_BASE * np.eye(len(turns))])
        right = np.concatenate([slope @ turns - miss, np.zeros(len(turns))])
        low, high = np.maximum(self.low, turns - reach), np.minimum(self.high, turns + reach)
        return np.asarray(lsq_linear(matrix, right, bounds=(low, high)).x, dtype=np.float64)

    def whole_steps(self, exact: Array) -> Array:
        """Return the nearest whole steps: all neighbours ranked by the tangent, the best three solved."""
        miss, slope = self.linear(exact)
        sides = [
            np.unique(np.clip([np.floor(t / s) * s, np.ceil(t / s) * s], low, high))
            for t, s, low, high in zip(exact, self.step, self.low, self.high, strict=True)
        ]
        corners = [np.array(corner) for corner in itertools.product(*sides)]
        ranked = sorted(corners, key=lambda corner: float(np.sum((miss + slope @ (corner - exact)) ** 2)))
        return min(
            ranked[:3],
            key=lambda corner: float(np.sum(((self.values(corner) - self.goal) / self.scale) ** 2)),
        )


def _vector(state: Solved) -> Array:
    return quantities(state.model, state.equilibrium.position, state.equilibrium.tension)


def _screws(model: RigModel, role: str) -> tuple[str, ...]:
    return tuple(role_turns(model, {role: 0.0}))


def free_roles(model: RigModel, names: Sequence[str] | None = None) -> tuple[str, ...]:
    """Return roles that may be turned: those named, else all whose class rule is not ``ashore``.

    Raises
    ------
    InputError
        A role is unknown; the message lists all.
    """
    roles = model.roles()
    if names is None:
        return tuple(
            role for role, screws in roles.items() if all(one.rule_state != "ashore" for one in screws)
        )
    for name in names:
        if name not in roles:
            raise InputError(f"no role {name!r}; there are: {', '.join(roles)}", next_step="use one of these")
    return tuple(names)
