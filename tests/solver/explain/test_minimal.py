"""Minimal sets against enumeration of every subset, on random families."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import chain, combinations
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.explain.minimal import hitting_sets, minimal_sets, shrink

Held = Callable[[Sequence[int]], "frozenset[int] | bool | None"]


def subsets(count: int) -> list[frozenset[int]]:
    everything = range(count)
    return [frozenset(c) for c in chain.from_iterable(combinations(everything, n) for n in range(count + 1))]


def judged(bad: Sequence[frozenset[int]]) -> Held:
    """Groups hold unless one of ``bad`` is among them; a no names the whole of what was asked."""

    def held(groups: Sequence[int]) -> frozenset[int] | bool:
        asked = frozenset(groups)
        return asked if any(b <= asked for b in bad) else True

    return held


def minimal(sets: Sequence[frozenset[int]]) -> set[tuple[int, ...]]:
    return {tuple(sorted(s)) for s in sets if not any(o < s for o in sets)}


@given(st.integers(1, 7), st.integers(0, 10**6))
def test_all_conflicts_and_all_corrections(count: int, seed: int) -> None:
    random = Random(seed)
    bad = [frozenset(random.sample(range(count), random.randint(1, count))) for _ in range(random.randint(0, 4))]
    found = minimal_sets(count, judged(bad), most_size=count)
    failing = [s for s in subsets(count) if any(b <= s for b in bad)]
    mending = [s for s in subsets(count) if not any(b <= frozenset(range(count)) - s for b in bad)]
    assert found.complete
    assert set(found.conflicts) == minimal(failing)
    assert set(found.corrections) == (minimal(mending) if bad else set())
    assert list(found.conflicts) == sorted(found.conflicts, key=lambda c: (len(c), c))


def test_a_conflict_of_nothing_is_its_own_answer() -> None:
    found = minimal_sets(3, lambda groups: frozenset(), most_size=3)
    assert found.conflicts == ((),) and not found.corrections


def test_it_says_when_it_did_not_look_everywhere() -> None:
    """Three conflicts apart from one another need three changes; with two allowed, more may be missing."""
    bad = [frozenset((0, 1)), frozenset((2, 3)), frozenset((4, 5))]
    assert not minimal_sets(6, judged(bad), most_size=2).complete
    assert not minimal_sets(6, judged(bad), most_size=6, most_questions=5).complete
    assert minimal_sets(6, judged(bad), most_size=3).complete


def test_what_cannot_be_told_is_kept_and_said() -> None:
    members, proved = shrink([0, 1, 2], lambda groups: None if len(groups) == 2 else frozenset(groups))
    assert members == (0, 1, 2) and not proved


@pytest.mark.parametrize("seed", range(30))
def test_hitting_sets(seed: int) -> None:
    random = Random(seed)
    sets = [frozenset(random.sample(range(6), random.randint(1, 3))) for _ in range(random.randint(0, 4))]
    expected = minimal([s for s in subsets(6) if all(s & other for other in sets)])
    assert set(hitting_sets([sorted(s) for s in sets], 6)) == expected


def test_a_conflict_whose_members_were_not_all_proved_needed_is_named() -> None:
    """Two of three groups clash, but no question about fewer than all three can be told."""
    found = minimal_sets(3, lambda groups: frozenset(groups) if len(groups) == 3 else None, most_size=3)
    assert found.conflicts == ((0, 1, 2),) and found.unproved == {(0, 1, 2)} and not found.complete
    assert not minimal_sets(3, judged([frozenset((0, 1))]), most_size=3).unproved
