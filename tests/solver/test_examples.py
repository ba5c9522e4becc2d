"""Every public function is documented with an example that runs."""

from __future__ import annotations

from doctest import DocTestFinder, DocTestRunner
from importlib import import_module

import pytest

import solver

WITH_EXAMPLES = [name for name in solver.__all__ if name != "demo_goal"]


@pytest.mark.parametrize("name", WITH_EXAMPLES)
def test_its_example_runs(name: str) -> None:
    function = getattr(solver, name)
    function = getattr(function, name, function)  # a package and its function may share the name
    module = import_module(function.__module__)
    found = DocTestFinder(recurse=False).find(function, name, module=module, globs=vars(module).copy())
    examples = [example for test in found for example in test.examples]
    assert examples, f"{name} has no example"
    for test in found:
        assert DocTestRunner(verbose=False).run(test).failed == 0
