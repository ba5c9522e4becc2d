"""Roll of a car on solid axles: stiffness of its springs in roll, how far it leans, what tips it, and axle twist."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from knowledge.formulas.axle_loads import STANDARD_GRAVITY
from shared.errors import NoSolution

RATE = (1e3, 1e6)
SPRING_BASE = (0.2, 2.0)
TRACK = (0.8, 2.5)
ROLL_STIFFNESS = (0.0, 1e6)
TRAVEL = (-0.5, 0.5)


@formula(
    valid={"rate": RATE, "spring_base": SPRING_BASE, "track": TRACK}, rises=("rate", "spring_base"), falls=("track",)
)
def roll_wheel_rate(rate: float, spring_base: float, track: float) -> float:
    """Rate at one wheel of a solid axle in roll, one wheel up as the other goes down.

    k_r = k (s / T)^2

    Parameters
    ----------
    rate : spring_rate [N/m]
        Of one spring.
    spring_base : length [m]
        Between the two springs of the axle, s.
    track : length [m]
        Between the wheels, T.

    Returns
    -------
    spring_rate [N/m]
        Softer than in bump as the square of the ratio.

    Valid for
    ---------
    Upright springs on a solid axle.

    References
    ----------
    Virtual work.
    """
    return rate * (spring_base / track) ** 2


@formula(
    valid={"rate": RATE, "spring_base": SPRING_BASE, "bar_stiffness": ROLL_STIFFNESS},
    rises=("rate", "spring_base", "bar_stiffness"),
)
def roll_stiffness(rate: float, spring_base: float, bar_stiffness: float) -> float:
    """Moment against roll that the springs and the anti-roll bar of an axle put up.

    K = k s^2 / 2 + K_bar

    Parameters
    ----------
    rate : spring_rate [N/m]
        Of one spring.
    spring_base : length [m]
        Between the two springs of the axle, s.
    bar_stiffness : torsion_rate [N m/rad]
        Of the anti-roll bar, body against axle; zero without one.

    Returns
    -------
    torsion_rate [N m/rad]
        Of the axle, tyres left out.

    Valid for
    ---------
    Upright springs on a solid axle.

    References
    ----------
    Statics: two springs at half the base each side.
    """
    return rate * spring_base**2 / 2 + bar_stiffness


@formula(
    valid={
        "sprung_mass": (100.0, 5000.0),
        "roll_arm": (0.0, 1.5),
        "front_stiffness": (1e3, 1e6),
        "rear_stiffness": (1e3, 1e6),
    },
    rises=("sprung_mass", "roll_arm"),
    falls=("front_stiffness", "rear_stiffness"),
)
def roll_gradient(sprung_mass: float, roll_arm: float, front_stiffness: float, rear_stiffness: float) -> float:
    """Lean of the body in a steady turn of one g.

    phi = m g h / (K_f + K_r - m g h)

    Parameters
    ----------
    sprung_mass : mass [kg]
        Of the body.
    roll_arm : length [m]
        From the roll axis up to the body's centre of gravity, h.
    front_stiffness : torsion_rate [N m/rad]
        Of the front axle in roll.
    rear_stiffness : torsion_rate [N m/rad]
        Of the rear axle in roll.

    Returns
    -------
    angle [rad]
        Per g of lateral acceleration, linear: real cars lean no further than their stops.

    Valid for
    ---------
    Small angles, tyres taken as rigid.

    References
    ----------
    Automotive Chassis Engineering (2018), eq. 3.18.
    """
    toppling = sprung_mass * STANDARD_GRAVITY * roll_arm
    held = front_stiffness + rear_stiffness - toppling
    if held <= 0:
        raise NoSolution(
            f"a body of {sprung_mass:g} kg {roll_arm * 1e3:g} mm above its roll axis is not held upright by "
            f"{front_stiffness + rear_stiffness:.0f} N m/rad"
        )
    return toppling / held


@formula(valid={"track": TRACK, "cg_height": (0.1, 3.0)}, rises=("track",), falls=("cg_height",))
def static_stability_factor(track: float, cg_height: float) -> float:
    """Lateral acceleration, in g, at which a rigid car would tip.

    SSF = T / (2 h)

    Parameters
    ----------
    track : length [m]
        Mean of front and rear, T.
    cg_height : length [m]
        Of the whole car above the ground, h.

    Returns
    -------
    ratio [1]
        Springs and tyres that give make the real figure lower.

    Valid for
    ---------
    Comparing cars and states of one car.

    References
    ----------
    NHTSA, Static Stability Factor (49 CFR part 575 rollover notices).
    """
    return track / (2 * cg_height)


@formula(
    valid={"near_travel": TRAVEL, "far_travel": TRAVEL, "spacing": (0.0, 2.0), "track": TRACK},
    rises=("near_travel",),
    one_way=("far_travel", "spacing", "track"),
)
def axle_point_travel(near_travel: float, far_travel: float, spacing: float, track: float) -> float:
    """Travel of a spring or damper end on a solid axle whose wheels move unlike.

    z = (z_near + z_far) / 2 + (z_near - z_far) s / (2 T)

    Parameters
    ----------
    near_travel : length [m]
        Of the wheel on the point's side, positive in droop.
    far_travel : length [m]
        Of the other wheel, positive in droop.
    spacing : length [m]
        Between the point and its fellow on the other side, s; not beyond the track.
    track : length [m]
        Between the wheels, T.

    Returns
    -------
    length [m]
        Positive in droop.

    Valid for
    ---------
    A straight axle, the twist small enough to leave its lean out.

    References
    ----------
    Plane geometry: a straight line between the wheels.
    """
    return (near_travel + far_travel) / 2 + (near_travel - far_travel) * spacing / (2 * track)
