"""Who carries what: axle masses, sprung loads, and where the centre of gravity goes when things are added or lifted."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from shared.errors import NoSolution

STANDARD_GRAVITY = 9.80665
"""Standard acceleration of free fall, m/s2 (3rd CGPM, 1901)."""

MASS = (50.0, 5000.0)
UNSPRUNG = (0.0, 800.0)
HEIGHT = (0.1, 3.0)
LIFT = (-0.3, 0.5)
WHEELBASE = (1.0, 6.0)
SHARE = (0.0, 1.0)


@formula(valid={"axle_mass": MASS, "unsprung_mass": UNSPRUNG}, rises=("axle_mass",), falls=("unsprung_mass",))
def sprung_corner_mass(axle_mass: float, unsprung_mass: float) -> float:
    """Mass one spring of an axle carries.

    m = (m_axle - m_unsprung) / 2

    Parameters
    ----------
    axle_mass : mass [kg]
        What both wheels of the axle stand on the ground with.
    unsprung_mass : mass [kg]
        What moves with the wheels: axle, wheels, brakes, and half of links and springs.

    Returns
    -------
    mass [kg]
        Sprung mass per corner.

    Valid for
    ---------
    A car loaded alike left and right.

    References
    ----------
    Statics.
    """
    sprung = axle_mass - unsprung_mass
    if sprung <= 0:
        raise NoSolution(f"an axle load of {axle_mass:g} kg leaves nothing sprung above {unsprung_mass:g} kg unsprung")
    return sprung / 2


@formula(valid={"axle_mass": MASS, "unsprung_mass": UNSPRUNG}, rises=("axle_mass",), falls=("unsprung_mass",))
def sprung_corner_load(axle_mass: float, unsprung_mass: float) -> float:
    """Load one spring of an axle carries, at the wheel.

    F = (m_axle - m_unsprung) g / 2

    Parameters
    ----------
    axle_mass : mass [kg]
        What both wheels of the axle stand on the ground with.
    unsprung_mass : mass [kg]
        What moves with the wheels: axle, wheels, brakes, and half of links and springs.

    Returns
    -------
    force [N]
        Sprung load per corner, with standard gravity.

    Valid for
    ---------
    A car loaded alike left and right, level.

    References
    ----------
    Statics; g = 9.80665 m/s2 (NIST SP 811, from memory).
    """
    return sprung_corner_mass(axle_mass, unsprung_mass) * STANDARD_GRAVITY


@formula(
    valid={
        "axle_mass": MASS,
        "added_mass": (-500.0, 1500.0),
        "distance_behind_front": (-2.0, 6.0),
        "wheelbase": WHEELBASE,
    },
    rises=("axle_mass",),
    one_way=("added_mass", "distance_behind_front", "wheelbase"),
)
def front_axle_mass_with_load(
    axle_mass: float, added_mass: float, distance_behind_front: float, wheelbase: float
) -> float:
    """Front axle load after something was put on the car (or taken off it).

    m' = m + a (1 - x / L)

    Parameters
    ----------
    axle_mass : mass [kg]
        On the front axle before.
    added_mass : mass [kg]
        Put on; negative for what was taken off.
    distance_behind_front : length [m]
        Of the added mass, x; negative ahead of the front axle.
    wheelbase : length [m]
        L.

    Returns
    -------
    mass [kg]
        A winch ahead of the axle adds more than its own mass here.

    Valid for
    ---------
    Level ground.

    References
    ----------
    Statics: moments about the rear axle.
    """
    return axle_mass + added_mass * (1 - distance_behind_front / wheelbase)


@formula(
    valid={
        "axle_mass": MASS,
        "added_mass": (-500.0, 1500.0),
        "distance_behind_front": (-2.0, 6.0),
        "wheelbase": WHEELBASE,
    },
    rises=("axle_mass",),
    one_way=("added_mass", "distance_behind_front", "wheelbase"),
)
def rear_axle_mass_with_load(
    axle_mass: float, added_mass: float, distance_behind_front: float, wheelbase: float
) -> float:
    """Rear axle load after something was put on the car (or taken off it).

    m' = m + a x / L

    Parameters
    ----------
    axle_mass : mass [kg]
        On the rear axle before.
    added_mass : mass [kg]
        Put on; negative for what was taken off.
    distance_behind_front : length [m]
        Of the added mass, x; negative ahead of the front axle.
    wheelbase : length [m]
        L.

    Returns
    -------
    mass [kg]
        Less than before when the mass hangs ahead of the front axle.

    Valid for
    ---------
    Level ground.

    References
    ----------
    Statics: moments about the front axle.
    """
    return axle_mass + added_mass * distance_behind_front / wheelbase


@formula(
    valid={"mass": MASS, "cg_height": HEIGHT, "added_mass": (-500.0, 1500.0), "added_height": (0.0, 4.0)},
    rises=("cg_height",),
    one_way=("mass", "added_mass", "added_height"),
)
def cg_height_with_mass(mass: float, cg_height: float, added_mass: float, added_height: float) -> float:
    """Height of the centre of gravity after something was put on the car (or taken off it).

    h' = (m h + a h_a) / (m + a)

    Parameters
    ----------
    mass : mass [kg]
        Before.
    cg_height : length [m]
        Above the ground before.
    added_mass : mass [kg]
        Put on; negative for what was taken off.
    added_height : length [m]
        Of the added mass above the ground.

    Returns
    -------
    length [m]
        Above the ground, the springs' settling not counted.

    Valid for
    ---------
    Any rigid load.

    References
    ----------
    Statics.
    """
    whole = mass + added_mass
    if whole <= 0:
        raise NoSolution(f"{-added_mass:g} kg cannot be taken off a car of {mass:g} kg")
    return (mass * cg_height + added_mass * added_height) / whole


@formula(
    valid={"mass": MASS, "cg_height": HEIGHT, "unsprung_mass": UNSPRUNG, "unsprung_cg_height": (0.1, 1.0)},
    rises=("cg_height",),
    falls=("unsprung_cg_height",),
    one_way=("mass", "unsprung_mass"),
)
def sprung_cg_height(mass: float, cg_height: float, unsprung_mass: float, unsprung_cg_height: float) -> float:
    """Height of the centre of gravity of the body alone.

    h_s = (m h - m_u h_u) / (m - m_u)

    Parameters
    ----------
    mass : mass [kg]
        Of the whole car.
    cg_height : length [m]
        Of the whole car above the ground.
    unsprung_mass : mass [kg]
        Of both axles with all that moves with them.
    unsprung_cg_height : length [m]
        Near the wheel centres.

    Returns
    -------
    length [m]
        Above the ground.

    Valid for
    ---------
    Rest at ride height.

    References
    ----------
    Statics.
    """
    sprung = mass - unsprung_mass
    if sprung <= 0:
        raise NoSolution(f"a car of {mass:g} kg has no body above {unsprung_mass:g} kg unsprung")
    return (mass * cg_height - unsprung_mass * unsprung_cg_height) / sprung


@formula(valid={"mass": MASS, "unsprung_mass": UNSPRUNG}, rises=("mass",), falls=("unsprung_mass",))
def sprung_fraction(mass: float, unsprung_mass: float) -> float:
    """Share of a car's mass that its springs carry.

    s = 1 - m_u / m

    Parameters
    ----------
    mass : mass [kg]
        Of the whole car, m.
    unsprung_mass : mass [kg]
        Of both axles with all that moves with them, m_u.

    Returns
    -------
    share [1]
        What rises when the springs lift the body.

    Valid for
    ---------
    Some mass on the springs.

    References
    ----------
    Statics.
    """
    if unsprung_mass >= mass:
        raise NoSolution(f"a car of {mass:g} kg has no body above {unsprung_mass:g} kg unsprung")
    return 1 - unsprung_mass / mass


@formula(
    valid={"lift_front": LIFT, "lift_rear": LIFT, "sprung_front_share": SHARE},
    rises=("lift_front", "lift_rear"),
    one_way=("sprung_front_share",),
)
def body_lift(lift_front: float, lift_rear: float, sprung_front_share: float) -> float:
    """How far the body's own centre of gravity rises when springs lift the two ends.

    l = q lift_f + (1 - q) lift_r

    Parameters
    ----------
    lift_front : length [m]
        Body from axle, front.
    lift_rear : length [m]
        Body from axle, rear.
    sprung_front_share : share [1]
        Of the sprung mass on the front springs, q: how near its centre lies to the front axle.

    Returns
    -------
    length [m]
        Between the two lifts.

    Valid for
    ---------
    Lifts small against the wheelbase.

    References
    ----------
    Statics.
    """
    return sprung_front_share * lift_front + (1 - sprung_front_share) * lift_rear


@formula(
    valid={"cg_height": HEIGHT, "sprung_fraction": SHARE, "body_lift": LIFT, "tyre_rise": (-0.2, 0.3)},
    rises=("cg_height", "body_lift", "tyre_rise"),
    one_way=("sprung_fraction",),
)
def cg_height_lifted(cg_height: float, sprung_fraction: float, body_lift: float, tyre_rise: float) -> float:
    """Height of the centre of gravity of a car lifted by springs and by tyres.

    h' = h + r + s l

    Parameters
    ----------
    cg_height : length [m]
        Before, above the ground, h.
    sprung_fraction : share [1]
        Of the car's mass on its springs, s.
    body_lift : length [m]
        Of the body's own centre of gravity from the axles, l.
    tyre_rise : length [m]
        Of both axles by taller tyres: change of loaded radius, r.

    Returns
    -------
    length [m]
        The body rises by both, the axles by the tyres alone.

    Valid for
    ---------
    Lifts small against the wheelbase; the same tyres front and rear.

    References
    ----------
    Statics.
    """
    return cg_height + tyre_rise + sprung_fraction * body_lift
