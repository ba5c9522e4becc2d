"""Every rule of the trade has its place in the first layout, and every requirement of the layout its rule."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from knowledge.layouts import layouts_folder, read_layout

TABLE: dict[str, dict[str, Any]] = YAML(typ="safe").load(Path(__file__).with_name("rule_table.yaml").read_text())
LAYOUT = read_layout(layouts_folder() / "solid-axle-4x4")
REQUIREMENTS = {r.id: r for r in LAYOUT.requirements}


@pytest.mark.parametrize("rule", sorted(TABLE))
def test_a_rule_has_its_place(rule: str) -> None:
    row = TABLE[rule]
    places = {"requirements": REQUIREMENTS, "positions": LAYOUT.positions, "tasks": LAYOUT.tasks}
    for key, known in places.items():
        for name in row.get(key, ()):
            assert name in known, f"{rule}: no {key} {name}"
    for interface, attribute in row.get("mates", ()):
        rules = LAYOUT.interfaces[interface].rules
        assert any(attribute in (r.left, r.right) for r in rules), f"{rule}: {interface} does not compare {attribute}"
    held = [key for key in (*places, "mates") if row.get(key)]
    assert held, f"{rule} is held by nothing"
    if held == ["tasks"]:
        assert row.get("left_out") or rule == "R20", f"{rule} is only work and does not say why"


def test_every_requirement_belongs_to_a_rule() -> None:
    named = {name for row in TABLE.values() for name in row.get("requirements", ())}
    assert named == set(REQUIREMENTS)


@pytest.mark.parametrize("name", sorted(REQUIREMENTS))
def test_a_requirement_says_all_it_must(name: str) -> None:
    rule = REQUIREMENTS[name]
    assert rule.says and rule.source
    assert rule.severity in ("must", "should", "check")
    if rule.severity == "check" and rule.subject is None:
        assert rule.measure_first


def test_there_are_enough() -> None:
    assert len(REQUIREMENTS) >= 50
