"""The small trailer, a copy of it with names one would not wish for, and the demo's chosen parts."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

TRAILER = Path(__file__).parents[2] / "data" / "trailer"


@pytest.fixture(scope="session")
def trailer() -> Path:
    return TRAILER / "goal.yaml"


@pytest.fixture
def named(tmp_path: Path) -> Callable[[str], Path]:
    """A trailer whose tall spring has a name of one's own."""

    def make(name: str) -> Path:
        folder = tmp_path / "trailer"
        shutil.copytree(TRAILER, folder)
        file = folder / "catalogue.yaml"
        text = file.read_text("utf-8")
        assert "name: Tall spring" in text
        file.write_text(text.replace("name: Tall spring", f"name: {json.dumps(name, ensure_ascii=False)}"), "utf-8")
        return folder / "goal.yaml"

    return make
