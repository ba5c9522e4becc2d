"""Standards tables: facts of publications, one CSV each, and cached readers.

``README.md`` beside the tables says from which publication each comes and how it is known.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from importlib.resources import files
from types import MappingProxyType

KMH = 1 / 3.6  # m/s in one km/h
_FT_PSI = 0.3048 * 6894.757293168361 * 1000  # m Pa in one foot at 1000 psi

__all__ = [
    "hose_expansion",
    "load_index_table",
    "rows",
    "speed_load_table",
    "speed_symbol_table",
    "stopping_distance_table",
]


@cache
def rows(table: str) -> tuple[Mapping[str, str], ...]:
    """The rows of ``table`` (its file name without ``.csv``), each by the names in the header, in file order."""
    text = files(__name__).joinpath(f"{table}.csv").read_text(encoding="utf-8")
    return tuple(MappingProxyType(row) for row in csv.DictReader(text.splitlines()))


@cache
def load_index_table() -> Mapping[int, float]:
    """Load a tyre may carry [kg] by its load index."""
    return MappingProxyType({int(row["load_index"]): float(row["load_kg"]) for row in rows("tyre_load_index")})


@cache
def speed_symbol_table() -> Mapping[str, float]:
    """Highest speed of a tyre [m/s] by its speed symbol, slowest first."""
    return MappingProxyType({row["symbol"]: float(row["max_speed_kmh"]) * KMH for row in rows("speed_symbol")})


@cache
def speed_load_table() -> Mapping[str, tuple[float, float, float]]:
    """By speed symbol: speed up to which the whole load holds [m/s], end speed [m/s], share of the load there."""
    return MappingProxyType(
        {
            row["symbol"]: (
                float(row["full_load_to_kmh"]) * KMH,
                float(row["end_speed_kmh"]) * KMH,
                float(row["share_at_end"]),
            )
            for row in rows("tyre_speed_load")
        }
    )


@cache
def stopping_distance_table() -> Mapping[str, tuple[float, float]]:
    """By rule: the a [m per km/h] and c [m per (km/h)2] of S = a V + c V2."""
    return MappingProxyType(
        {
            row["rule"]: (float(Fraction(row["a_m_per_kmh"])), float(Fraction(row["c_m_per_kmh2"])))
            for row in rows("stopping_distance")
        }
    )


@cache
def hose_expansion() -> Mapping[str, float]:
    """Most a brake hose may swell, by its kind: volume per length and pressure [m3/(m Pa)]."""
    return MappingProxyType(
        {row["kind"]: float(row["cm3_per_ft_at_1000_psi"]) * 1e-6 / _FT_PSI for row in rows("brake_hose_expansion")}
    )
