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


def test_what_is_wanted_twice_is_looked_for_on_two_cars() -> None:
    """Car by car the second coil would come off 1; off 2 and 3, which the rest needs, both coils come as well."""
    coils, hub, arm = {1, 2, 3}, {2}, {3}
    assert smallest_cover([coils, hub, arm], [2, 1, 1]) == (2, 3)
    assert smallest_cover([coils, hub], [2, 1]) == (1, 2)
    assert smallest_cover([coils], [3]) == (1, 2, 3)
    # Of two ways to get the hub the one that carries a coil as well is the shorter: one car alone would take either.
    assert smallest_cover([{5, 6}, {4, 6}], [2, 1]) == (5, 6)


def test_many_cars_that_offer_the_same_are_no_more_work_than_a_few() -> None:
    assert smallest_cover([range(5000), range(2500, 5000), {7}], [3, 2, 1]) == (7, 2500, 2501)


def test_a_thing_nowhere_to_be_had() -> None:
    with pytest.raises(ValueError):
        smallest_cover([{1}, set()])
    with pytest.raises(ValueError):
        smallest_cover([{1}], [2])
