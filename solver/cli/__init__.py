"""The command line.  It holds no logic: every command calls the public function of the same name."""

from __future__ import annotations

from .app import main

__all__ = ["main"]
