"""Where the demo lies."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

GOALS = ("trail", "tight", "impossible", "yard", "clash")


def demo_folder() -> Path:
    """The folder of the demo scenario, in a checkout or in an installed wheel."""
    return Path(str(files("demo_data"))) / "fellgate"


def demo_goal(name: str = "trail") -> Path:
    """The file of one of the demo's goals; see :data:`GOALS`."""
    return demo_folder() / f"goal-{name}.yaml"
