"""What the rig room assumes about sails and costs, each with its spread and where it comes from.

None of these is measured on the boat. A fit (`cringle.rig.fit`) replaces the sag factor; the coach
replaces the costs.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Assumption:
    """One assumed number.

    Parameters
    ----------
    value : float
        What is used.
    spread : float
        One standard deviation, as a share of the value.
    unit : str
        Empty for a ratio.
    meaning, source : str
        What it is and where it comes from.
    """

    value: float
    spread: float
    unit: str
    meaning: str
    source: str


ASSUMPTIONS: dict[str, Assumption] = {
    "sail_coefficient": Assumption(
        1.25,
        0.10,
        "",
        "force coefficient of main and jib upwind, before depowering",
        "Hazen 1980 at 27 degrees apparent, 1.5 at its best; a fifth less for a tight set; from memory",
    ),
    "drive_angle_deg": Assumption(
        16.0,
        0.15,
        "deg",
        "how far the sails' force leans forward of square to the boat",
        "Hazen 1980 at 27 degrees: C_X 0.44, C_Y 1.56; from memory",
    ),
    "draft": Assumption(0.11, 0.15, "", "depth over chord of both sails", "common practice, no source"),
    "sheeting_deg": Assumption(
        9.0, 0.20, "deg", "jib chord from the middle line", "common practice, no source"
    ),
    "luff_share": Assumption(
        0.45,
        0.30,
        "",
        "share of the membrane load on the luff; tension up and down the cloth carries the rest",
        "no source; the membrane load alone is an upper bound",
    ),
    "head_share": Assumption(
        0.60,
        0.25,
        "",
        "share of the jib sheet's load that reaches the head along the leech",
        "no source",
    ),
    "lateral_depth": Assumption(
        0.40, 0.20, "", "depth of the side force on the foils as a share of the keel's span", "from memory"
    ),
    "true_wind_angle_deg": Assumption(42.0, 0.07, "deg", "true wind angle upwind", "from memory"),
    "heel_deg": Assumption(14.0, 0.20, "deg", "heel at which full power ends", "common practice, no source"),
    "sag_cost": Assumption(
        2.0,
        0.50,
        "s/mile",
        "cost of 20 mm too much or too little sag, growing with the square",
        "no source; 20 mm of sag is 0.02 of draft on a 2 m chord",
    ),
    "prebend_cost": Assumption(
        1.0,
        0.50,
        "s/mile",
        "cost of 10 mm too much or too little mast bend, growing with the square",
        "no source",
    ),
    "wire_stiffness": Assumption(1.0, 0.10, "", "used strand against the handbook", "from memory"),
    "mast_stiffness": Assumption(1.0, 0.07, "", "E I of the section against the file", "no source"),
}
"""Every assumed number by name."""


def assumed(name: str) -> float:
    """Return the value of an assumption."""
    return ASSUMPTIONS[name].value
