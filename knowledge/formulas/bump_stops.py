"""Travel between ride height and the bump stop: lift adds to it, a longer stop takes from it."""

from __future__ import annotations

from knowledge.formulas._registry import formula

TRAVEL = (0.0, 0.4)
LIFT = (-0.3, 0.5)
EXTRA_STOP = (-0.1, 0.2)


@formula(
    valid={"stock_metal_travel": TRAVEL, "lift": LIFT, "extra_stop": EXTRA_STOP},
    rises=("stock_metal_travel", "lift"),
    falls=("extra_stop",),
)
def metal_travel(stock_metal_travel: float, lift: float, extra_stop: float) -> float:
    """Wheel travel from ride height until the bump stop is fully crushed.

    z = z_stock + lift - extra

    Parameters
    ----------
    stock_metal_travel : length [m]
        From stock ride height, stock stop.
    lift : length [m]
        Body from axle; it does not move the stops.
    extra_stop : length [m]
        How much lower the stop now ends when crushed.

    Returns
    -------
    length [m]
        From this ride height; zero or less says that the car stands on its stops.

    Valid for
    ---------
    Travel at the wheel; a stop inboard of it counts by its own place.

    References
    ----------
    Geometry.
    """
    return stock_metal_travel + lift - extra_stop


@formula(
    valid={"stock_gap": TRAVEL, "lift": LIFT, "extra_stop": EXTRA_STOP},
    rises=("stock_gap", "lift"),
    falls=("extra_stop",),
)
def bump_stop_gap(stock_gap: float, lift: float, extra_stop: float) -> float:
    """Gap between the bump stop, uncrushed, and what it strikes, at ride.

    gap = gap_stock + lift - extra

    Parameters
    ----------
    stock_gap : length [m]
        At stock ride height, stock stop.
    lift : length [m]
        Body from axle; it does not move the stops.
    extra_stop : length [m]
        How much lower the stop now ends uncrushed.

    Returns
    -------
    length [m]
        Negative: the stop already touches at ride.

    Valid for
    ---------
    Travel at the wheel; a stop inboard of it counts by its own place.

    References
    ----------
    Geometry.
    """
    return stock_gap + lift - extra_stop


@formula(valid={"settle": (-0.3, 0.5), "gap": (-0.3, 0.6)}, rises=("settle",), falls=("gap",))
def bump_stop_crush(settle: float, gap: float) -> float:
    """How far a bump stop is crushed when the car settles under a load.

    crush = max(0, settle - gap)

    Parameters
    ----------
    settle : length [m]
        Of the car on its springs alone, from the height the gap was taken at.
    gap : length [m]
        Between stop and what it strikes at that height.

    Returns
    -------
    length [m]
        Zero while the stop does not touch.

    Valid for
    ---------
    The stop's own force is left out, so the result is on the safe side.

    References
    ----------
    Geometry.
    """
    return max(0.0, settle - gap)


@formula(
    valid={"settle": (-0.3, 0.5), "gap": (-0.3, 0.6), "stop_height": (0.01, 0.3)},
    rises=("settle",),
    falls=("gap", "stop_height"),
)
def bump_stop_crush_share(settle: float, gap: float, stop_height: float) -> float:
    """Share of a bump stop's height that is crushed when the car settles under a load.

    share = max(0, settle - gap) / height

    Parameters
    ----------
    settle : length [m]
        Of the car on its springs alone, from the height the gap was taken at.
    gap : length [m]
        Between stop and what it strikes at that height.
    stop_height : length [m]
        Of the stop, uncrushed.

    Returns
    -------
    share [1]
        Above 1 the stop alone could not take it.

    Valid for
    ---------
    The stop's own force is left out, so the result is on the safe side.

    References
    ----------
    Geometry; a third at most when laden is common practice, no source.
    """
    return bump_stop_crush(settle, gap) / stop_height


@formula(
    valid={"new_travel": (-0.3, 0.6), "stock_travel": (0.01, 0.4)},
    rises=("new_travel",),
    one_way=("stock_travel",),
)
def travel_kept_share(new_travel: float, stock_travel: float) -> float:
    """Share of the stock travel, up or down, that is left.

    share = z / z_stock

    Parameters
    ----------
    new_travel : length [m]
        From this ride height to its end.
    stock_travel : length [m]
        From stock ride height to the same end.

    Returns
    -------
    share [1]
        Two thirds is what one national code of modifications asks for.

    Valid for
    ---------
    Bump and droop each by itself.

    References
    ----------
    VSB 14, section LS (the two thirds).
    """
    return new_travel / stock_travel
