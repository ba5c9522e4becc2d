"""Where layouts lie, and what everybody has to know of them without reading one."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from shared.layout import Layout

# Quantities of the whole build that no formula over positions can give: money and labour (see solver.effort).
EFFORT = {"price": "money", "hours": "time", "donors": "count", "skill": "count", "parts_changed": "count"}


def shared_folder() -> Path:
    """The folder of interface and part kinds that all layouts share."""
    return Path(str(files("knowledge"))) / "kinds"


def layouts_folder() -> Path:
    """The folder of the layouts that come with the project."""
    return Path(str(files("knowledge"))) / "layouts"


def read_layout(folder: Path, shared: Path | None = None) -> Layout:
    """Read a layout's folder together with the shared kinds.

    Raises :class:`shared.faults.BadInput` with every fault found.
    """
    from .layout_files.reading import layout_of  # what was kept from an earlier run needs no reader

    return layout_of((shared or shared_folder(), folder), folder.name)
