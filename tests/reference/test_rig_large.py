"""Large bends against exact solutions and published benchmarks; the demo rig against another program."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from cringle.boat.read import read_book_files
from cringle.physics.frame import Frame, chords
from cringle.physics.frame_build import FrameBuilder, Section
from cringle.physics.frame_sensitivity import wire_shortening_sensitivity
from cringle.physics.frame_solver import solve
from cringle.rig.model import build_rig

ALL = ("x", "y", "z", "turn_x", "turn_y", "turn_z")


def section(rigidity: float = 1.0, torsion: float = 1.0, axial: float = 1e6) -> Section:
    """Return a section by its stiffnesses: E = 1."""
    return Section(1.0, axial, rigidity, rigidity, torsion, shear_modulus=1.0)


def cantilever(pieces: int) -> Frame:
    build = FrameBuilder()
    build.point("foot", (0.0, 0.0, 0.0))
    build.point("top", (0.0, 0.0, 1.0))
    build.spar("foot", "top", section(), pieces=pieces)
    build.hold("foot", *ALL)
    return build.build()


@pytest.mark.parametrize("load", [1.0, 3.0, 5.0, 10.0])
def test_elastica(outside, load):
    """A cantilever under a side load at its tip, P L^2 / EI from 1 to 10."""

    def bend(s, y):
        return np.vstack([y[1], -load * np.cos(y[0])])

    grid = np.linspace(0.0, 1.0, 101)
    exact = solve_bvp(bend, lambda a, b: np.array([a[0], b[1]]), grid, np.zeros((2, 101)), tol=1e-9)
    slope = exact.sol(np.linspace(0.0, 1.0, 4001))[0]
    fine = np.linspace(0.0, 1.0, 4001)
    tip = [np.trapezoid(np.sin(slope), fine), np.trapezoid(np.cos(slope), fine)]
    frame = cantilever(12)
    forces = np.zeros((len(frame.nodes), 6))
    forces[1, 0] = load
    place = solve(frame, np.zeros(0), forces).position[1]
    outside.close(
        id=f"L1 {load:g}",
        what="tip of a cantilever, aside and up, over its length",
        got=place[[0, 2]],
        expected=tip,
        rtol=2e-3,
        source="Euler's elastica, boundary-value solution with SciPy",
    )


@pytest.mark.parametrize(
    ("load", "aside", "down"), [(1.0, 0.30172, 0.05643), (5.0, 0.71379, 0.38763), (10.0, 0.81061, 0.55500)]
)
def test_elastica_printed(outside, load, aside, down):
    frame = cantilever(16)
    forces = np.zeros((len(frame.nodes), 6))
    forces[1, 0] = load
    place = solve(frame, np.zeros(0), forces).position[1]
    outside.close(
        id=f"L2 {load:g}",
        what="tip of a cantilever, aside and down, over its length",
        got=[place[0], 1.0 - place[2]],
        expected=[aside, down],
        rtol=2e-3,
        source="K. Mattiasson, Int. J. Numer. Meth. Eng. 17 (1981) 145-153, elliptic integrals",
        memory=True,
    )


@pytest.mark.parametrize("angle", [0.25, 0.5, 1.0])
def test_bent_into_an_arc(outside, angle):
    """An end moment M bends a straight beam into an arc of M L / EI, here up to half a circle."""
    turn = np.pi * angle
    frame = cantilever(20)
    forces = np.zeros((len(frame.nodes), 6))
    forces[1, 4] = turn
    place = solve(frame, np.zeros(0), forces).position[1]
    outside.close(
        id=f"L3 {angle:g}",
        what="tip of a beam bent into an arc, over its length",
        got=place[[0, 2]],
        expected=[(1 - np.cos(turn)) / turn, np.sin(turn) / turn],
        atol=2e-3,
        source="circle of radius EI / M, exact",
    )


@pytest.mark.parametrize(("load", "tip"), [(3.6, (0.2233, 0.5884, 0.4008)), (7.2, (0.1579, 0.4723, 0.5337))])
def test_bend_out_of_plane(outside, load, tip):
    """A cantilever curved through 45 degrees, loaded square to its plane: bending and torsion together."""
    pieces, reach = 8, np.pi / 4
    build = FrameBuilder()
    for number, phi in enumerate(np.linspace(0.0, reach, pieces + 1)):
        build.point(f"p{number}", (1.0 - np.cos(phi), np.sin(phi), 0.0))
    for number in range(pieces):
        build.spar(f"p{number}", f"p{number + 1}", section(1.0, 0.8436, 1.2e5), side=(0.0, 0.0, 1.0))
    build.hold("p0", *ALL)
    frame = build.build()
    forces = np.zeros((len(frame.nodes), 6))
    forces[-1, 2] = load
    place = solve(frame, np.zeros(0), forces).position[-1]
    outside.close(
        id=f"L4 {load:g}",
        what="tip of the 45 degree bend, over its radius",
        got=place,
        expected=tip,
        atol=8e-3,
        source="K.-J. Bathe and S. Bolourchi, Int. J. Numer. Meth. Eng. 14 (1979) 961-986; others within 1 %",
        memory=True,
    )


def pynite_of(frame: Frame):
    """Return a frame in the independent program, wires active both ways."""
    from Pynite import FEModel3D

    model = FEModel3D()
    for name, place in zip(frame.names, frame.nodes, strict=True):
        model.add_node(name, *(float(one) for one in place))
    model.add_material("unit", 1.0, 1.0, 0.3, 0.0)
    beams = frame.beams
    for row in range(len(beams.start)):
        # there y lies in the vertical plane, so the mast's two bending stiffnesses change places
        values = (beams.axial[row], beams.bending_z[row], beams.bending_y[row], beams.torsion[row])
        model.add_section(f"s{row}", *(float(one) for one in values))
        model.add_member(
            f"b{row}", frame.names[beams.start[row]], frame.names[beams.end[row]], "unit", f"s{row}"
        )
    wires = frame.wires
    for row in range(len(wires.start)):
        model.add_section(f"w{row}", float(wires.stiffness[row]), 1e-6, 1e-6, 1e-6)
        model.add_member(
            f"w{row}", frame.names[wires.start[row]], frame.names[wires.end[row]], "unit", f"w{row}"
        )
        model.def_releases(f"w{row}", Ryi=True, Rzi=True, Ryj=True, Rzj=True)
    for number in np.flatnonzero(frame.fixed.any(axis=1)):
        model.def_support(frame.names[number], *(bool(one) for one in frame.fixed[number]))
    return model


@pytest.mark.parametrize("strand", ["cap_port", "lower_starboard", "forestay", "backstay"])
def test_turns_of_the_demo_rig(outside, strand):
    """Shorten one wire by a millimetre: the linear rig, all wires active, in both programs."""
    files = read_book_files(Path(__file__).parents[2] / "examples")
    rig = build_rig(files.class_file, files.boat_file)
    frame, number = rig.frame, rig.strand(strand)
    length, along = chords(frame, frame.nodes)
    state = solve(frame, length * (1 - 1e-9), np.zeros((len(frame.nodes), 6)))
    motion, tension = wire_shortening_sensitivity(frame, state)
    pull = 1e-3 * frame.wires.stiffness[number] / length[number]
    model = pynite_of(frame)
    for node, sign in ((frame.wires.start[number], 1.0), (frame.wires.end[number], -1.0)):
        for direction, size in zip(("FX", "FY", "FZ"), sign * pull * along[number], strict=True):
            model.add_node_load(frame.names[node], direction, float(size))
    model.analyze_linear()
    theirs = np.array([-model.members[f"w{row}"].axial(0.0) for row in range(len(length))])
    theirs[number] += pull
    outside.close(
        id=f"L5 {strand}",
        what="change of all tensions for 1 mm off one wire [N]",
        got=-1e-3 * tension[:, number],
        expected=theirs,
        rtol=2e-3,
        atol=0.1,
        source="PyNite 3, linear analysis of the demo rig, run in this test",
    )
    head = frame.names.index("masthead")
    moved = model.nodes["masthead"]
    outside.close(
        id=f"L6 {strand}",
        what="movement of the masthead for 1 mm off one wire [mm]",
        got=-motion[head, :3, number],
        expected=[1e3 * next(iter(one.values())) for one in (moved.DX, moved.DY, moved.DZ)],
        rtol=2e-3,
        atol=2e-3,
        source="PyNite 3, linear analysis of the demo rig, run in this test",
    )
