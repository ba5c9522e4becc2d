"""Finds builds that meet a goal, says why others fail, and turns a build into a plan.

>>> from solver import demo_goal, plan
>>> plan(demo_goal(), most=1).builds[0].verdict
'fits'
"""

from __future__ import annotations

from .demo import demo_goal

__all__ = [
    "calc",
    "chart",
    "check",
    "demo_goal",
    "graph",
    "measure",
    "new",
    "page",
    "plan",
    "shop",
    "why",
    "work",
    "yard",
]


def __getattr__(name: str) -> object:
    """Load a public function when it is first asked for, so that help and completion stay quick."""
    from importlib import import_module

    homes = {
        "calc": "calculating",
        "chart": "plotting",
        "check": "checking",
        "graph": "graph",
        "measure": "measuring.asking",
        "new": "starting",
        "page": "page",
        "plan": "planning",
        "shop": "shopping",
        "why": "explain",
        "work": "work",
        "yard": "yard",
    }
    if name in homes:
        return getattr(import_module(f"solver.{homes[name]}"), name)
    raise AttributeError(name)
