"""Where the shackle of a leaf spring is pivoted on the body, from what can be measured at ride."""

from __future__ import annotations

from math import cos, sin

from knowledge.formulas._registry import formula
from knowledge.formulas.shackles import CHORD, EYE_DISTANCE


@formula(
    valid={
        "eye_distance": EYE_DISTANCE,
        "shackle_angle": (-0.8, 1.2),
        "chord": CHORD,
        "chord_slope": (-0.3, 0.3),
    },
    rises=("chord",),
    falls=("shackle_angle",),
)
def shackle_pivot_x(eye_distance: float, shackle_angle: float, chord: float, chord_slope: float) -> float:
    """Place of the shackle's pivot along the car, from what can be measured at ride.

    x = c cos(slope) - d sin(angle)

    Parameters
    ----------
    eye_distance : length [m]
        Centre to centre of the shackle, d.
    shackle_angle : angle [rad]
        Lean from plumb at ride, positive with the free eye beyond the pivot (away from the fixed eye).
    chord : length [m]
        Fixed eye to free eye at ride, c.
    chord_slope : angle [rad]
        Of the chord, positive when it falls towards the shackle.

    Returns
    -------
    length [m]
        From the fixed eye towards the shackle end.

    Valid for
    ---------
    A shackle that hangs from its pivot.

    References
    ----------
    Plane geometry.
    """
    return chord * cos(chord_slope) - eye_distance * sin(shackle_angle)


@formula(
    valid={
        "eye_distance": EYE_DISTANCE,
        "shackle_angle": (-0.8, 1.2),
        "chord": CHORD,
        "chord_slope": (-0.3, 0.3),
    },
    rises=("eye_distance",),
    falls=("chord_slope",),
)
def shackle_pivot_z(eye_distance: float, shackle_angle: float, chord: float, chord_slope: float) -> float:
    """Height of the shackle's pivot above the fixed eye, from what can be measured at ride.

    z = d cos(angle) - c sin(slope)

    Parameters
    ----------
    eye_distance : length [m]
        Centre to centre of the shackle, d.
    shackle_angle : angle [rad]
        Lean from plumb at ride, positive with the free eye beyond the pivot (away from the fixed eye).
    chord : length [m]
        Fixed eye to free eye at ride, c.
    chord_slope : angle [rad]
        Of the chord, positive when it falls towards the shackle.

    Returns
    -------
    length [m]
        Upwards from the fixed eye.

    Valid for
    ---------
    A shackle that hangs from its pivot.

    References
    ----------
    Plane geometry.
    """
    return eye_distance * cos(shackle_angle) - chord * sin(chord_slope)
