"""The tree of what can go wrong.

SwapwrightError
    FormulaError        a formula was asked outside what it is valid for
        NoSolution      the geometry asked for does not exist (two arcs do not meet, a shaft cannot reach)
    BadInput            what was given cannot be read; carries every fault found
    LimitReached        a budget of steps ran out; carries what is known so far (``solver.search.enumeration``)
"""

from __future__ import annotations


class SwapwrightError(Exception):
    """Anything this project raises on purpose."""


class FormulaError(SwapwrightError):
    """A formula was given an input outside its valid range."""


class NoSolution(FormulaError):
    """The thing asked for does not exist: circles that do not meet, a leaf that cannot span its eyes."""
