"""Cautions that stand on everything about the rig that can hurt, one list for all pages and commands."""

from __future__ import annotations

SCREW_CAUTIONS = (
    "Slacken the wire before you open a screw, and pin or lock every screw again before sailing.",
    "Keep at least one thread diameter of engagement at both ends of every screw.",
    "Nobody stands or reaches under or in line with a loaded wire.",
)
"""Before anyone turns a screw."""

RIG_CAUTIONS = (
    *SCREW_CAUTIONS,
    "Nobody goes aloft for this; aloft is work for trained people with two independent lines.",
    "Cracked strands, swaged ends with rust or cracks, bent screws: stop and call a qualified rigger.",
    "These numbers are no limits: class rules, the builder and a qualified rigger have the last word.",
)
"""On every sheet of tensions."""

RACING_CAUTION = "Adjust only when the class rules let you; nothing here is advice while racing (RRS 41)."

LOAD_CAUTIONS = (
    "Terminals and fittings fail before the wire; fatigue does not show in these numbers.",
    "The design factors are inputs with their source, never limits of this program.",
    *RIG_CAUTIONS,
)
"""On every table of loads."""
