"""Packages that share their name with the public function in them: ``from solver import graph`` can be called.

Importing such a package puts the module where ``solver`` would give the function, so the module answers calls, too.
"""

from __future__ import annotations

import sys
from types import ModuleType
from typing import Any


class _AlsoAFunction(ModuleType):
    def __call__(self, *args: Any, **named: Any) -> Any:
        return getattr(self, self.__name__.rpartition(".")[2])(*args, **named)


def also_a_function(package: str) -> None:
    """Let a package be called like the function of its name in it."""
    sys.modules[package].__class__ = _AlsoAFunction
