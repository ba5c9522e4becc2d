"""The base of every file's shape."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Shape(BaseModel):
    """Base of all file shapes: closed, and every leaf a text."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)
