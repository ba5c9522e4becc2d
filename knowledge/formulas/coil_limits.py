"""What a coil spring may not pass: its solid length, the room above it, and its stress."""

from __future__ import annotations

from math import pi

from knowledge.formulas._registry import formula
from knowledge.formulas.springs import COILS, LENGTH, LOAD, MEAN_DIAMETER, WIRE, spring_index
from shared.errors import FormulaError

# Turns of wire that the solid length amounts to beyond the total coils: EN 13906-1:2013, 9.10 (from memory; the
# hot-coiled ground figure was also read in a program written to that clause).
END_TURNS = {"hot_unground": 1.1, "hot_ground": -0.3, "cold_unground": 1.5, "cold_ground": 0.0}


@formula(valid={"wire": WIRE, "total_coils": COILS}, rises=("wire", "total_coils"))
def coil_solid_length(wire: float, total_coils: float, ends: str = "hot_unground") -> float:
    """Length of a coil with every turn touching.

    L_c = (n_t + e) d,  e = 1.1 hot unground, -0.3 hot ground, 1.5 cold unground, 0 cold ground

    Parameters
    ----------
    wire : length [m]
        Wire diameter d, greatest.
    total_coils : turns [1]
        All turns, n_t.
    ends : word
        "hot_unground", "hot_ground", "cold_unground" or "cold_ground": how it was coiled, and its ends.

    Returns
    -------
    length [m]
        Solid length, the greatest the standard allows for.

    Valid for
    ---------
    Closed ends.  Pigtail and tapered ends stack lower, so the result is on the safe side.

    References
    ----------
    EN 13906-1:2013, 9.10 (from memory).
    """
    if ends not in END_TURNS:
        raise FormulaError(f"ends are one of {', '.join(END_TURNS)}, not {ends!r}")
    turns = total_coils + END_TURNS[ends]
    return turns * wire


@formula(
    valid={"wire": WIRE, "mean_diameter": MEAN_DIAMETER, "active_coils": COILS},
    rises=("wire", "mean_diameter", "active_coils"),
)
def coil_gap_needed(wire: float, mean_diameter: float, active_coils: float) -> float:
    """Room a coil must keep above its solid length, all gaps together.

    S_a = 0.02 n (D + d)

    Parameters
    ----------
    wire : length [m]
        Wire diameter d.
    mean_diameter : length [m]
        Mean coil diameter D.
    active_coils : turns [1]
        Coils that twist, n.

    Returns
    -------
    length [m]
        Least sum of the gaps between active coils.

    Valid for
    ---------
    Hot-coiled springs under static load; for moving load the standard doubles it.

    References
    ----------
    EN 13906-1:2013, 9.9 (clause as cited in a program written to it).
    """
    return 0.02 * active_coils * (mean_diameter + wire)


@formula(
    valid={"length_at_metal": (-0.5, 1.5), "solid_length": LENGTH, "gap_needed": (0.0, 0.2)},
    rises=("length_at_metal",),
    falls=("solid_length", "gap_needed"),
)
def coil_bind_margin(length_at_metal: float, solid_length: float, gap_needed: float) -> float:
    """Room a coil has in hand at metal before its gaps close to the least allowed.

    margin = L_metal - L_c - S_a

    Parameters
    ----------
    length_at_metal : length [m]
        Of the coil with the bump stop fully crushed.
    solid_length : length [m]
        Of the coil with every turn touching.
    gap_needed : length [m]
        Least sum of gaps; zero gives the bare distance to solid.

    Returns
    -------
    length [m]
        Negative by what the stop would have to come down (over the motion ratio).

    Valid for
    ---------
    Any coil.

    References
    ----------
    EN 13906-1:2013, 9.9 and 9.10 (from memory).
    """
    return length_at_metal - solid_length - gap_needed


@formula(valid={"wire": WIRE, "mean_diameter": MEAN_DIAMETER}, rises=("wire",), falls=("mean_diameter",))
def coil_stress_factor(wire: float, mean_diameter: float) -> float:
    """Rise of stress at the inside of a coil, where the wire is bent tightest.

    k_w = (w + 0.5) / (w - 0.75),  w = D / d

    Parameters
    ----------
    wire : length [m]
        Wire diameter d.
    mean_diameter : length [m]
        Mean coil diameter D.

    Returns
    -------
    ratio [1]
        Greatest stress over the stress of a straight bar in the same torsion.

    Valid for
    ---------
    Round wire, spring index w 4 to 20.

    References
    ----------
    EN 13906-1:2013, formula (1); the Bergstraesser factor.
    """
    index = spring_index(wire, mean_diameter)
    return (index + 0.5) / (index - 0.75)


@formula(
    valid={"load": LOAD, "wire": WIRE, "mean_diameter": MEAN_DIAMETER},
    rises=("load", "mean_diameter"),
    falls=("wire",),
)
def coil_stress(load: float, wire: float, mean_diameter: float) -> float:
    """Greatest shear stress in a coil under a load.

    tau = 8 F D k_w / (pi d^3)

    Parameters
    ----------
    load : force [N]
        Along the spring, F.
    wire : length [m]
        Wire diameter d.
    mean_diameter : length [m]
        Mean coil diameter D.

    Returns
    -------
    stress [Pa]
        Shear stress at the inside of the coil, curvature counted.

    Valid for
    ---------
    Round wire, spring index 4 to 20.

    References
    ----------
    EN 13906-1:2013, 9.3 (clause from memory) with formula (1) for k_w.
    """
    return 8 * load * mean_diameter * coil_stress_factor(wire, mean_diameter) / (pi * wire**3)
