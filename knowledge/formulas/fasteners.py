"""Bolts: stress area, proof load, preload from torque and back."""

from __future__ import annotations

from math import cos, pi

from knowledge.formulas._registry import formula
from shared.errors import FormulaError, NoSolution

DIAMETER = (0.002, 0.05)
PITCH = (0.0002, 0.006)
AREA = (1e-6, 2e-3)
STRESS = (1e8, 1.5e9)
FORCE = (0.0, 1e6)
TORQUE = (0.0, 5000.0)
NUT_FACTOR = (0.08, 0.4)
FRICTION = (0.03, 0.4)

# How far the stress diameter lies below the major one, in pitches.
STRESS_DEPTH = {
    "unified": 0.9743,  # ASME B1.1: pi/4 (d - 0.9743/n)^2
    "metric": 0.9382,  # ISO 898-1: pi/4 (d - 0.9382 P)^2
}
PITCH_DEPTH = 0.649519  # pitch diameter below the major one, in pitches: 3/4 of the 60 deg triangle's height
HALF_THREAD_ANGLE = pi / 6  # 60 deg threads, unified and metric


@formula(valid={"diameter": DIAMETER, "pitch": PITCH}, rises=("diameter",), falls=("pitch",))
def tensile_stress_area(thread: str, diameter: float, pitch: float) -> float:
    """Tensile stress area of a threaded bolt.

    pi/4 (d - c P)^2, c = 0.9743 unified, 0.9382 metric

    Parameters
    ----------
    thread : word
        "unified" or "metric".
    diameter : length [m]
        Major diameter d.
    pitch : length [m]
        Pitch P; 25.4 mm over the threads per inch for a unified thread.

    Returns
    -------
    area [m2]
        Area that carries the proof stress.

    Valid for
    ---------
    60 deg threads, coarse and fine.

    References
    ----------
    ASME B1.1 and ISO 898-1 (clauses from memory).
    """
    depth = STRESS_DEPTH.get(thread)
    if depth is None:
        raise FormulaError(f"a thread is unified or metric, not {thread!r}")
    core = diameter - depth * pitch
    if core <= 0:
        raise NoSolution(f"a bolt of {diameter * 1e3:.2f} mm cannot carry a pitch of {pitch * 1e3:.2f} mm")
    return pi / 4 * core * core


@formula(valid={"stress_area": AREA, "proof_stress": STRESS}, rises=("stress_area", "proof_stress"))
def proof_load(stress_area: float, proof_stress: float) -> float:
    """Load a bolt bears without lasting stretch (with the tensile strength: its least breaking load).

    area x proof stress

    Parameters
    ----------
    stress_area : area [m2]
        Tensile stress area.
    proof_stress : stress [Pa]
        Proof stress of its grade or class.

    Returns
    -------
    force [N]
        Proof load.

    Valid for
    ---------
    Marked bolts; an unmarked one has no known proof stress.

    References
    ----------
    ISO 898-1; SAE J429.
    """
    return stress_area * proof_stress


@formula(
    valid={"torque": TORQUE, "nut_factor": NUT_FACTOR, "diameter": DIAMETER},
    rises=("torque",),
    falls=("nut_factor", "diameter"),
)
def preload_from_torque(torque: float, nut_factor: float, diameter: float) -> float:
    """Preload of a bolt tightened to a torque.

    F = T / (K d)

    Parameters
    ----------
    torque : torque [N m]
        Tightening torque.
    nut_factor : ratio [1]
        K, see the table of nut factors; a torque knows the preload to about 25 to 30 % either way.
    diameter : length [m]
        Nominal diameter d.

    Returns
    -------
    force [N]
        Tension in the bolt, clamp in the joint.

    Valid for
    ---------
    60 deg threads, clean, below proof.

    References
    ----------
    Shigley, Mechanical Engineering Design, eq. 8-27.
    """
    return torque / (nut_factor * diameter)


@formula(
    valid={"preload": FORCE, "nut_factor": NUT_FACTOR, "diameter": DIAMETER},
    rises=("preload", "nut_factor", "diameter"),
)
def torque_from_preload(preload: float, nut_factor: float, diameter: float) -> float:
    """Tightening torque for a preload.

    T = K F d

    Parameters
    ----------
    preload : force [N]
        Tension wanted.
    nut_factor : ratio [1]
        K, see the table of nut factors.
    diameter : length [m]
        Nominal diameter d.

    Returns
    -------
    torque [N m]
        Tightening torque; the maker's figure goes before it.

    Valid for
    ---------
    60 deg threads, clean, below proof.

    References
    ----------
    Shigley, Mechanical Engineering Design, eq. 8-27.
    """
    return nut_factor * preload * diameter


@formula(
    valid={
        "preload": FORCE,
        "diameter": DIAMETER,
        "pitch": PITCH,
        "thread_friction": FRICTION,
        "collar_friction": FRICTION,
        "collar_diameter": (0.003, 0.08),
    },
    rises=("preload", "pitch", "thread_friction", "collar_friction", "collar_diameter"),
)
def torque_from_friction(
    preload: float,
    diameter: float,
    pitch: float,
    thread_friction: float,
    collar_friction: float,
    collar_diameter: float,
) -> float:
    """Tightening torque for a preload, from the friction in the thread and under the head.

    F dm/2 (tan(lead) + f/cos(30)) / (1 - f tan(lead)/cos(30)) + F fc dc/2

    Parameters
    ----------
    preload : force [N]
        Tension wanted, F.
    diameter : length [m]
        Major diameter; dm is the pitch diameter, 0.6495 pitches less.
    pitch : length [m]
        Pitch P; tan(lead) = P / (pi dm).
    thread_friction : ratio [1]
        Friction in the thread f.
    collar_friction : ratio [1]
        Friction under the turned face fc.
    collar_diameter : length [m]
        Mean diameter of that face dc; 1.25 d for common nuts.

    Returns
    -------
    torque [N m]
        Tightening torque.

    Valid for
    ---------
    60 deg threads.

    References
    ----------
    Shigley, Mechanical Engineering Design, eq. 8-26.
    """
    mean = diameter - PITCH_DEPTH * pitch
    lead = pitch / (pi * mean) if mean > 0 else 1.0
    friction = thread_friction / cos(HALF_THREAD_ANGLE)
    if mean <= 0 or lead * friction >= 1:
        raise NoSolution(f"a bolt of {diameter * 1e3:.2f} mm cannot carry a pitch of {pitch * 1e3:.2f} mm")
    in_thread = mean / 2 * (lead + friction) / (1 - lead * friction)
    return preload * (in_thread + collar_friction * collar_diameter / 2)


@formula(valid={"torque": (0.0, 5000.0), "preload": (1.0, 1e6), "diameter": DIAMETER}, rises=("torque",))
def nut_factor(torque: float, preload: float, diameter: float) -> float:
    """Nut factor that belongs to a torque and a preload.

    K = T / (F d)

    Parameters
    ----------
    torque : torque [N m]
        Tightening torque.
    preload : force [N]
        Tension it gave.
    diameter : length [m]
        Nominal diameter d.

    Returns
    -------
    ratio [1]
        About 0.2 dry.

    Valid for
    ---------
    Below proof.

    References
    ----------
    Shigley, Mechanical Engineering Design, eq. 8-27.
    """
    return torque / (preload * diameter)
