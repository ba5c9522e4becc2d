"""The rules of the house: imports run one way, the top level holds what it should, docstrings are true."""

from __future__ import annotations

import ast
import inspect
from pathlib import Path

import pytest

from knowledge.formulas import formulas
from shared.units import measures

ROOT = Path(__file__).parent.parent
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "solver", "knowledge", "tests", "shared", "demo_data"}
MAY_IMPORT = {"shared": {"shared"}, "knowledge": {"shared", "knowledge"}, "solver": {"shared", "knowledge", "solver"}}
INSIDE_SOLVER = ["problem", "search", "planning", "report", "cli"]


def test_nothing_else_at_the_top() -> None:
    found = {p.name for p in ROOT.iterdir() if not p.name.startswith(".") and p.name not in ("build", "dist")}
    assert {n for n in found if not n.endswith(".egg-info") and n != "__pycache__"} == TOP


def imported(path: Path) -> set[str]:
    package = path.relative_to(ROOT).parts[0]
    names = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            names.update(alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            names.add(package if node.level else (node.module or "").split(".")[0])
    return names


@pytest.mark.parametrize("package", sorted(MAY_IMPORT))
def test_imports_run_one_way(package: str) -> None:
    for path in (ROOT / package).rglob("*.py"):
        ours = imported(path) & set(MAY_IMPORT)
        assert ours <= MAY_IMPORT[package], path


def test_the_search_does_not_know_the_answers_shape() -> None:
    for path in (ROOT / "solver" / "search").glob("*.py"):
        text = path.read_text("utf-8")
        for later in ("planning", "report", "cli", "words"):
            assert f"from ..{later}" not in text, path


@pytest.mark.parametrize("name", sorted(formulas()))
def test_formula_docstrings_are_true(name: str) -> None:
    """Names, order and measures of the docstring agree with the signature; there is a source."""
    formula = formulas()[name]
    told = [a.name for a in formula.arguments]
    parameters = list(inspect.signature(formula.function).parameters.values())
    assert told == [p.name for p in parameters]
    known = {*measures(), "word", "any"}
    for argument in (*formula.arguments, formula.result):
        assert argument.measure in known, (argument.name, argument.measure)
    assert formula.source, name
    fixed = {p.name for p in parameters if p.kind is not inspect.Parameter.VAR_POSITIONAL}
    numeric = {a.name for a in formula.arguments if a.measure != "word"} & fixed
    assert set(formula.valid) >= numeric, f"{name}: no valid range for {numeric - set(formula.valid)}"
    assert formula.rises.isdisjoint(formula.falls)
    assert formula.rises | formula.falls <= {p.name for p in parameters}
