"""The rules of the house: imports run one way, the top level holds what it should, docstrings are true."""

from __future__ import annotations

import ast
import inspect
import re
from pathlib import Path

import pytest

from knowledge.formulas import formulas
from shared.units import measures

ROOT = Path(__file__).parent.parent
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "solver", "knowledge", "tests", "shared", "demo_data"}
MAY_IMPORT = {"shared": {"shared"}, "knowledge": {"shared", "knowledge"}, "solver": {"shared", "knowledge", "solver"}}
# What neither the search nor the counting knows: the shape of answers, and who asks.
LATER = {"planning", "explain", "words", "report", "cli"}


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


@pytest.mark.parametrize(("package", "later"), [("search", {"counting", *LATER}), ("counting", LATER)])
def test_inside_the_solver_too(package: str, later: set[str]) -> None:
    for path in (ROOT / "solver" / package).rglob("*.py"):
        found = re.findall(r"^\s*from \.{2,3}(\w+)", path.read_text("utf-8"), re.MULTILINE)
        assert later.isdisjoint(found), path


def packages() -> list[Path]:
    return [path.parent for package in sorted(MAY_IMPORT) for path in sorted((ROOT / package).rglob("__init__.py"))]


@pytest.mark.parametrize("folder", packages(), ids=lambda folder: str(folder.relative_to(ROOT)))
def test_a_package_that_lists_its_modules_lists_them_all(folder: Path) -> None:
    docstring = ast.get_docstring(ast.parse((folder / "__init__.py").read_text("utf-8"))) or ""
    if re.search(r"^``\w+``", docstring, re.MULTILINE):
        inside = {p.stem for p in folder.iterdir() if p.suffix == ".py" or (p / "__init__.py").exists()}
        named = set(re.findall(r"``(\w+)``", docstring))
        assert named >= inside - {"__init__"}
        assert all(name in inside for name in re.findall(r"^``(\w+)``", docstring, re.MULTILINE))


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
