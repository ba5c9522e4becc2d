"""What a leaf spring may not pass: its bending stress at ride and at metal."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from knowledge.formulas.leaf_pack import SECOND_MOMENT, THICKNESS
from knowledge.formulas.leaves import CLAMPED, HALF, LOAD, RATE, free_halves


@formula(
    valid={
        "load": LOAD,
        "front_half": HALF,
        "rear_half": HALF,
        "clamped_each_side": CLAMPED,
        "thickness": THICKNESS,
        "second_moment": SECOND_MOMENT,
    },
    rises=("load", "front_half", "rear_half", "thickness"),
    falls=("clamped_each_side", "second_moment"),
)
def leaf_stress(
    load: float,
    front_half: float,
    rear_half: float,
    clamped_each_side: float,
    thickness: float,
    second_moment: float,
) -> float:
    """Bending stress at the clamp of a leaf spring under a load.

    sigma = F a b / (a + b) (t / 2) / I

    Parameters
    ----------
    load : force [N]
        At the axle, one spring.
    front_half : length [m]
        Eye to centre pin along the chord, front.
    rear_half : length [m]
        Eye to centre pin along the chord, rear.
    clamped_each_side : length [m]
        Inactive length from the centre pin to the edge of the clamp.
    thickness : length [m]
        Of the thickest leaf, t.
    second_moment : second_moment [m4]
        Of the pack at the clamp, I.

    Returns
    -------
    stress [Pa]
        Nominal, the same in all equal leaves.

    Valid for
    ---------
    Leaves that bend together; braking wind-up and stress from assembly left out.

    References
    ----------
    Beam theory; SAE HS-788 (from memory).
    """
    a, b = free_halves(front_half, rear_half, clamped_each_side)
    return load * a * b / (a + b) * thickness / 2 / second_moment


@formula(
    valid={
        "load": LOAD,
        "rate": RATE,
        "metal_travel": (0.0, 0.4),
        "front_half": HALF,
        "rear_half": HALF,
        "clamped_each_side": CLAMPED,
        "thickness": THICKNESS,
        "second_moment": SECOND_MOMENT,
    },
    rises=("load", "rate", "metal_travel", "front_half", "rear_half", "thickness"),
    falls=("clamped_each_side", "second_moment"),
)
def leaf_stress_at_metal(
    load: float,
    rate: float,
    metal_travel: float,
    front_half: float,
    rear_half: float,
    clamped_each_side: float,
    thickness: float,
    second_moment: float,
) -> float:
    """Bending stress at the clamp of a leaf spring with the bump stop fully crushed.

    sigma = (F + k z) a b / (a + b) (t / 2) / I

    Parameters
    ----------
    load : force [N]
        At ride, one spring, F.
    rate : spring_rate [N/m]
        Of the spring, k.
    metal_travel : length [m]
        From this ride height to a fully crushed stop, z.
    front_half : length [m]
        Eye to centre pin along the chord, front.
    rear_half : length [m]
        Eye to centre pin along the chord, rear.
    clamped_each_side : length [m]
        Inactive length from the centre pin to the edge of the clamp.
    thickness : length [m]
        Of the thickest leaf, t.
    second_moment : second_moment [m4]
        Of the pack at the clamp, I.

    Returns
    -------
    stress [Pa]
        Nominal; about 1 000 MPa is the limit of common leaf steels.

    Valid for
    ---------
    One stage; the stop takes what is above.

    References
    ----------
    Beam theory; SAE HS-788 (from memory).
    """
    return leaf_stress(load + rate * metal_travel, front_half, rear_half, clamped_each_side, thickness, second_moment)
