"""Stress and yield torque of round shafts, and what a cross joint bears."""

from __future__ import annotations

from math import cos, pi

from knowledge.formulas._registry import formula
from shared.errors import NoSolution

DIAMETER = (0.003, 0.15)
BORE = (0.0, 0.14)
TORQUE = (0.0, 1e5)
STRESS = (1e7, 2.5e9)


@formula(valid={"diameter": DIAMETER, "bore": BORE}, rises=("diameter",), falls=("bore",))
def round_shaft_section_modulus(diameter: float, bore: float = 0.0) -> float:
    """Polar section modulus of a round shaft.

    pi (D^4 - d^4) / (16 D)

    Parameters
    ----------
    diameter : length [m]
        Outside diameter D, the smallest one along the shaft.
    bore : length [m]
        Bore d; 0 for a solid shaft.

    Returns
    -------
    section_modulus [m3]
        Torque per surface shear stress.

    Valid for
    ---------
    Round sections; for a spline take its minor diameter.

    References
    ----------
    Mechanics of materials, torsion of round bars.
    """
    if bore >= diameter:
        raise NoSolution(f"a shaft of {diameter * 1e3:.1f} mm cannot have a bore of {bore * 1e3:.1f} mm")
    return pi * (diameter**4 - bore**4) / (16 * diameter)


@formula(valid={"torque": TORQUE, "diameter": DIAMETER, "bore": BORE}, rises=("torque", "bore"), falls=("diameter",))
def shaft_shear_stress(torque: float, diameter: float, bore: float = 0.0) -> float:
    """Shear stress at the surface of a round shaft.

    T / W

    Parameters
    ----------
    torque : torque [N m]
        Torque in the shaft.
    diameter : length [m]
        Smallest outside diameter.
    bore : length [m]
        Bore; 0 for a solid shaft.

    Returns
    -------
    stress [Pa]
        Shear stress at the surface.

    Valid for
    ---------
    Below yield.

    References
    ----------
    Mechanics of materials, torsion of round bars.
    """
    return torque / round_shaft_section_modulus(diameter, bore)


@formula(
    valid={"diameter": DIAMETER, "yield_shear": STRESS, "bore": BORE},
    rises=("diameter", "yield_shear"),
    falls=("bore",),
)
def shaft_yield_torque(diameter: float, yield_shear: float, bore: float = 0.0) -> float:
    """Torque at which the surface of a round shaft begins to yield.

    W x yield stress in shear

    Parameters
    ----------
    diameter : length [m]
        Smallest outside diameter.
    yield_shear : stress [Pa]
        Yield stress in shear of the steel as hardened.
    bore : length [m]
        Bore; 0 for a solid shaft.

    Returns
    -------
    torque [N m]
        First yield; a shaft twists visibly some way above it.

    Valid for
    ---------
    Steady torque, no notch; fatigue and shock ask for more.

    References
    ----------
    Mechanics of materials, torsion of round bars.
    """
    return round_shaft_section_modulus(diameter, bore) * yield_shear


@formula(
    valid={"torque": TORQUE, "length": (0.0, 3.0), "diameter": DIAMETER, "shear_modulus": (2e10, 9e10)},
    rises=("torque", "length"),
    falls=("diameter", "shear_modulus"),
)
def shaft_twist(torque: float, length: float, diameter: float, shear_modulus: float) -> float:
    """Twist of a solid round shaft under torque.

    32 T L / (pi G d^4)

    Parameters
    ----------
    torque : torque [N m]
        Torque in the shaft.
    length : length [m]
        Length that twists.
    diameter : length [m]
        Diameter d.
    shear_modulus : stress [Pa]
        Shear modulus G, about 79 GPa for steel.

    Returns
    -------
    angle [rad]
        Springs back below yield; a chalk line that stays twisted shows it did not.

    Valid for
    ---------
    Below yield.

    References
    ----------
    Mechanics of materials, torsion of round bars.
    """
    return 32 * torque * length / (pi * shear_modulus * diameter**4)


@formula(valid={"torque": (1e-3, 1e5), "shear_stress": STRESS}, rises=("torque",), falls=("shear_stress",))
def shaft_diameter_needed(torque: float, shear_stress: float) -> float:
    """Smallest diameter of a solid shaft that keeps to a shear stress.

    d^3 = 16 T / (pi stress)

    Parameters
    ----------
    torque : torque [N m]
        Torque in the shaft.
    shear_stress : stress [Pa]
        Shear stress allowed.

    Returns
    -------
    length [m]
        Diameter.

    Valid for
    ---------
    Solid round shafts below yield.

    References
    ----------
    Mechanics of materials, torsion of round bars.
    """
    return float((16 * torque / (pi * shear_stress)) ** (1 / 3))


@formula(
    valid={
        "trunnion": (0.005, 0.06),
        "force_span": (0.02, 0.2),
        "load_arm": (0.001, 0.05),
        "yield_stress": STRESS,
        "yield_shear": STRESS,
        "angle": (0.0, 0.9),
    },
    rises=("trunnion", "force_span", "yield_stress", "yield_shear"),
    falls=("load_arm", "angle"),
)
def joint_capacity(
    trunnion: float,
    force_span: float,
    load_arm: float,
    yield_stress: float,
    yield_shear: float,
    angle: float = 0.0,
) -> float:
    """Torque at which the trunnions of a cross joint begin to yield, by bending at the root or by shear.

    cos(a) span min(yield pi d^3 / (32 arm), yield in shear 3 pi d^2 / 16)

    Parameters
    ----------
    trunnion : length [m]
        Trunnion diameter d at its root.
    force_span : length [m]
        Distance between the middles of two opposite needle rows.
    load_arm : length [m]
        From the middle of a needle row to the trunnion's root.
    yield_stress : stress [Pa]
        Yield stress in bending of the cross.
    yield_shear : stress [Pa]
        Yield stress in shear of the cross.
    angle : angle [rad]
        Working angle of the joint; the cross bears the torque over its cosine.

    Returns
    -------
    torque [N m]
        Torque in the driving shaft.

    Valid for
    ---------
    Needles that load the trunnion evenly; yoke ears and clips may give first.  Where the shaft torque already
    has 1/cos of the angle in it, leave the angle out here.

    References
    ----------
    Mechanics of materials: bending of a round cantilever, greatest shear of a round section 4/3 of the mean;
    moment on the cross T/cos(a) by equilibrium.
    """
    by_bending = yield_stress * pi * trunnion**3 / (32 * load_arm)
    by_shear = yield_shear * 3 * pi * trunnion**2 / 16
    return cos(angle) * force_span * min(by_bending, by_shear)


@formula(valid={"capacity": (0.0, 1e6), "demand": (1e-6, 1e6)}, rises=("capacity",), falls=("demand",))
def safety_factor(capacity: float, demand: float) -> float:
    """How many times the load can be borne.

    capacity / demand

    Parameters
    ----------
    capacity : torque [N m]
        What the part bears (or a force, when the demand is one).
    demand : torque [N m]
        What it is asked to bear.

    Returns
    -------
    ratio [1]
        Below 1 it yields.

    Valid for
    ---------
    Two values of one measure.

    References
    ----------
    Definition.
    """
    return capacity / demand
