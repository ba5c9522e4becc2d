"""What a chart is before anybody draws it: curves with their bounds, limits with their sources, in SI."""

from __future__ import annotations

from shared.plan import Model

from ..calculating import InputShown


class Axis(Model):
    """One axis: what it measures and how it is labelled."""

    name: str
    measure: str
    label: str


class Curve(Model):
    """A line through the points; ``lo`` and ``hi`` differ where an input is a range, ``None`` is no result."""

    label: str
    lo: tuple[float | None, ...]
    hi: tuple[float | None, ...]


class Limit(Model):
    """A limit: a straight line across at one value of an axis, or (``along``) a line that bends."""

    axis: str
    text: str
    source: str
    at: float | None = None
    along: tuple[float, ...] = ()


class Barred(Model):
    """A stretch of the lower axis that a rule does not allow."""

    start: float
    end: float
    text: str
    source: str


class ChartDocument(Model):
    """A formula, or several, against one input."""

    format: str = "swapwright chart"
    version: int = 1
    name: str
    about: str
    formulas: tuple[str, ...]
    inputs: tuple[InputShown, ...]
    x: Axis
    y: Axis
    points: tuple[float, ...]
    curves: tuple[Curve, ...]
    limits: tuple[Limit, ...]
    barred: tuple[Barred, ...]
    notes: tuple[str, ...]
    valid_for: str
    source: str
