"""The leaf spring on a car: its rate with unequal halves, deflection, arch and chord, and the lift it gives."""

from __future__ import annotations

from math import sin

from knowledge.formulas._registry import formula
from knowledge.formulas.leaf_pack import SECOND_MOMENT
from shared.errors import NoSolution

HALF = (0.15, 1.2)
CLAMPED = (0.0, 0.15)
YOUNG = (1.5e11, 2.3e11)
STIFFENING = (1.0, 1.6)
LOAD = (0.0, 1e5)
RATE = (500.0, 1e6)
ARCH = (-0.3, 0.4)

# Share of its length a leaf may be arched by: at 1/pi it is half a circle.
MOST_ARCH = 0.3
# Newton steps; the flattest and the highest leaf of the range settle in under ten.
MOST_STEPS = 50


def free_halves(front_half: float, rear_half: float, clamped_each_side: float) -> tuple[float, float]:
    """The two lengths that bend: from each eye to the near edge of the clamp."""
    front, rear = front_half - clamped_each_side, rear_half - clamped_each_side
    if min(front, rear) <= 0:
        raise NoSolution(
            f"a clamp of {clamped_each_side * 1e3:g} mm each side leaves nothing to bend of halves "
            f"{front_half * 1e3:g} and {rear_half * 1e3:g} mm"
        )
    return front, rear


@formula(
    valid={
        "second_moment": SECOND_MOMENT,
        "front_half": HALF,
        "rear_half": HALF,
        "clamped_each_side": CLAMPED,
        "young_modulus": YOUNG,
        "stiffening": STIFFENING,
    },
    rises=("second_moment", "clamped_each_side", "young_modulus", "stiffening"),
    falls=("front_half", "rear_half"),
)
def leaf_rate(
    second_moment: float,
    front_half: float,
    rear_half: float,
    clamped_each_side: float,
    young_modulus: float,
    stiffening: float,
) -> float:
    """Rate at the axle of a semi-elliptic leaf spring with unequal halves.

    k = SF 2 E I (a + b) / (a^2 b^2),  a = front - clamp, b = rear - clamp

    Parameters
    ----------
    second_moment : second_moment [m4]
        Of the pack at the clamp, I.
    front_half : length [m]
        Eye to centre pin along the chord, front.
    rear_half : length [m]
        Eye to centre pin along the chord, rear.
    clamped_each_side : length [m]
        Inactive length from the centre pin to the edge of the clamp.
    young_modulus : stress [Pa]
        Of the leaves, E; 206 GPa for spring steel.
    stiffening : ratio [1]
        SF, 1.0 for leaves cut as a beam of uniform strength, 1.10 to 1.50 for real packs.

    Returns
    -------
    spring_rate [N/m]
        Force at the axle per deflection of it, friction left out.

    Valid for
    ---------
    A pack near a beam of uniform strength, nearly flat; a beam of even section would have 3 in place of 2.

    References
    ----------
    SAE HS-788, Manual on Design and Application of Leaf Springs (from memory).
    """
    a, b = free_halves(front_half, rear_half, clamped_each_side)
    return stiffening * 2 * young_modulus * second_moment * (a + b) / (a * b) ** 2


@formula(valid={"load": LOAD, "rate": RATE}, rises=("load",), falls=("rate",))
def leaf_deflection(load: float, rate: float) -> float:
    """How far a leaf spring flattens under a load.

    s = F / k

    Parameters
    ----------
    load : force [N]
        At the axle, one spring.
    rate : spring_rate [N/m]
        Of the spring.

    Returns
    -------
    length [m]
        From the free arch.

    Valid for
    ---------
    One stage, friction left out.

    References
    ----------
    Definition of rate.
    """
    return load / rate


@formula(
    valid={"load": LOAD, "first_rate": RATE, "second_rate": (0.0, 1e6), "gap": (0.0, 0.2)},
    rises=("load", "gap"),
    falls=("first_rate", "second_rate"),
)
def leaf_deflection_two_stage(load: float, first_rate: float, second_rate: float, gap: float) -> float:
    """How far a leaf spring flattens whose overload leaf joins in later.

    s = F / k1 up to s = gap, then s = (F + k2 gap) / (k1 + k2)

    Parameters
    ----------
    load : force [N]
        At the axle, one spring.
    first_rate : spring_rate [N/m]
        Of the main stage, k1.
    second_rate : spring_rate [N/m]
        That the overload stage adds, k2.
    gap : length [m]
        Axle travel from the free arch until the overload stage touches.

    Returns
    -------
    length [m]
        From the free arch.

    Valid for
    ---------
    Two linear stages, friction left out.

    References
    ----------
    Statics.
    """
    if load <= first_rate * gap:
        return load / first_rate
    return (load + second_rate * gap) / (first_rate + second_rate)


@formula(valid={"free_arch": ARCH, "load": LOAD, "rate": RATE}, rises=("free_arch", "rate"), falls=("load",))
def leaf_arch_under_load(free_arch: float, load: float, rate: float) -> float:
    """Arch of a leaf spring under a load.

    h = h0 - F / k

    Parameters
    ----------
    free_arch : length [m]
        From the line through the eyes to the face the axle seats on, unloaded, h0.
    load : force [N]
        At the axle, one spring.
    rate : spring_rate [N/m]
        Of the spring.

    Returns
    -------
    length [m]
        Negative when it bends past flat.

    Valid for
    ---------
    One stage, nearly flat.

    References
    ----------
    Definition of rate.
    """
    return free_arch - load / rate


@formula(
    valid={"new_arch": ARCH, "stock_arch": ARCH, "block": (0.0, 0.15), "stock_block": (0.0, 0.15)},
    rises=("new_arch", "block"),
    falls=("stock_arch", "stock_block"),
)
def leaf_ride_lift(new_arch: float, stock_arch: float, block: float = 0.0, stock_block: float = 0.0) -> float:
    """Lift at the axle from a leaf spring that stands higher, and from a block under it.

    lift = h + c - h_stock - c_stock

    Parameters
    ----------
    new_arch : length [m]
        At ride under this car's load, from the line through the eyes to the face the axle seats on.
    stock_arch : length [m]
        Of the stock spring under the stock load, to the same face.
    block : length [m]
        Between spring and axle now.
    stock_block : length [m]
        The same on the stock car.

    Returns
    -------
    length [m]
        Body up from the axle at the seat; negative when the car sits lower.

    Valid for
    ---------
    Springs over the axle.  The swing of the shackle as the chord shortens is not in it: see the shackle formulas.

    References
    ----------
    Geometry.
    """
    return new_arch + block - stock_arch - stock_block


@formula(valid={"leaf_length": (0.3, 2.4), "arch": (-0.09, 0.09)}, rises=("leaf_length",))
def leaf_chord(leaf_length: float, arch: float) -> float:
    """Straight distance between the eyes of a leaf of a given length and arch.

    h = S sin^2(p/2) / p,  c = S sin(p) / p  (p: half the angle of the arc)

    Parameters
    ----------
    leaf_length : length [m]
        Along the main leaf, eye to eye, S.
    arch : length [m]
        Rise of its middle above the line through the eyes, h; the sign does not matter.

    Returns
    -------
    length [m]
        Chord c: longest when the leaf is flat, so it turns inside the travel.

    Valid for
    ---------
    A leaf bent to a circular arc, which a pack of uniform strength is; arch up to 0.3 of the length.

    References
    ----------
    Geometry of a circular arc.
    """
    share = abs(arch) / leaf_length
    if share > MOST_ARCH:
        raise NoSolution(
            f"a leaf of {leaf_length * 1e3:.0f} mm cannot stand {abs(arch) * 1e3:.0f} mm high and be a spring: "
            f"the most is {MOST_ARCH:g} of its length"
        )
    half = 4 * share
    # Newton from the left on a function that bends down: it climbs to the root and never passes it.
    for _ in range(MOST_STEPS):
        sagitta = sin(half / 2) ** 2
        slope = half * sin(half) / 2 - sagitta
        step = half * (share * half - sagitta) / slope if slope > 0 else 0.0
        half += step
        if abs(step) <= 1e-14 * half:
            break
    return leaf_length * sin(half) / half if half > 0 else leaf_length
