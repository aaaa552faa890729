"""The frame and the bridle against the least of stored energy, found by a minimiser that knows no statics."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq, minimize

from cringle.physics.bridle import Bridle, bridle_kind
from cringle.physics.frame_build import FrameBuilder, Section
from cringle.physics.frame_solver import solve
from cringle.physics.wire_element import chord_tension

SOURCE = "least potential energy, scipy.optimize (no statics of ours)"
HEIGHT, REACH, STIFFNESS = 9.0, 5.0, 1.351e6
ANCHORS = {"fore": (REACH, 0.0), "aft": (-REACH, 0.0), "port": (0.0, REACH), "starboard": (0.0, -REACH)}
LOADS = {
    "light": (150.0, 80.0, 0.0),
    "two guys slack": (-900.0, 500.0, 0.0),
    "downwards too": (-300.0, -700.0, -2000.0),
    "hard over": (4000.0, 1500.0, 0.0),
}


def guyed(pretension: float):
    """Return a mast as good as rigid on a ball joint with four guys, and their unstressed lengths."""
    build = FrameBuilder()
    build.point("foot", (0.0, 0.0, 0.0))
    build.point("top", (0.0, 0.0, HEIGHT))
    build.spar("foot", "top", Section(70e13, 9e-4, 6e-6, 6e-6, 1e-6))
    build.hold("foot", "x", "y", "z", "turn_z")
    for name, (x, y) in ANCHORS.items():
        build.ground(name, (x, y, 0.0))
        build.wire(name, "top", STIFFNESS)
    frame = build.build()
    length = np.hypot(HEIGHT, REACH) / (1.0 + pretension / STIFFNESS)
    return frame, np.full(4, length)


def least_energy(unstressed: np.ndarray, load: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return the top's place and the guys' tensions at the least of energy over two angles."""
    feet = np.array([(x, y, 0.0) for x, y in ANCHORS.values()])

    def place(angles: np.ndarray) -> np.ndarray:
        return HEIGHT * np.array(
            [np.sin(angles[0]), np.cos(angles[0]) * np.sin(angles[1]), np.cos(angles[0]) * np.cos(angles[1])]
        )

    def stretch(angles: np.ndarray) -> np.ndarray:
        return np.maximum(np.linalg.norm(place(angles) - feet, axis=1) - unstressed, 0.0)

    def energy(angles: np.ndarray) -> float:
        stored = 0.5 * STIFFNESS * np.sum(stretch(angles) ** 2 / unstressed)
        return float(stored - load @ (place(angles) - place(np.zeros(2))))

    found = minimize(
        energy, np.zeros(2), method="Nelder-Mead", options={"xatol": 1e-11, "fatol": 1e-12, "maxiter": 4000}
    )
    return place(found.x), STIFFNESS * stretch(found.x) / unstressed


@pytest.mark.parametrize("pretension", [0.001, 800.0, 3000.0])
@pytest.mark.parametrize("name", list(LOADS))
def test_guyed_mast(outside, name, pretension):
    frame, unstressed = guyed(pretension)
    load = np.array(LOADS[name])
    forces = np.zeros((len(frame.nodes), 6))
    top = frame.names.index("top")
    forces[top, :3] = load
    state = solve(frame, unstressed, forces)
    place, tension = least_energy(unstressed, load)
    outside.close(
        id=f"E1 {name} {pretension:g}",
        what="top of a guyed mast [m]",
        got=state.position[top],
        expected=place,
        atol=2e-6,
        source=SOURCE,
    )
    outside.close(
        id=f"E2 {name} {pretension:g}",
        what="tensions of its guys, slack ones 0 [N]",
        got=state.tension,
        expected=tension,
        rtol=1e-4,
        atol=0.6,
        source=SOURCE,
    )


@pytest.mark.parametrize("load", [5.0, 40.0, 120.0])
@pytest.mark.parametrize("slack", [-0.02, 0.0, 0.03])
def test_sagging_wire(outside, load, slack):
    """A wire of forty links between fixed ends: its least energy against the one element."""
    chord, links = 8.0, 40
    unstressed = chord + slack
    stiffness = STIFFNESS
    step = chord / links

    def energy(sag: np.ndarray) -> float:
        """Return energy for a sum of three sine shapes, straight below the chord."""
        drop = sum(
            size * np.sin(odd * np.pi * np.arange(links + 1) / links)
            for odd, size in zip((1, 3, 5), sag, strict=True)
        )
        length = np.sum(np.hypot(step, np.diff(drop)))
        stored = 0.5 * stiffness / unstressed * max(length - unstressed, 0.0) ** 2
        return float(stored - load * step * np.sum(drop[1:-1]))

    found = minimize(
        energy,
        [0.1, 0.0, 0.0],
        method="Nelder-Mead",
        options={"xatol": 1e-9, "fatol": 1e-10, "maxiter": 8000},
    )
    drop = sum(
        size * np.sin(odd * np.pi * np.arange(links + 1) / links)
        for odd, size in zip((1, 3, 5), found.x, strict=True)
    )
    expected = stiffness * (np.sum(np.hypot(step, np.diff(drop))) - unstressed) / unstressed
    got = float(
        chord_tension(np.array([chord]), np.array([unstressed]), np.array([stiffness]), np.array([load]))[0]
    )
    outside.close(
        id=f"E3 {load:g} {slack:g}",
        what="tension of a sagging wire [N]",
        got=got,
        expected=expected,
        rtol=0.012,
        source=SOURCE + "; three sine shapes, forty links",
    )


@pytest.mark.parametrize(("half", "leg", "pull"), [(0.72, 2.1632, 0.4), (0.6, 3.0, 1.0), (1.1, 2.5, 0.9)])
def test_rigid_bridle(outside, half, leg, pull):
    """Where the apex goes when the puller is hauled: the highest point that inextensible legs allow."""
    made = Bridle(half, leg, 7.0)
    height = made.apex_height - pull
    ring = bridle_kind("ring")
    top = made.apex_height + 0.1
    apex = brentq(lambda place: (place - height) + np.hypot(height, half) - leg, 0.0, top, xtol=1e-13)
    outside.close(
        id=f"E4 ring {half:g}",
        what="take-up of a ring bridle [m]",
        got=ring.take_up(made, pull),
        expected=made.apex_height - apex,
        atol=1e-8,
        source="length of the legs, numerical root",
    )
    line = bridle_kind("line")
    hauled = 0.3 * pull
    apex = brentq(lambda place: 2.0 * np.hypot(place, half) - (2.0 * leg - hauled), 0.0, top, xtol=1e-13)
    outside.close(
        id=f"E4 line {half:g}",
        what="take-up of a continuous line [m]",
        got=line.take_up(made, hauled),
        expected=made.apex_height - apex,
        atol=1e-8,
        source="length of the line, numerical root",
    )
