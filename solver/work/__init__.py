"""The work of a build: what is done in which order, with what, and what to check before anybody drives."""

from __future__ import annotations

from .supplies import Supply, consumables

__all__ = ["Supply", "consumables"]
