"""Foundation brakes: torque and force at the wheel from line pressure.

Torque per pressure is that of one wheel; an axle has two alike.
"""

from __future__ import annotations

from knowledge.formulas._registry import formula
from knowledge.formulas.hydraulics import bore_area

PRESSURE = (0.0, 30e6)  # Pa
TORQUE_PER_PRESSURE = (0.0, 5e-3)  # N m/Pa, one wheel
THRESHOLD = (0.0, 2e6)  # Pa
LOADED_RADIUS = (0.2, 0.7)  # m


@formula(
    valid={
        "piston_diameter": (0.01, 0.1),
        "pistons": (1.0, 6.0),
        "friction": (0.05, 0.8),
        "effective_radius": (0.05, 0.25),
    },
    rises=("piston_diameter", "pistons", "friction", "effective_radius"),
)
def disc_torque_per_pressure(piston_diameter: float, pistons: float, friction: float, effective_radius: float) -> float:
    """Torque of one disc brake per line pressure.

    2 mu n A r_e

    Parameters
    ----------
    piston_diameter : length [m]
        Diameter of a piston.
    pistons : count [1]
        Pistons that press on one pad: those of one side only, 1 for an opposed pair.
    friction : ratio [1]
        Friction of pad on rotor, 0.35 to 0.42 for common pads.
    effective_radius : length [m]
        From the axle's centre to the middle of the pad.

    Returns
    -------
    torque_per_pressure [N m/Pa]
        Times pressure: torque at one wheel.

    Valid for
    ---------
    Sliding and opposed calipers with pistons of one size.

    References
    ----------
    Braking texts (Limpert, Brake Design and Safety); friction common practice, no source.
    """
    return 2 * friction * pistons * bore_area(piston_diameter) * effective_radius


@formula(
    valid={"cylinder_bore": (0.01, 0.05), "factor": (0.5, 10.0), "drum_radius": (0.07, 0.25)},
    rises=("cylinder_bore", "factor", "drum_radius"),
)
def drum_torque_per_pressure(cylinder_bore: float, factor: float, drum_radius: float) -> float:
    """Torque of one drum brake per line pressure above its threshold.

    A C* r

    Parameters
    ----------
    cylinder_bore : length [m]
        Bore of the wheel cylinder.
    factor : ratio [1]
        Brake factor C*: 1.9 to 2.5 for leading and trailing shoes, 3 to 6 for duo-servo.
    drum_radius : length [m]
        Half the drum's inside diameter.

    Returns
    -------
    torque_per_pressure [N m/Pa]
        Times pressure above the threshold: torque at one wheel.

    Valid for
    ---------
    One double-ended cylinder for both shoes.

    References
    ----------
    Braking texts (Limpert, Brake Design and Safety); factors common practice, no source.
    """
    return bore_area(cylinder_bore) * factor * drum_radius


@formula(
    valid={"rotor_diameter": (0.15, 0.45), "pad_height": (0.02, 0.09)},
    rises=("rotor_diameter",),
    falls=("pad_height",),
)
def disc_effective_radius(rotor_diameter: float, pad_height: float) -> float:
    """Effective radius of a disc brake whose pad reaches to the rotor's edge.

    (rotor_diameter - pad_height) / 2

    Parameters
    ----------
    rotor_diameter : length [m]
        Outside diameter of the rotor.
    pad_height : length [m]
        Radial height of the friction face.

    Returns
    -------
    length [m]
        Radius at which the friction force acts, taken at the middle of the pad.

    Valid for
    ---------
    Even pad pressure; uneven wear moves it by 1 to 2 %.

    References
    ----------
    Geometry; the mean radius is common practice, no source.
    """
    return (rotor_diameter - pad_height) / 2


@formula(valid={"friction": (0.05, 0.8)}, rises=("friction",))
def disc_brake_factor(friction: float) -> float:
    """Drag at a disc's effective radius over the clamp force of one side.

    C* = 2 mu

    Parameters
    ----------
    friction : ratio [1]
        Friction of pad on rotor.

    Returns
    -------
    ratio [1]
        To be compared with a drum's factor.

    Valid for
    ---------
    Two pads.

    References
    ----------
    Braking texts (Limpert, Brake Design and Safety).
    """
    return 2 * friction


@formula(
    valid={"pressure": PRESSURE, "torque_per_pressure": TORQUE_PER_PRESSURE, "threshold": THRESHOLD},
    rises=("pressure", "torque_per_pressure"),
    falls=("threshold",),
)
def wheel_brake_torque(pressure: float, torque_per_pressure: float, threshold: float) -> float:
    """Braking torque at one wheel.

    max(0, p - p0) c

    Parameters
    ----------
    pressure : pressure [Pa]
        Pressure at this brake, behind the valve.
    torque_per_pressure : torque_per_pressure [N m/Pa]
        From ``disc_torque_per_pressure`` or ``drum_torque_per_pressure``.
    threshold : pressure [Pa]
        Pressure p0 that the shoes' return springs hold back; 0 for a disc.

    Returns
    -------
    torque [N m]
        Torque at the wheel.

    Valid for
    ---------
    Wheels that still turn.

    References
    ----------
    Braking texts (Limpert, Brake Design and Safety).
    """
    return max(0.0, pressure - threshold) * torque_per_pressure


@formula(valid={"torque": (0.0, 20e3), "loaded_radius": LOADED_RADIUS}, rises=("torque",), falls=("loaded_radius",))
def brake_force(torque: float, loaded_radius: float) -> float:
    """Braking force at the road from the torque at the wheel.

    F = T / r

    Parameters
    ----------
    torque : torque [N m]
        Braking torque.
    loaded_radius : length [m]
        Height of the wheel's centre above the road.

    Returns
    -------
    force [N]
        Force at the road.

    Valid for
    ---------
    Wheels that still turn; their inertia is left out.

    References
    ----------
    Lever.
    """
    return torque / loaded_radius
