"""A layout's work as it is read: amounts, and a fault with place and mend for everything that cannot be meant."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from knowledge.layout_files.work import amount
from knowledge.layouts import read_layout
from shared.faults import BadInput, Fault

TRAILER = Path(__file__).parents[2] / "data" / "trailer"


@pytest.fixture
def layout(tmp_path: Path) -> Path:
    shutil.copytree(TRAILER, tmp_path / "trailer")
    return tmp_path / "trailer" / "layout"


def faults_with(layout: Path, section: str, entries: str) -> list[Fault]:
    (layout / "more.yaml").write_text(f"format: swapwright layout\nversion: 1\n{section}:\n  {entries}\n")
    with pytest.raises(BadInput) as caught:
        read_layout(layout, layout.parent / "no-shared-kinds")
    return list(caught.value.faults)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1.5 l", (1.5, "l")),
        ("2", (2.0, "")),
        ("set", (1.0, "set")),
        ("set of 6", (1.0, "set of 6")),
        ("1 1/2 l", (1.5, "l")),
        ("3 cans", (3.0, "cans")),
        ("0 l", None),
        ("-1 l", None),
        ("2 / l", None),
        ("1,5 l", None),
    ],
)
def test_amounts(text: str, expected: tuple[float, str] | None) -> None:
    assert amount(text) == expected


@pytest.mark.parametrize(
    ("section", "entry", "code", "said"),
    [
        ("tasks", "x: {title: x, after: [lift-upp]}", "unknown-word", "lift-up"),
        ("tasks", "x: {title: x, after: [lift-up.upp]}", "unknown-word", "lift-up.up"),
        ("tasks", "x: {title: x, while_apart: [wheel]}", "unknown-word", "wheels"),
        ("tasks", "x: {title: x, fits: [whel]}", "unknown-position", "wheel"),
        ("tasks", "x: {title: x, cautions: [stand]}", "unknown-word", "stands"),
        ("tasks", "x: {title: x, fasteners: [u-bolt]}", "unknown-word", "u-bolts"),
        ("tasks", "x: {title: x, hours: 2 kg}", "bad-value", ""),
        ("tasks", "x: {title: x, consumables: [{name: y, amount: 1/0 l}]}", "bad-value", "an amount"),
        ("tasks", "x: {title: x, later: [{distance: 5 kg, says: y}]}", "bad-value", ""),
        ("tasks", "x: {title: x, checks: [{says: y, inspection: I-99}]}", "unknown-word", ""),
        ("tasks", "x: {title: x, steps: [{id: a, does: b}], hours: 1 h}", "contradiction", "within a step"),
        ("tasks", "x: {title: x, steps: [{id: a, does: b}, {id: a, does: c}]}", "duplicate-id", ""),
        ("tasks", "x: {title: x, steps: [{does: b}]}", "missing-key", "'id'"),
        ("tasks", "x: {title: x, takes_apart: [wheels]}", "contradiction", "exactly one such step"),
        ("tasks", "x: {title: x, after: [lift-up.down], while_apart: [wheels]}", "cycle", ""),
        ("tasks", "x: {title: x, people: many}", "shape", "a whole number"),
        ("apart", "nothing: {about: never taken apart}", "contradiction", "exactly one such step"),
        ("fasteners", "x: {name: x, how: y, grades: [strong]}", "unknown-word", ""),
        ("fasteners", "x: {name: x, how: y, condition: wet}", "unknown-word", ""),
        ("fasteners", "x: {name: x, how: y, share: 60 % to 90 %}", "contradiction", "at most 75%"),
        ("fasteners", "x: {name: x, how: y, maker: [lift]}", "bad-value", "what a part or the car states"),
        ("fasteners", "x: {name: x, how: y, threads: [spring.axle.tread]}", "unknown-attribute", ""),
        ("fasteners", "x: {name: x, how: y, undone_by: [lift]}", "unknown-word", ""),
        ("cautions", "x: {says: y}", "missing-key", "'source'"),
    ],
)
def test_faults(layout: Path, section: str, entry: str, code: str, said: str) -> None:
    found = [f for f in faults_with(layout, section, entry) if f.code == code]
    assert found
    assert any(f.line == 4 or code in ("contradiction", "cycle") for f in found)
    assert said in " ".join(f"{f.expected} {f.mend}" for f in found)
