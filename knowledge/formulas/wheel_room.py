"""Room around a wheel: in the arch at bump and lock, over the brake, to the leaf.

Room at full bump is set by the stop: a lift raises the lip and the travel alike and adds nothing.
"""

from __future__ import annotations

from math import atan2, cos, hypot, sin

from knowledge.formulas._registry import formula

FREE_RADIUS = (0.2, 0.7)  # m
SECTION = (0.1, 0.45)  # m
TRAVEL = (0.0, 0.4)  # m


@formula(
    valid={"hub_to_lip": (0.2, 1.2), "free_radius": FREE_RADIUS, "metal_travel": TRAVEL},
    rises=("hub_to_lip",),
    falls=("free_radius", "metal_travel"),
)
def arch_room_bump(hub_to_lip: float, free_radius: float, metal_travel: float) -> float:
    """Room between tread and arch lip with the bump stop crushed to metal.

    hub_to_lip - metal_travel - free_radius

    Parameters
    ----------
    hub_to_lip : length [m]
        From the hub's centre up to the lip, at ride height.
    free_radius : length [m]
        Free radius of the tyre, half its diameter.
    metal_travel : length [m]
        Upward travel from that ride height until the stop is metal to metal.

    Returns
    -------
    length [m]
        Negative when the tyre cuts the lip.

    Valid for
    ---------
    Wheels pointing straight ahead that rise upright.  A lift adds the same to ``hub_to_lip`` and to
    ``metal_travel``.

    References
    ----------
    Geometry.
    """
    return hub_to_lip - metal_travel - free_radius


@formula(
    valid={"free_radius": FREE_RADIUS, "offset": (0.0, 0.3), "section_width": SECTION, "lock": (0.0, 1.0)},
    rises=("free_radius", "offset", "section_width", "lock"),
)
def tyre_lock_swing(free_radius: float, offset: float, section_width: float, lock: float) -> float:
    """Farthest the tyre's outer corner reaches from the kingpin, fore and aft, anywhere in the sweep of the lock.

    max over d in [0, lock] of r cos d + b sin d, b = offset + section_width / 2

    Parameters
    ----------
    free_radius : length [m]
        Free radius r of the tyre.
    offset : length [m]
        From the kingpin to the tyre's centre plane at hub height, as from ``kingpin_to_tyre_centre``.
    section_width : length [m]
        Section width of the tyre.
    lock : angle [rad]
        Steering angle of the wheel at the stop.

    Returns
    -------
    length [m]
        Reach of the corner.  Its peak lies at atan(b / r), often short of full lock; it is found exactly.

    Valid for
    ---------
    A corner taken as square at hub height, as a worn or heavy-duty tread nearly is; a tyre whose centre plane stands
    outboard of the kingpin, as on solid axles (else its inner corner reaches farther on the other lock).

    References
    ----------
    Plane geometry.
    """
    half = offset + section_width / 2
    if atan2(half, free_radius) <= lock:
        return hypot(free_radius, half)
    return free_radius * cos(lock) + half * sin(lock)


@formula(
    valid={"kingpin_to_seam": (0.2, 1.0), "lock_swing": (0.2, 1.0)}, rises=("kingpin_to_seam",), falls=("lock_swing",)
)
def arch_room_lock(kingpin_to_seam: float, lock_swing: float) -> float:
    """Room between the tyre and the seam behind the wheel, at the worst angle of the lock.

    kingpin_to_seam - lock_swing

    Parameters
    ----------
    kingpin_to_seam : length [m]
        From the kingpin to the nearest metal behind (or ahead of) the wheel, at hub height.
    lock_swing : length [m]
        Reach of the tyre, from ``tyre_lock_swing``.

    Returns
    -------
    length [m]
        Negative when the tyre cuts the metal.

    Valid for
    ---------
    Metal that lies across the sweep, at ride height or where it was measured.

    References
    ----------
    Geometry.
    """
    return kingpin_to_seam - lock_swing


@formula(
    valid={"barrel_radius": (0.1, 0.4), "caliper_radius": (0.08, 0.4)},
    rises=("barrel_radius",),
    falls=("caliper_radius",),
)
def wheel_room_over_caliper(barrel_radius: float, caliper_radius: float) -> float:
    """Room between the inside of the wheel's barrel and the brake.

    barrel_radius - caliper_radius

    Parameters
    ----------
    barrel_radius : length [m]
        Inside radius of the barrel where the caliper sits.
    caliper_radius : length [m]
        From the hub's centre to the farthest point of the caliper (or drum).

    Returns
    -------
    length [m]
        Negative when they touch.

    Valid for
    ---------
    Wheels centred on the hub.

    References
    ----------
    Geometry.
    """
    return barrel_radius - caliper_radius


@formula(
    valid={"track": (0.8, 2.2), "section_width": SECTION, "spring_base": (0.4, 1.6), "leaf_width": (0.03, 0.12)},
    rises=("track",),
    falls=("section_width", "spring_base", "leaf_width"),
)
def tyre_room_to_leaf(track: float, section_width: float, spring_base: float, leaf_width: float) -> float:
    """Room between the inner side of a tyre and the leaf spring beside it.

    (track - section_width - spring_base - leaf_width) / 2

    Parameters
    ----------
    track : length [m]
        Track of the axle.
    section_width : length [m]
        Section width of the tyre on its rim.
    spring_base : length [m]
        Between the centre lines of the two leaves.
    leaf_width : length [m]
        Width of the leaf, or of the U-bolts if they stand out farther.

    Returns
    -------
    length [m]
        Negative when they touch; 20 mm is common practice.

    Valid for
    ---------
    Level axles; twist takes some of it.

    References
    ----------
    Geometry; the limit is common practice, no source.
    """
    return (track - section_width - spring_base - leaf_width) / 2
