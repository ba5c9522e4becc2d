"""Stopping distances, and the limits the regulations set."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from knowledge.formulas.axle_loads import STANDARD_GRAVITY
from knowledge.standards import KMH, stopping_distance_table
from shared.errors import FormulaError, NoSolution

SPEED = (0.0, 100.0)  # m/s
DECELERATION = (0.1, 12.0)  # m/s2


def _rule(rule: str) -> tuple[float, float]:
    if rule not in stopping_distance_table():
        raise FormulaError(f"rule is one of {', '.join(stopping_distance_table())}, not {rule!r}")
    return stopping_distance_table()[rule]


@formula(valid={"speed": SPEED, "deceleration": DECELERATION}, rises=("speed",), falls=("deceleration",))
def stopping_distance(speed: float, deceleration: float) -> float:
    """Distance to stand still at an even deceleration.

    v2 / (2 a)

    Parameters
    ----------
    speed : speed [m/s]
        Speed at which the brakes bite.
    deceleration : acceleration [m/s2]
        Deceleration.

    Returns
    -------
    distance [m]
        Without the driver's reaction and the brakes' rise.

    Valid for
    ---------
    Level road.

    References
    ----------
    Kinematics.
    """
    return speed * speed / (2 * deceleration)


@formula(valid={"speed": SPEED, "distance": (0.5, 2000.0)}, rises=("speed",), falls=("distance",))
def deceleration_to_stop_in(speed: float, distance: float) -> float:
    """Even deceleration that stops the car within a distance.

    v2 / (2 s)

    Parameters
    ----------
    speed : speed [m/s]
        Speed at which the brakes bite.
    distance : distance [m]
        Distance to stand still.

    Returns
    -------
    acceleration [m/s2]
        Deceleration.

    Valid for
    ---------
    Level road.

    References
    ----------
    Kinematics.
    """
    return speed * speed / (2 * distance)


@formula(
    valid={"begin_speed": SPEED, "end_speed": SPEED, "distance": (0.5, 2000.0)},
    rises=("begin_speed",),
    falls=("end_speed",),
)
def mean_fully_developed_deceleration(begin_speed: float, end_speed: float, distance: float) -> float:
    """Mean fully developed deceleration between two speeds of a stop.

    d_m = (v_b2 - v_e2) / (2 s), v_b and v_e at 0.8 and 0.1 of the speed the stop began with

    Parameters
    ----------
    begin_speed : speed [m/s]
        0.8 of the starting speed.
    end_speed : speed [m/s]
        0.1 of the starting speed.
    distance : distance [m]
        Driven between the two.

    Returns
    -------
    acceleration [m/s2]
        Mean fully developed deceleration.

    Valid for
    ---------
    begin_speed at or above end_speed.

    References
    ----------
    UN R13 annex 4 1.1.2 (read): 25.92 there is 2 x 3.6 x 3.6, for km/h.
    """
    if begin_speed < end_speed:
        raise NoSolution(f"a stop that begins at {begin_speed:.1f} m/s does not pass {end_speed:.1f} m/s")
    return (begin_speed * begin_speed - end_speed * end_speed) / (2 * distance)


@formula(valid={"speed": SPEED}, rises=("speed",))
def regulation_stopping_distance(speed: float, rule: str) -> float:
    """Stopping distance a regulation allows from a speed.

    S = a V + c V2, V in km/h, S in m

    Parameters
    ----------
    speed : speed [m/s]
        Speed the stop begins with.
    rule : word
        "m1_service", "m1_partial_failure" (a circuit or the booster lost), "m1_secondary", "m2_m3_secondary",
        "n_service" or "n_secondary".

    Returns
    -------
    distance [m]
        Longest distance allowed, with the rise of the brakes in it.

    Valid for
    ---------
    The test speeds of the regulation; 100 km/h for cars.

    References
    ----------
    Table knowledge/standards/stopping_distance.csv: UN R13 annex 4, UN R13-H annex 3, 49 CFR 571.135.
    """
    a, c = _rule(rule)
    kmh = speed / KMH
    return a * kmh + c * kmh * kmh


@formula()
def regulation_deceleration(rule: str) -> float:
    """Deceleration a regulation's stopping distance implies once the brakes have risen.

    d_m = 1 / (25.92 c)

    Parameters
    ----------
    rule : word
        As for ``regulation_stopping_distance``.

    Returns
    -------
    acceleration [m/s2]
        6.43 for a car's service brake.

    Valid for
    ---------
    Every rule of the table.

    References
    ----------
    UN R13 annex 4 (relation read, coefficients as the table says).
    """
    return KMH * KMH / (2 * _rule(rule)[1])


@formula(valid={"deceleration": (0.0, 12.0)}, rises=("deceleration",))
def braking_rate(deceleration: float) -> float:
    """Deceleration as a share of gravity, which inspections call efficiency.

    z = a / g

    Parameters
    ----------
    deceleration : acceleration [m/s2]
        Deceleration.

    Returns
    -------
    share [1]
        0.58 for 58 %.

    Valid for
    ---------
    Level road.

    References
    ----------
    Definition, g = 9.80665 m/s2.
    """
    return deceleration / STANDARD_GRAVITY


@formula(valid={"braking_rate": (0.0, 1.2)}, rises=("braking_rate",))
def deceleration_of_rate(braking_rate: float) -> float:
    """Deceleration from a braking rate or an inspection's efficiency.

    a = z g

    Parameters
    ----------
    braking_rate : share [1]
        0.58 for 58 %.

    Returns
    -------
    acceleration [m/s2]
        Deceleration.

    Valid for
    ---------
    Level road.

    References
    ----------
    Definition, g = 9.80665 m/s2.
    """
    return braking_rate * STANDARD_GRAVITY
