"""Bolted joints: clamp of U-bolts, share of the proof load used, and what an outside load adds to a bolt."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from knowledge.formulas.fasteners import (
    AREA,
    DIAMETER,
    FORCE,
    NUT_FACTOR,
    STRESS,
    TORQUE,
    preload_from_torque,
    proof_load,
)
from shared.errors import NoSolution

RATE = (1e5, 1e11)  # N/m


@formula(
    valid={"torque": TORQUE, "nut_factor": NUT_FACTOR, "diameter": DIAMETER, "legs": (1.0, 16.0)},
    rises=("torque", "legs"),
    falls=("nut_factor", "diameter"),
)
def ubolt_clamp(torque: float, nut_factor: float, diameter: float, legs: float) -> float:
    """Clamp of the U-bolts of one spring.

    legs T / (K d)

    Parameters
    ----------
    torque : torque [N m]
        Torque on each nut.
    nut_factor : ratio [1]
        K, see the table of nut factors.
    diameter : length [m]
        Thread diameter d.
    legs : count [1]
        Legs that share it: two for each U-bolt.

    Returns
    -------
    force [N]
        Squeeze on leaf pack and perch.

    Valid for
    ---------
    New U-bolts, re-torqued once the pack has settled.

    References
    ----------
    Shigley, Mechanical Engineering Design, eq. 8-27.
    """
    return legs * preload_from_torque(torque, nut_factor, diameter)


@formula(
    valid={"preload": FORCE, "stress_area": AREA, "proof_stress": STRESS},
    rises=("preload",),
    falls=("stress_area", "proof_stress"),
)
def share_of_proof(preload: float, stress_area: float, proof_stress: float) -> float:
    """How much of a bolt's proof load its preload uses.

    F / (area x proof stress)

    Parameters
    ----------
    preload : force [N]
        Tension in one bolt or leg.
    stress_area : area [m2]
        Tensile stress area.
    proof_stress : stress [Pa]
        Proof stress of its grade or class.

    Returns
    -------
    share [1]
        0.75 is usual for joints that are taken apart again.

    Valid for
    ---------
    Marked bolts.

    References
    ----------
    Shigley, Mechanical Engineering Design, chapter 8.
    """
    return preload / proof_load(stress_area, proof_stress)


@formula(valid={"bolt_rate": RATE, "member_rate": RATE}, rises=("bolt_rate",), falls=("member_rate",))
def joint_constant(bolt_rate: float, member_rate: float) -> float:
    """Share of an outside load that a preloaded bolt feels.

    C = kb / (kb + km)

    Parameters
    ----------
    bolt_rate : spring_rate [N/m]
        Stiffness of the bolt.
    member_rate : spring_rate [N/m]
        Stiffness of what it clamps.

    Returns
    -------
    share [1]
        Between 0 and 1.

    Valid for
    ---------
    Until the joint opens.

    References
    ----------
    Shigley, Mechanical Engineering Design, example 8-3.
    """
    return bolt_rate / (bolt_rate + member_rate)


@formula(
    valid={"preload": FORCE, "load": FORCE, "constant": (0.0, 1.0), "stress_area": AREA},
    rises=("preload", "load", "constant"),
    falls=("stress_area",),
)
def bolt_stress(preload: float, load: float, constant: float, stress_area: float) -> float:
    """Stress in a preloaded bolt under an outside load.

    (C P + F) / area

    Parameters
    ----------
    preload : force [N]
        Tension from tightening, F.
    load : force [N]
        Outside load on this bolt, P.
    constant : share [1]
        Joint constant C.
    stress_area : area [m2]
        Tensile stress area.

    Returns
    -------
    stress [Pa]
        Tensile stress.

    Valid for
    ---------
    Until the joint opens, that is while (1 - C) P is below F.

    References
    ----------
    Shigley, Mechanical Engineering Design, example 8-3.
    """
    if (1 - constant) * load > preload:
        raise NoSolution(f"a load of {load:.0f} N opens a joint preloaded to {preload:.0f} N")
    return (constant * load + preload) / stress_area
