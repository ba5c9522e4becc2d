"""Offset of a wheel and what follows from it: backspacing, track, and where the tyre stands from the kingpin.

Offset is positive when the mounting face lies outboard of the rim's centre.  Rim width is measured between bead
seats; backspacing is taken from the overall width, which is two flange allowances more.
"""

from __future__ import annotations

from math import tan

from knowledge.formulas._registry import formula

RIM_WIDTH = (0.08, 0.4)  # m, between bead seats
FLANGE = (0.0, 0.025)  # m, one flange
OFFSET = (-0.15, 0.15)  # m
HUB_FACES = (0.8, 2.2)  # m, hub face to hub face of one axle


@formula(
    valid={"backspacing": (0.0, 0.35), "rim_width": RIM_WIDTH, "flange_allowance": FLANGE},
    rises=("backspacing",),
    falls=("rim_width", "flange_allowance"),
)
def offset_from_backspacing(backspacing: float, rim_width: float, flange_allowance: float) -> float:
    """Offset of a wheel from its backspacing.

    ET = BS - (W + 2 flange) / 2

    Parameters
    ----------
    backspacing : length [m]
        From the mounting face to the rear edge of the rim.
    rim_width : length [m]
        Between bead seats, W.
    flange_allowance : length [m]
        Thickness of one flange outside the bead seat; 12.7 mm is common practice, 10 to 15 mm are seen.

    Returns
    -------
    length [m]
        Offset, positive with the mounting face outboard of the rim's centre.

    Valid for
    ---------
    Rims with equal flanges.

    References
    ----------
    Geometry; flange allowance common practice, no source.
    """
    return backspacing - (rim_width + 2 * flange_allowance) / 2


@formula(
    valid={"offset": OFFSET, "rim_width": RIM_WIDTH, "flange_allowance": FLANGE},
    rises=("offset", "rim_width", "flange_allowance"),
)
def backspacing_from_offset(offset: float, rim_width: float, flange_allowance: float) -> float:
    """Backspacing of a wheel from its offset.

    BS = ET + (W + 2 flange) / 2

    Parameters
    ----------
    offset : length [m]
        Offset, positive with the mounting face outboard of the rim's centre.
    rim_width : length [m]
        Between bead seats, W.
    flange_allowance : length [m]
        Thickness of one flange outside the bead seat; 12.7 mm is common practice.

    Returns
    -------
    length [m]
        From the mounting face to the rear edge of the rim.

    Valid for
    ---------
    Rims with equal flanges.

    References
    ----------
    Geometry; flange allowance common practice, no source.
    """
    return offset + (rim_width + 2 * flange_allowance) / 2


@formula(
    valid={"hub_face_width": HUB_FACES, "offset": OFFSET, "spacer": (0.0, 0.1)},
    rises=("hub_face_width", "spacer"),
    falls=("offset",),
)
def wheel_track(hub_face_width: float, offset: float, spacer: float = 0.0) -> float:
    """Track of an axle.

    T = hub_face_width - 2 offset + 2 spacer

    Parameters
    ----------
    hub_face_width : length [m]
        From hub face to hub face.
    offset : length [m]
        Offset of the wheels.
    spacer : length [m]
        Thickness of a wheel spacer or adapter on each side.

    Returns
    -------
    length [m]
        Between the centre planes of the two wheels.

    Valid for
    ---------
    Like wheels on both sides.

    References
    ----------
    Geometry.
    """
    return hub_face_width - 2 * offset + 2 * spacer


@formula(
    valid={"stock_offset": OFFSET, "offset": OFFSET, "spacer": (0.0, 0.1)},
    rises=("stock_offset", "spacer"),
    falls=("offset",),
)
def track_change(stock_offset: float, offset: float, spacer: float = 0.0) -> float:
    """How much wider an axle's track becomes.

    2 (stock_offset - offset + spacer)

    Parameters
    ----------
    stock_offset : length [m]
        Offset of the stock wheels.
    offset : length [m]
        Offset of the wheels fitted.
    spacer : length [m]
        Thickness of a wheel spacer or adapter on each side.

    Returns
    -------
    length [m]
        Positive when it grows.

    Valid for
    ---------
    Both sides changed alike, on the same hubs.

    References
    ----------
    Geometry.
    """
    return 2 * (stock_offset - offset + spacer)


@formula(
    valid={"kingpin_to_hub_face": (-0.1, 0.4), "offset": OFFSET, "spacer": (0.0, 0.1)},
    rises=("kingpin_to_hub_face", "spacer"),
    falls=("offset",),
)
def kingpin_to_tyre_centre(kingpin_to_hub_face: float, offset: float, spacer: float = 0.0) -> float:
    """Distance of the tyre's centre plane from the kingpin, at the height of the hub.

    kingpin_to_hub_face - offset + spacer

    Parameters
    ----------
    kingpin_to_hub_face : length [m]
        From the steering axis to the wheel's mounting face, level, at hub height.
    offset : length [m]
        Offset of the wheel.
    spacer : length [m]
        Thickness of a wheel spacer or adapter.

    Returns
    -------
    length [m]
        Positive outboard.

    Valid for
    ---------
    Any steered wheel.

    References
    ----------
    Geometry.
    """
    return kingpin_to_hub_face - offset + spacer


@formula(
    valid={
        "kingpin_to_hub_face": (-0.1, 0.4),
        "inclination": (0.0, 0.5),
        "loaded_radius": (0.2, 0.7),
        "offset": OFFSET,
    },
    rises=("kingpin_to_hub_face",),
    falls=("inclination", "loaded_radius", "offset"),
)
def scrub_radius(kingpin_to_hub_face: float, inclination: float, loaded_radius: float, offset: float) -> float:
    """Distance at the ground between the steering axis and the tyre's centre plane.

    (kingpin_to_hub_face - offset) - r tan(inclination)

    Parameters
    ----------
    kingpin_to_hub_face : length [m]
        From the steering axis to the wheel's mounting face, level, at hub height; a spacer adds to it.
    inclination : angle [rad]
        Kingpin inclination, top inboard.
    loaded_radius : length [m]
        Hub height above the ground.
    offset : length [m]
        Offset of the wheel.

    Returns
    -------
    length [m]
        Positive when the tyre's centre plane meets the ground outboard of the axis.

    Valid for
    ---------
    An upright wheel.

    References
    ----------
    Geometry.
    """
    return kingpin_to_hub_face - offset - loaded_radius * tan(inclination)
