"""Every formula of the trade, one function each, SI in and out, grouped by subject.

>>> from knowledge.formulas import formulas
>>> formulas()["coil_rate"].result.unit
'N/m'
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Mapping
from functools import cache

from ._registry import REGISTER, Argument, Formula, formula

__all__ = ["Argument", "Formula", "formula", "formulas"]


@cache
def formulas() -> Mapping[str, Formula]:
    """All formulas by name; the subject modules are imported on the first call."""
    for module in sorted(m.name for m in pkgutil.iter_modules(__path__) if not m.name.startswith("_")):
        importlib.import_module(f"{__name__}.{module}")
    return dict(sorted(REGISTER.items()))
