"""Fluid the brakes take, the stroke it costs at the master cylinder, and what the reservoir must hold."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from knowledge.formulas.hydraulics import bore_area
from knowledge.standards import hose_expansion
from shared.errors import FormulaError, NoSolution

PISTON = (0.01, 0.1)  # m
PISTONS = (1.0, 8.0)  # in one wheel's brake
TRAVEL = (0.0, 0.02)  # m
COMPLIANCE = (0.0, 5e-12)  # m3/Pa, up to 5 cm3 per MPa


@formula(valid={"hose_length": (0.0, 5.0)}, rises=("hose_length",))
def circuit_compliance(hose_length: float, hose: str) -> float:
    """Volume the flexible hoses of the car take per pressure, at the most the standard allows.

    hose_length x (0.66 cm3 per ft at 1000 psi for a regular hose, 0.33 for a low-expansion one)

    Parameters
    ----------
    hose_length : length [m]
        Exposed length of all the hoses together, without their end fittings.
    hose : word
        "regular" or "low" (low-expansion), as marked on the hose.

    Returns
    -------
    compliance [m3/Pa]
        Volume per pressure.

    Valid for
    ---------
    Hoses of 1/8 in (3 mm) bore or less.

    Notes
    -----
    A sound hose swells less than the limit; the caliper's bending, the pad's squeeze and the fluid itself take
    about what that leaves (common practice, no source), so the limit serves for the whole circuit.

    References
    ----------
    49 CFR 571.106 S5.3.2 table I (figures from memory; table knowledge/standards/brake_hose_expansion.csv).
    """
    if hose not in hose_expansion():
        raise FormulaError(f"hose is one of {', '.join(hose_expansion())}, not {hose!r}")
    return hose_length * hose_expansion()[hose]


@formula(
    valid={
        "front_piston": PISTON,
        "front_pistons": PISTONS,
        "front_travel": TRAVEL,
        "rear_piston": PISTON,
        "rear_pistons": PISTONS,
        "rear_travel": TRAVEL,
        "compliance": COMPLIANCE,
        "pressure": (0.0, 30e6),
    },
    rises=(
        "front_piston",
        "front_pistons",
        "front_travel",
        "rear_piston",
        "rear_pistons",
        "rear_travel",
        "compliance",
        "pressure",
    ),
)
def pedal_volume(
    front_piston: float,
    front_pistons: float,
    front_travel: float,
    rear_piston: float,
    rear_pistons: float,
    rear_travel: float,
    compliance: float,
    pressure: float,
) -> float:
    """Fluid all four brakes take when the pedal is pressed to a line pressure.

    2 (n_f A_f x_f + n_r A_r x_r) + compliance x pressure

    Parameters
    ----------
    front_piston : length [m]
        Piston diameter of a front caliper (or cylinder).
    front_pistons : count [1]
        Pistons that move in one front brake, both sides of an opposed caliper counted.
    front_travel : length [m]
        Running clearance each takes up; 0.5 mm is common practice for a caliper.
    rear_piston : length [m]
        Piston diameter of a rear wheel cylinder (or caliper).
    rear_pistons : count [1]
        Pistons that move in one rear brake; a double-ended wheel cylinder has 2.
    rear_travel : length [m]
        Travel each takes up; 1.5 mm is common practice for an adjusted drum.
    compliance : compliance [m3/Pa]
        Volume per pressure of hoses, calipers and fluid, as from ``circuit_compliance``.
    pressure : pressure [Pa]
        Line pressure.

    Returns
    -------
    volume [m3]
        Fluid displaced by the master cylinder.

    Valid for
    ---------
    Bled brakes, the same on both sides of the car.

    References
    ----------
    Volume balance; clearances common practice, no source.
    """
    front = front_pistons * bore_area(front_piston) * front_travel
    rear = rear_pistons * bore_area(rear_piston) * rear_travel
    return 2 * (front + rear) + compliance * pressure


@formula(valid={"volume": (0.0, 1e-4), "master_bore": (0.012, 0.045)}, rises=("volume",), falls=("master_bore",))
def master_stroke_used(volume: float, master_bore: float) -> float:
    """Stroke of the master cylinder that a volume costs.

    volume / A, both pistons of a tandem cylinder together

    Parameters
    ----------
    volume : volume [m3]
        Fluid displaced, from ``pedal_volume``.
    master_bore : length [m]
        Bore of the master cylinder.

    Returns
    -------
    length [m]
        Stroke at the push rod.

    Valid for
    ---------
    One bore for both circuits, a rod gap that is set.

    References
    ----------
    Volume balance.
    """
    return volume / bore_area(master_bore)


@formula(
    valid={"stroke_used": (0.0, 0.1), "stroke": (0.01, 0.1)},
    rises=("stroke_used",),
    falls=("stroke",),
)
def master_stroke_share(stroke_used: float, stroke: float) -> float:
    """Share of the master cylinder's stroke that a stop uses.

    stroke_used / stroke

    Parameters
    ----------
    stroke_used : length [m]
        Stroke used, from ``master_stroke_used``.
    stroke : length [m]
        Stroke of both pistons together until they bottom.

    Returns
    -------
    share [1]
        Common practice leaves 40 % in hand.

    Valid for
    ---------
    Brakes adjusted and bled.

    References
    ----------
    Definition; the limit is common practice, no source.
    """
    if stroke_used > stroke:
        raise NoSolution(
            f"the brakes ask for {stroke_used * 1e3:.1f} mm of a master cylinder that has {stroke * 1e3:.1f} mm"
        )
    return stroke_used / stroke


@formula(valid={"stroke_used": (0.0, 0.1), "pedal_ratio": (2.0, 9.0)}, rises=("stroke_used", "pedal_ratio"))
def pedal_travel(stroke_used: float, pedal_ratio: float) -> float:
    """Travel of the pedal's pad that a stroke at the push rod takes.

    stroke x ratio

    Parameters
    ----------
    stroke_used : length [m]
        Stroke at the push rod.
    pedal_ratio : ratio [1]
        Pedal ratio.

    Returns
    -------
    length [m]
        Pedal travel, without the rod's free play.

    Valid for
    ---------
    Pedals that swing a small angle.

    References
    ----------
    Lever.
    """
    return stroke_used * pedal_ratio


@formula(
    valid={
        "front_piston": PISTON,
        "front_pistons": PISTONS,
        "front_wear": TRAVEL,
        "rear_piston": PISTON,
        "rear_pistons": PISTONS,
        "rear_wear": TRAVEL,
    },
    rises=("front_piston", "front_pistons", "front_wear", "rear_piston", "rear_pistons", "rear_wear"),
)
def reservoir_displacement(
    front_piston: float,
    front_pistons: float,
    front_wear: float,
    rear_piston: float,
    rear_pistons: float,
    rear_wear: float,
) -> float:
    """Fluid the reservoir loses as all the linings go from new to fully worn.

    2 (n_f A_f w_f + n_r A_r w_r)

    Parameters
    ----------
    front_piston : length [m]
        Piston diameter of a front brake.
    front_pistons : count [1]
        Pistons that move in one front brake.
    front_wear : length [m]
        Travel of each piston from new to worn; in a sliding caliper both pads and the rotor go through one piston.
    rear_piston : length [m]
        Piston diameter of a rear brake.
    rear_pistons : count [1]
        Pistons that move in one rear brake.
    rear_wear : length [m]
        Travel of each piston from new to worn; near nothing where an adjuster takes up the wear.

    Returns
    -------
    volume [m3]
        Least volume of the reservoir, new to worn.

    Valid for
    ---------
    The same brakes on both sides of the car.

    References
    ----------
    Volume balance; 49 CFR 571.135 S5.4.2 (from memory).
    """
    front = front_pistons * bore_area(front_piston) * front_wear
    rear = rear_pistons * bore_area(rear_piston) * rear_wear
    return 2 * (front + rear)
