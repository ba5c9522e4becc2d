"""The swinging shackle of a leaf spring, solved exactly where the circles of chord and shackle meet.

Side view in the body's frame: the fixed eye is the origin, x runs from it towards the shackle end, z upwards.  The
free eye lies on a circle of the chord's length about the origin and on one of the shackle's length about the
shackle's pivot; of the two crossings it takes the lower, the shackle hanging from its pivot.
"""

from __future__ import annotations

from math import acos, atan2, hypot, pi, sqrt

from knowledge.formulas._registry import formula
from shared.errors import NoSolution

EYE_DISTANCE = (0.03, 0.3)
CHORD = (0.5, 2.0)
PIVOT_X = (0.4, 2.2)
PIVOT_Z = (-0.3, 0.5)
SHARE = (0.0, 1.0)
TRIANGLE = {"eye_distance": EYE_DISTANCE, "chord": CHORD, "pivot_x": PIVOT_X, "pivot_z": PIVOT_Z}
CHANGE = {
    "new_eye_distance": EYE_DISTANCE,
    "stock_eye_distance": EYE_DISTANCE,
    "chord": CHORD,
    "pivot_x": PIVOT_X,
    "pivot_z": PIVOT_Z,
}


def _free_eye(eye_distance: float, chord: float, pivot_x: float, pivot_z: float) -> tuple[float, float]:
    """Place of the free eye: the lower crossing of the two circles."""
    span = hypot(pivot_x, pivot_z)
    if not abs(chord - eye_distance) <= span <= chord + eye_distance:
        raise NoSolution(
            f"a chord of {chord * 1e3:.1f} mm and a shackle of {eye_distance * 1e3:.1f} mm do not meet over "
            f"{span * 1e3:.1f} mm from fixed eye to pivot"
        )
    along = (span**2 + chord**2 - eye_distance**2) / (2 * span)
    below = sqrt(max(0.0, chord**2 - along**2))
    return (along * pivot_x + below * pivot_z) / span, (along * pivot_z - below * pivot_x) / span


@formula(valid={**TRIANGLE, "axle_fraction": SHARE}, rises=("eye_distance",))
def shackle_axle_height(
    eye_distance: float, chord: float, pivot_x: float, pivot_z: float, axle_fraction: float
) -> float:
    """How far the point of the chord over the axle lies below the fixed eye.

    Parameters
    ----------
    eye_distance : length [m]
        Centre to centre of the shackle.
    chord : length [m]
        Fixed eye to free eye in the state asked for.
    pivot_x : length [m]
        Of the shackle's pivot from the fixed eye, towards the shackle end.
    pivot_z : length [m]
        Of the shackle's pivot from the fixed eye, upwards.
    axle_fraction : share [1]
        Of the chord from the fixed eye to the centre pin.

    Returns
    -------
    length [m]
        Positive downwards; the arch of the leaf is not in it.

    Valid for
    ---------
    Any chord and shackle that meet.  The difference of two states, each with its own chord, is the exact lift.

    References
    ----------
    Plane geometry: two circles.
    """
    return -axle_fraction * _free_eye(eye_distance, chord, pivot_x, pivot_z)[1]


@formula(valid={**CHANGE, "axle_fraction": SHARE}, rises=("new_eye_distance",), falls=("stock_eye_distance",))
def shackle_lift(
    new_eye_distance: float,
    stock_eye_distance: float,
    chord: float,
    pivot_x: float,
    pivot_z: float,
    axle_fraction: float,
) -> float:
    """Lift at the axle from another shackle, all else unchanged.

    Parameters
    ----------
    new_eye_distance : length [m]
        Centre to centre of the shackle chosen.
    stock_eye_distance : length [m]
        Centre to centre of the stock shackle.
    chord : length [m]
        Fixed eye to free eye at ride.
    pivot_x : length [m]
        Of the shackle's pivot from the fixed eye, towards the shackle end.
    pivot_z : length [m]
        Of the shackle's pivot from the fixed eye, upwards.
    axle_fraction : share [1]
        Of the chord from the fixed eye to the centre pin.

    Returns
    -------
    length [m]
        Body up from the axle: near half the change of the shackle, exactly so only where it hangs square to a chord
        halved by the axle.

    Valid for
    ---------
    Load and arch of the leaf unchanged.

    References
    ----------
    Plane geometry: two circles.
    """
    new = shackle_axle_height(new_eye_distance, chord, pivot_x, pivot_z, axle_fraction)
    return new - shackle_axle_height(stock_eye_distance, chord, pivot_x, pivot_z, axle_fraction)


@formula(valid=CHANGE, rises=("new_eye_distance",), falls=("stock_eye_distance",))
def pinion_turn_from_shackle(
    new_eye_distance: float, stock_eye_distance: float, chord: float, pivot_x: float, pivot_z: float
) -> float:
    """Turn of the axle from another shackle: the chord turns about the fixed eye and the axle with it.

    Parameters
    ----------
    new_eye_distance : length [m]
        Centre to centre of the shackle chosen.
    stock_eye_distance : length [m]
        Centre to centre of the stock shackle.
    chord : length [m]
        Fixed eye to free eye at ride.
    pivot_x : length [m]
        Of the shackle's pivot from the fixed eye, towards the shackle end.
    pivot_z : length [m]
        Of the shackle's pivot from the fixed eye, upwards.

    Returns
    -------
    angle [rad]
        Positive: pinion nose up, the pinion pointing towards the fixed eye.

    Valid for
    ---------
    Load and arch of the leaf unchanged.

    References
    ----------
    Plane geometry: two circles.
    """
    new_x, new_z = _free_eye(new_eye_distance, chord, pivot_x, pivot_z)
    old_x, old_z = _free_eye(stock_eye_distance, chord, pivot_x, pivot_z)
    return atan2(old_z, old_x) - atan2(new_z, new_x)


@formula(valid=TRIANGLE, rises=("chord",), falls=("pivot_x",))
def shackle_angle(eye_distance: float, chord: float, pivot_x: float, pivot_z: float) -> float:
    """Lean of a shackle, with its sign.

    Parameters
    ----------
    eye_distance : length [m]
        Centre to centre of the shackle.
    chord : length [m]
        Fixed eye to free eye in the state asked for.
    pivot_x : length [m]
        Of the shackle's pivot from the fixed eye, towards the shackle end.
    pivot_z : length [m]
        Of the shackle's pivot from the fixed eye, upwards.

    Returns
    -------
    angle [rad]
        From plumb in the body's frame; positive with the free eye beyond the pivot, as it should be at ride.

    Valid for
    ---------
    Any chord and shackle that meet.

    References
    ----------
    Plane geometry: two circles.
    """
    x, z = _free_eye(eye_distance, chord, pivot_x, pivot_z)
    return atan2(x - pivot_x, pivot_z - z)


@formula(valid=TRIANGLE)
def shackle_angle_from_vertical(eye_distance: float, chord: float, pivot_x: float, pivot_z: float) -> float:
    """Lean of a shackle from plumb, whichever way.

    Parameters
    ----------
    eye_distance : length [m]
        Centre to centre of the shackle.
    chord : length [m]
        Fixed eye to free eye in the state asked for.
    pivot_x : length [m]
        Of the shackle's pivot from the fixed eye, towards the shackle end.
    pivot_z : length [m]
        Of the shackle's pivot from the fixed eye, upwards.

    Returns
    -------
    angle [rad]
        Never negative.

    Valid for
    ---------
    Any chord and shackle that meet.

    References
    ----------
    Plane geometry: two circles.
    """
    return abs(shackle_angle(eye_distance, chord, pivot_x, pivot_z))


@formula(valid=TRIANGLE)
def shackle_to_chord_angle(eye_distance: float, chord: float, pivot_x: float, pivot_z: float) -> float:
    """How far a shackle is from lying in line with the chord, where the spring could no longer lengthen.

    cos(angle at the free eye) = (c^2 + d^2 - p^2) / (2 c d)

    Parameters
    ----------
    eye_distance : length [m]
        Centre to centre of the shackle, d.
    chord : length [m]
        Fixed eye to free eye in the state asked for, c; longest when the leaf is flat.
    pivot_x : length [m]
        Of the shackle's pivot from the fixed eye, towards the shackle end.
    pivot_z : length [m]
        Of the shackle's pivot from the fixed eye, upwards.

    Returns
    -------
    angle [rad]
        Between the two lines, 0 in line to a right angle.

    Valid for
    ---------
    Any chord and shackle that meet.

    References
    ----------
    Law of cosines.
    """
    _free_eye(eye_distance, chord, pivot_x, pivot_z)
    cosine = (chord**2 + eye_distance**2 - pivot_x**2 - pivot_z**2) / (2 * chord * eye_distance)
    at_eye = acos(max(-1.0, min(1.0, cosine)))
    return min(at_eye, pi - at_eye)
