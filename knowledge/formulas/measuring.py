"""From what a person can read at a car in a yard to the attribute that decides.

Level readings are of a phone laid on the part, less the reading on the sill, which takes the ground's slope out.
Coils are read by coil_mean_diameter and coil_active_coils of the springs.
"""

from __future__ import annotations

from math import asin, atan, pi

from knowledge.formulas._registry import formula
from shared.errors import NoSolution

DIAMETER = (0.001, 0.4)
READING = (-1.2, 1.2)


@formula(valid={"diameter": DIAMETER}, rises=("diameter",))
def circle_area(diameter: float) -> float:
    """Area of a bore or a piston from its diameter.

    pi d^2 / 4

    Parameters
    ----------
    diameter : length [m]
        Diameter by caliper.

    Returns
    -------
    area [m2]
        Area of one piston.

    Valid for
    ---------
    Round bores.

    References
    ----------
    Area of a circle.
    """
    return pi * diameter * diameter / 4


@formula(valid={"around": (0.003, 1.3)}, rises=("around",))
def diameter_from_girth(around: float) -> float:
    """Diameter of a tube or coil from a tape laid around it.

    girth / pi

    Parameters
    ----------
    around : length [m]
        Length of tape once around.

    Returns
    -------
    length [m]
        Outside diameter; 1 mm of tape is 0.3 mm of diameter.

    Valid for
    ---------
    Round parts, tape lying flat.

    References
    ----------
    Circumference of a circle.
    """
    return around / pi


@formula(valid={"reading": READING, "sill_reading": (-0.6, 0.6)}, rises=("reading",), falls=("sill_reading",))
def inclination_from_level(reading: float, sill_reading: float) -> float:
    """Inclination of a part to the car from two level readings.

    reading - sill reading

    Parameters
    ----------
    reading : angle [rad]
        Level on the shaft, the pinion or the knuckle.
    sill_reading : angle [rad]
        The same level on the sill, the same way round.

    Returns
    -------
    angle [rad]
        In the level's own sense.

    Valid for
    ---------
    One level, not turned end for end between the two; a phone reads to about 0.5 deg (common practice, no source).

    References
    ----------
    Angles about one line add.
    """
    return reading - sill_reading


@formula(valid={"one_reading": READING, "other_reading": READING})
def joint_angle_from_level(one_reading: float, other_reading: float) -> float:
    """Side-view angle at a joint from level readings on the two shafts it joins.

    abs(one - other)

    Parameters
    ----------
    one_reading : angle [rad]
        Level on one shaft.
    other_reading : angle [rad]
        Level on the other shaft, the same way round.

    Returns
    -------
    angle [rad]
        Never negative; the slope of the ground falls out.

    Valid for
    ---------
    Readings on the same side, the level not turned end for end.

    References
    ----------
    Plane geometry.
    """
    return abs(one_reading - other_reading)


@formula(valid={"reading": (-pi, pi), "square_off": (0.0, pi)}, rises=("reading",), falls=("square_off",))
def inclination_from_face(reading: float, square_off: float) -> float:
    """Inclination of a pinion or output from a level on a face that stands across its axis.

    reading - angle between face and axis

    Parameters
    ----------
    reading : angle [rad]
        Level on the flange or yoke face, less the sill's reading.
    square_off : angle [rad]
        Angle between that face and the axis: 90 deg for a flange.

    Returns
    -------
    angle [rad]
        Inclination of the axis in the level's own sense.

    Valid for
    ---------
    A machined face.

    References
    ----------
    Plane geometry.
    """
    return reading - square_off


@formula(
    valid={"height_difference": (-0.6, 0.6), "length": (0.05, 3.0)}, rises=("height_difference",), one_way=("length",)
)
def inclination_from_heights(height_difference: float, length: float) -> float:
    """Inclination of a bar or shaft from the heights of its two ends over a level floor.

    asin(difference / length)

    Parameters
    ----------
    height_difference : length [m]
        Height of one end less that of the other, by tape.
    length : length [m]
        Length between the two points, along the bar.

    Returns
    -------
    angle [rad]
        Positive with the first end high.

    Valid for
    ---------
    A level floor.

    References
    ----------
    Plane geometry.
    """
    if abs(height_difference) > length:
        raise NoSolution(
            f"a bar of {length * 1e3:.0f} mm cannot have ends {abs(height_difference) * 1e3:.0f} mm apart in height"
        )
    return asin(height_difference / length)


@formula(valid={"gap": (0.0, 0.05), "length": (0.05, 2.0)}, rises=("gap",), falls=("length",))
def angle_from_gap(gap: float, length: float) -> float:
    """Angle between a face and a straight string or edge that touches it at one end.

    atan(gap / length)

    Parameters
    ----------
    gap : length [m]
        Gap at the far end.
    length : length [m]
        From the touching end to the gap.

    Returns
    -------
    angle [rad]
        Bend of an axle tube's end, or of a link.

    Valid for
    ---------
    A tight string.

    References
    ----------
    Plane geometry.
    """
    return atan(gap / length)
