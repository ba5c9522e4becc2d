"""What the springing formulas declare of themselves holds: each is documented, and moves the way it says.

The direction of every declared argument is tried over the whole of its valid range, with all the others drawn from
theirs.  Points where the geometry does not exist are passed over.
"""

import re
from inspect import signature

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from knowledge.formulas import Formula, formulas
from shared.errors import FormulaError

SUBJECTS = {
    "axle_loads",
    "bump_stops",
    "coil_limits",
    "damper_travel",
    "dampers",
    "damping",
    "laminated",
    "leaf_limits",
    "leaf_pack",
    "leaves",
    "modes",
    "ride",
    "roll",
    "seating",
    "shackle_pivot",
    "shackles",
    "springs",
    "cut_coils",
    "stance",
}
OURS = {name: f for name, f in formulas().items() if f.subject in SUBJECTS}
FIXED = {name: f for name, f in OURS.items() if f.names}
DIRECTED = {name: f for name, f in FIXED.items() if f.rises | f.falls}


def choices(formula: Formula, argument: str) -> st.SearchStrategy[float | str]:
    """Any value of an argument: a number of its valid range, or one of the words its description quotes."""
    if argument in formula.valid:
        low, high = formula.valid[argument]
        return st.floats(low, high)
    about = next(a.about for a in formula.arguments if a.name == argument)
    return st.sampled_from(re.findall(r'"(\w+)"', about))


def values(formula: Formula, point: dict[str, float | str], argument: str, other: float) -> tuple[float, float] | None:
    """The result with one argument low and then high, or none where the geometry does not exist."""
    low, high = sorted((float(point[argument]), other))
    try:
        return formula.function(**{**point, argument: low}), formula.function(**{**point, argument: high})
    except FormulaError:
        return None


@pytest.mark.parametrize("formula", DIRECTED.values(), ids=DIRECTED)
def test_moves_as_declared(formula: Formula) -> None:
    directions = {**dict.fromkeys(formula.rises, 1), **dict.fromkeys(formula.falls, -1)}
    points = st.fixed_dictionaries({name: choices(formula, name) for name in formula.names})
    others = st.fixed_dictionaries({name: choices(formula, name) for name in sorted(directions)})

    @settings(max_examples=60, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck))
    @given(points, others)
    def check(point: dict[str, float | str], other: dict[str, float]) -> None:
        pairs = {name: values(formula, point, name, other[name]) for name in directions}
        assume(any(pairs.values()))
        for name, pair in pairs.items():
            if pair is not None:
                # Only rounding may go the other way.
                rounding = 1e-12 * (1 + max(map(abs, pair)))
                assert directions[name] * (pair[1] - pair[0]) >= -rounding, name

    check()


@pytest.mark.parametrize("formula", FIXED.values(), ids=FIXED)
def test_every_argument_is_documented_and_bounded(formula: Formula) -> None:
    documented = formula.arguments
    assert tuple(a.name for a in documented) == tuple(signature(formula.function).parameters)
    assert set(formula.valid) == {a.name for a in documented if a.measure != "word"}
    assert all(low < high for low, high in formula.valid.values())
    assert formula.rises | formula.falls <= set(formula.valid)
    assert not formula.rises & formula.falls


@pytest.mark.parametrize("formula", OURS.values(), ids=OURS)
def test_every_result_is_documented_and_sourced(formula: Formula) -> None:
    assert formula.result.about
    assert formula.source
    assert formula.sections.get("valid for")


def test_all_subjects_are_there() -> None:
    assert {f.subject for f in OURS.values()} == SUBJECTS
