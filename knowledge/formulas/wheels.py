"""How a wheel is held: its bolt circle from what a tape can reach, and the thread its nuts engage."""

from __future__ import annotations

from math import pi, sin

from knowledge.formulas._registry import formula
from shared.errors import FormulaError

SPACING = (0.02, 0.2)  # m, between hole centres


def _whole(lugs: float) -> int:
    if int(lugs) != lugs:
        raise FormulaError(f"a wheel has a whole number of holes, not {lugs:g}")
    return int(lugs)


@formula(valid={"spacing": SPACING, "lugs": (3.0, 10.0)}, rises=("spacing", "lugs"))
def bolt_circle_from_adjacent(spacing: float, lugs: float) -> float:
    """Bolt circle from the spacing of two holes side by side.

    PCD = s / sin(pi / n)

    Parameters
    ----------
    spacing : length [m]
        Centre to centre of two adjacent holes.
    lugs : count [1]
        Number of holes n.

    Returns
    -------
    length [m]
        Bolt circle diameter.

    Valid for
    ---------
    Holes evenly spaced.

    References
    ----------
    Chord of a circle.
    """
    return spacing / sin(pi / _whole(lugs))


@formula(valid={"spacing": SPACING, "lugs": (4.0, 10.0)}, rises=("spacing", "lugs"))
def bolt_circle_from_alternate(spacing: float, lugs: float) -> float:
    """Bolt circle from the spacing of two holes with one between them.

    PCD = s / sin(2 pi / n)

    Parameters
    ----------
    spacing : length [m]
        Centre to centre of two holes, one hole apart.  With four holes this is the circle itself.
    lugs : count [1]
        Number of holes n.

    Returns
    -------
    length [m]
        Bolt circle diameter.

    Valid for
    ---------
    Holes evenly spaced.  Five holes: taking the spacing for the circle reads 4.9 % low.

    References
    ----------
    Chord of a circle.
    """
    return spacing / sin(2 * pi / _whole(lugs))


@formula(
    valid={
        "stud_length": (0.01, 0.15),
        "clamped_thickness": (0.0, 0.1),
        "nut_thread": (0.005, 0.06),
        "thread_diameter": (0.008, 0.025),
    },
    rises=("stud_length", "nut_thread"),
    falls=("clamped_thickness", "thread_diameter"),
)
def thread_engagement_ratio(
    stud_length: float, clamped_thickness: float, nut_thread: float, thread_diameter: float
) -> float:
    """Engaged thread of a wheel nut, in thread diameters.

    max(0, min(stud_length - clamped_thickness, nut_thread)) / d

    Parameters
    ----------
    stud_length : length [m]
        Stud standing out of the hub face.
    clamped_thickness : length [m]
        From the hub face to where the nut's thread begins: rotor hat, spacer, wheel at its seat.
    nut_thread : length [m]
        Threaded length of the nut.
    thread_diameter : length [m]
        Nominal thread diameter d.

    Returns
    -------
    ratio [1]
        At least 1 is common practice.

    Valid for
    ---------
    Steel studs and nuts, through nuts; a closed nut may bottom before.

    References
    ----------
    Geometry; the limit is common practice, no source.
    """
    return max(0.0, min(stud_length - clamped_thickness, nut_thread)) / thread_diameter
