"""Diameters of involute splines from their tooth count.

``module`` is the pitch diameter per tooth: 25.4 mm / 24 = 1.0583 mm for the common 24/48 axle spline, the
module itself for a metric one.
"""

from __future__ import annotations

from knowledge.formulas._registry import formula

TEETH = (6.0, 60.0)
MODULE = (0.0003, 0.006)  # m


@formula(valid={"teeth": TEETH, "module": MODULE}, rises=("teeth", "module"))
def spline_pitch_diameter(teeth: float, module: float) -> float:
    """Pitch diameter of an involute spline.

    N m

    Parameters
    ----------
    teeth : count [1]
        Number of teeth N.
    module : length [m]
        Pitch diameter per tooth m, which is 1/P.

    Returns
    -------
    length [m]
        Pitch diameter.

    Valid for
    ---------
    Involute splines, any pressure angle.

    References
    ----------
    ANSI B92.1, D = N/P (from memory).
    """
    return teeth * module


@formula(valid={"teeth": TEETH, "module": MODULE}, rises=("teeth", "module"))
def spline_major_diameter(teeth: float, module: float) -> float:
    """Basic major (outside) diameter of an external involute spline.

    (N + 1) m

    Parameters
    ----------
    teeth : count [1]
        Number of teeth N.
    module : length [m]
        Pitch diameter per tooth m, which is 1/P.

    Returns
    -------
    length [m]
        Basic size; a used shaft measures 0.1 to 0.2 mm under it.

    Valid for
    ---------
    Side-fit splines of 30 deg pressure angle.

    References
    ----------
    ANSI B92.1, Do = (N + 1)/P (from memory); ISO 4156, m (Z + 1).
    """
    return (teeth + 1) * module


@formula(valid={"teeth": TEETH, "module": MODULE}, rises=("teeth", "module"))
def spline_minor_diameter(teeth: float, module: float) -> float:
    """Basic minor (root) diameter of an external involute spline with a flat root.

    (N - 1.35) m

    Parameters
    ----------
    teeth : count [1]
        Number of teeth N.
    module : length [m]
        Pitch diameter per tooth m, which is 1/P.

    Returns
    -------
    length [m]
        Basic size; tolerance and undercut make it smaller.

    Valid for
    ---------
    Splines of 30 deg pressure angle, flat root.

    References
    ----------
    ANSI B92.1, Dre = (N - 1.35)/P (from memory).
    """
    return (teeth - 1.35) * module


@formula(valid={"teeth": TEETH, "outside": (0.005, 0.2)}, rises=("outside",), falls=("teeth",))
def spline_module(teeth: float, outside: float) -> float:
    """Module of a spline from its count and its measured outside diameter.

    Do / (N + 1)

    Parameters
    ----------
    teeth : count [1]
        Teeth counted, twice.
    outside : length [m]
        Outside diameter by caliper.

    Returns
    -------
    length [m]
        Pitch diameter per tooth; 1.058 mm says 24/48, 0.794 mm 32/64, 1.588 mm 16/32.

    Valid for
    ---------
    Side-fit splines of 30 deg pressure angle; a worn or turned-down outside reads low.

    References
    ----------
    ANSI B92.1, Do = (N + 1)/P (from memory), solved for 1/P.
    """
    return outside / (teeth + 1)
