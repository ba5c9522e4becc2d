"""Formulas as curves: the numbers first, a picture of them where that is asked for."""

from __future__ import annotations

from knowledge.files.shape import spelt
from knowledge.formulas import formulas

from .charts import chart
from .drawing import drawn, form_of
from .pictures import PICTURES
from .shown import ChartDocument

__all__ = ["ChartDocument", "chart", "drawn", "form_of", "is_picture"]


def is_picture(name: str) -> bool:
    """Whether a name is one of the named pictures."""
    return spelt(name, [*formulas(), *PICTURES]) in PICTURES
