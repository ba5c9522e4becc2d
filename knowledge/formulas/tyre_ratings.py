"""What a tyre may carry and how fast it may turn."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from knowledge.standards import load_index_table, speed_load_table, speed_symbol_table
from shared.errors import FormulaError

PASSENGER_ON_TRUCK = 1.10  # divisor of a passenger tyre's load on anything that is not a passenger car


@formula(valid={"load_index": (0.0, 126.0)}, rises=("load_index",))
def load_index_capacity(load_index: float) -> float:
    """Mass one tyre of a load index may carry.

    Parameters
    ----------
    load_index : count [1]
        Load index, a whole number from 0 to 126.

    Returns
    -------
    mass [kg]
        Load capacity of one tyre, fitted singly.

    Valid for
    ---------
    The pressure of the tyre's standard, and speeds up to its symbol's (see ``load_share_at_speed``).

    Examples
    --------
    >>> load_index_capacity(91)
    615.0

    References
    ----------
    UN R30 annex 4, UN R54 annex 4 (table knowledge/standards/tyre_load_index.csv).
    """
    index = int(load_index)
    if index != load_index or index not in load_index_table():
        raise FormulaError(f"load index {load_index:g} is not in the table: it has whole numbers from 0 to 126")
    return load_index_table()[index]


@formula()
def speed_symbol_limit(symbol: str) -> float:
    """Highest speed of a tyre with a speed symbol.

    Parameters
    ----------
    symbol : word
        Speed symbol, one capital letter such as S or H.

    Returns
    -------
    speed [m/s]
        Highest speed.

    Valid for
    ---------
    Symbols F to Y.  ZR marks a size above 240 km/h and is no symbol.

    References
    ----------
    UN R30 2.29 (table knowledge/standards/speed_symbol.csv).
    """
    table = speed_symbol_table()
    if symbol not in table:
        raise FormulaError(f"{symbol!r} is not a speed symbol: the table has {', '.join(table)}")
    return table[symbol]


@formula(valid={"speed": (0.0, 100.0)}, falls=("speed",))
def load_share_at_speed(symbol: str, speed: float) -> float:
    """Share of the load index's load a tyre may still carry at a speed.

    1 up to the speed the symbol gives the whole load for, then falling in a straight line

    Parameters
    ----------
    symbol : word
        Speed symbol.
    speed : speed [m/s]
        Speed driven.

    Returns
    -------
    share [1]
        1 or less.

    Valid for
    ---------
    Speeds up to the symbol's; beyond it FormulaError.

    References
    ----------
    UN R30 2.31 (table knowledge/standards/tyre_speed_load.csv; the line between its ends from memory).
    """
    if speed > speed_symbol_limit(symbol) * (1 + 1e-12):
        raise FormulaError(
            f"a tyre with speed symbol {symbol} ends at {speed_symbol_limit(symbol) * 3.6:.0f} km/h, "
            f"not {speed * 3.6:.0f}"
        )
    if symbol not in speed_load_table():
        return 1.0
    full, end, share = speed_load_table()[symbol]
    return 1.0 - max(0.0, speed - full) / (end - full) * (1.0 - share)


@formula(valid={"load_index": (0.0, 126.0)}, rises=("load_index",))
def tyre_axle_capacity(load_index: float, service: str) -> float:
    """Axle load two tyres may carry on a multipurpose vehicle.

    2 x load capacity, divided by 1.10 for passenger-type tyres

    Parameters
    ----------
    load_index : count [1]
        Load index of both tyres, a whole number from 0 to 126.
    service : word
        "P" (passenger-type) or "LT" (light truck), as the tyre's code says.

    Returns
    -------
    mass [kg]
        To be compared with the axle's gross rating.

    Valid for
    ---------
    Single fitment on a vehicle that is not a passenger car (a 4x4, a van, a pickup).

    References
    ----------
    49 CFR 571.110 and 571.120: a passenger tyre's rating is divided by 1.10 (rule read in an agency
    interpretation).
    """
    if service not in ("P", "LT"):
        raise FormulaError(f"service is P or LT, not {service!r}")
    pair = 2 * load_index_capacity(load_index)
    return pair / PASSENGER_ON_TRUCK if service == "P" else pair


@formula(valid={"load": (0.0, 3000.0), "capacity": (100.0, 4000.0)}, rises=("load",), falls=("capacity",))
def tyre_load_share(load: float, capacity: float) -> float:
    """Share of an axle's tyre capacity that a load takes.

    load / capacity

    Parameters
    ----------
    load : mass [kg]
        Load or gross rating of the axle.
    capacity : mass [kg]
        What its two tyres may carry, from ``tyre_axle_capacity``.

    Returns
    -------
    share [1]
        Must not pass 1.

    Valid for
    ---------
    Load and capacity of the same axle.

    References
    ----------
    49 CFR 571.110 and 571.120.
    """
    return load / capacity
