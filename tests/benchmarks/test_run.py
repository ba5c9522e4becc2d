"""The benchmark command itself, on the smallest catalogue there is."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from solver.problem import Problem
from solver.search.enumeration import Found
from tests.benchmarks import run
from tests.benchmarks.apart import Ran, run_apart
from tests.benchmarks.results import Results, Row
from tests.solver.random_problems import random_problem


def test_two_methods_side_by_side(tmp_path: Path) -> None:
    arguments = ["--sizes", "3", "--money", "loose", "--methods", "ours,cp-sat-1-prefiltered", "--repeats", "1"]
    assert run.main([*arguments, "--seconds", "60", "--out", str(tmp_path)]) == 0
    tree = json.loads((tmp_path / "results.json").read_text("utf-8"))
    assert [row["method"] for row in tree["rows"]] == ["ours", "cp-sat-1-prefiltered"]
    assert all(row["status"] == "proved" and row["runs"][0]["peak"] > 10 for row in tree["rows"])
    assert tree["asked"]["seed"] == 1 and not tree["differing"]
    assert "cp-sat-1-prefiltered" in (tmp_path / "table.txt").read_text("utf-8")
    assert (tmp_path / "growth.png").read_bytes().startswith(b"\x89PNG")


def forever(problem: Problem, most: int, seconds: float, parts: dict[str, float]) -> list[Found]:
    while True:
        pass


def wrong(problem: Problem, most: int, seconds: float, parts: dict[str, float]) -> list[Found]:
    raise ValueError("no")


def test_what_runs_too_long_is_stopped_and_what_fails_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tests.benchmarks.apart.GRACE", 0.1)
    late = run_apart(forever, random_problem(1), 3, 0.2)
    assert late.status == "stopped" and late.seconds >= 0.2
    failed = run_apart(wrong, random_problem(1), 3, 5.0)
    assert failed.status == "failed" and failed.trouble == "ValueError: no"


def test_different_proofs_are_shouted_about() -> None:
    results = Results.begun({"seed": 1, "seconds": 1.0})
    for name, score in (("ours", 100), ("other", 200)):
        row = Row(3, 1.0, "loose", None, True, name)
        row.runs.append(Ran("proved", 1.0, 1.0, ((False, score, ("a",)),)))
        results.rows.append(row)
    assert results.differing() == ["n = 3, grid 1 mm, loose"]
    assert "DIFFERENT ANSWERS" in results.table()
