"""Handbook forms of laminated springs: quarter- and semi-elliptic, by number and size of leaves."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from knowledge.formulas.leaf_pack import LEAVES, THICKNESS, WIDTH
from knowledge.formulas.leaves import LOAD, YOUNG
from shared.errors import NoSolution

QUARTER = (0.1, 1.5)
SPAN = (0.2, 3.0)


@formula(
    valid={"young_modulus": YOUNG, "leaves": LEAVES, "width": WIDTH, "thickness": THICKNESS, "length": QUARTER},
    rises=("young_modulus", "leaves", "width", "thickness"),
    falls=("length",),
)
def quarter_elliptic_rate(young_modulus: float, leaves: float, width: float, thickness: float, length: float) -> float:
    """Rate at the end of a quarter-elliptic spring of equal leaves.

    k = E n b t^3 / (6 L^3)

    Parameters
    ----------
    young_modulus : stress [Pa]
        Of the leaves, E.
    leaves : count [1]
        Number of leaves, n.
    width : length [m]
        Of each, b.
    thickness : length [m]
        Of each, t.
    length : length [m]
        From the clamp to the eye, L.

    Returns
    -------
    spring_rate [N/m]
        At the eye.

    Valid for
    ---------
    Leaves stepped to a beam of uniform strength, friction left out.

    References
    ----------
    Mechanical Engineer's Data Handbook, 1.5.2.
    """
    return young_modulus * leaves * width * thickness**3 / (6 * length**3)


@formula(
    valid={"young_modulus": YOUNG, "leaves": LEAVES, "width": WIDTH, "thickness": THICKNESS, "span": SPAN},
    rises=("young_modulus", "leaves", "width", "thickness"),
    falls=("span",),
)
def semi_elliptic_rate(young_modulus: float, leaves: float, width: float, thickness: float, span: float) -> float:
    """Rate at the middle of a semi-elliptic spring of equal leaves and equal halves.

    k = 8 E n b t^3 / (3 L^3)

    Parameters
    ----------
    young_modulus : stress [Pa]
        Of the leaves, E.
    leaves : count [1]
        Number of leaves, n.
    width : length [m]
        Of each, b.
    thickness : length [m]
        Of each, t.
    span : length [m]
        Eye to eye, L; the effective span where a clamp takes part of it.

    Returns
    -------
    spring_rate [N/m]
        At the middle.

    Valid for
    ---------
    Leaves stepped to a beam of uniform strength, friction left out.

    References
    ----------
    Mechanical Engineer's Data Handbook, 1.5.2.
    """
    return 8 * young_modulus * leaves * width * thickness**3 / (3 * span**3)


@formula(
    valid={"load": LOAD, "leaves": LEAVES, "width": WIDTH, "thickness": THICKNESS, "length": QUARTER},
    rises=("load", "length"),
    falls=("leaves", "width", "thickness"),
)
def quarter_elliptic_stress(load: float, leaves: float, width: float, thickness: float, length: float) -> float:
    """Bending stress at the clamp of a quarter-elliptic spring.

    sigma = 6 F L / (n b t^2)

    Parameters
    ----------
    load : force [N]
        At the eye, F.
    leaves : count [1]
        Number of leaves, n.
    width : length [m]
        Of each, b.
    thickness : length [m]
        Of each, t.
    length : length [m]
        From the clamp to the eye, L.

    Returns
    -------
    stress [Pa]
        The same in all leaves.

    Valid for
    ---------
    Equal leaves that bend together.

    References
    ----------
    Mechanical Engineer's Data Handbook, 1.5.2.
    """
    return 6 * load * length / (leaves * width * thickness**2)


@formula(valid={"span": SPAN, "clamp_width": (0.0, 0.3)}, rises=("span",), falls=("clamp_width",))
def leaf_effective_span(span: float, clamp_width: float) -> float:
    """Span a semi-elliptic spring behaves as if it had, its middle being clamped.

    L = L1 - 2/3 l

    Parameters
    ----------
    span : length [m]
        Eye to eye, L1.
    clamp_width : length [m]
        Over the U-bolts, l.

    Returns
    -------
    length [m]
        Effective span.

    Valid for
    ---------
    Rule of thumb of the handbooks for a band; a clamp tight on both plates takes its whole width.

    References
    ----------
    Course notes on leaf springs; common practice.
    """
    if clamp_width >= span:
        raise NoSolution(f"a clamp of {clamp_width * 1e3:g} mm covers a span of {span * 1e3:g} mm")
    return span - 2 * clamp_width / 3


@formula(
    valid={
        "load": LOAD,
        "stepped_leaves": (0.0, 20.0),
        "full_leaves": LEAVES,
        "width": WIDTH,
        "thickness": THICKNESS,
        "length": QUARTER,
    },
    rises=("load", "length"),
    falls=("stepped_leaves", "full_leaves", "width", "thickness"),
)
def full_length_leaf_stress(
    load: float, stepped_leaves: float, full_leaves: float, width: float, thickness: float, length: float
) -> float:
    """Bending stress in the full-length leaves of a spring that also has stepped ones.

    sigma = 18 F L / (b t^2 (2 n_stepped + 3 n_full))

    Parameters
    ----------
    load : force [N]
        At one eye: half the load at the axle, F.
    stepped_leaves : count [1]
        Leaves shorter than the main leaf.
    full_leaves : count [1]
        Leaves that reach both eyes, the main leaf among them.
    width : length [m]
        Of each, b.
    thickness : length [m]
        Of each, t.
    length : length [m]
        From the clamp to the eye, L.

    Returns
    -------
    stress [Pa]
        Half as high again as in the stepped leaves.

    Valid for
    ---------
    Leaves of equal thickness put together without nip.

    References
    ----------
    Machine design texts on laminated springs (from memory).
    """
    return 18 * load * length / (width * thickness**2 * (2 * stepped_leaves + 3 * full_leaves))
