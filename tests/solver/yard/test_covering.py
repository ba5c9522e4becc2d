"""The smallest set of cars; random cases against other methods are in tests/outside/test_yard_oracles.py."""

from __future__ import annotations

import pytest

from solver.yard.covering import smallest_cover


def test_nothing_wanted_needs_no_car() -> None:
    assert smallest_cover([]) == ()


def test_one_car_that_has_it_all() -> None:
    assert smallest_cover([{3, 5}, {5, 9}, {5}]) == (5,)


def test_the_greedy_choice_is_not_the_smallest() -> None:
    # Greedy takes 1 (four things) and then needs two more; 2 and 3 have everything.
    assert smallest_cover([{1, 2}, {1, 2}, {1, 3}, {1, 3}, {2}, {3}]) == (2, 3)


def test_among_equals_the_first_on_the_way() -> None:
    assert smallest_cover([{4, 7}, {7, 4, 2}]) == (4,)
    assert smallest_cover([{8, 1}, {9, 2}]) == (1, 2)


def test_a_thing_nowhere_to_be_had() -> None:
    with pytest.raises(ValueError):
        smallest_cover([{1}, set()])
