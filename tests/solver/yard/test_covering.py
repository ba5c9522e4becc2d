"""The smallest set of cars; random cases against other methods are in tests/outside/test_yard_oracles.py."""

from __future__ import annotations

import pytest

from solver.yard.covering import Cover, smallest_cover


def test_nothing_wanted_needs_no_car() -> None:
    assert smallest_cover([]).cars == ()


def test_one_car_that_has_it_all() -> None:
    assert smallest_cover([{3, 5}, {5, 9}, {5}]).cars == (5,)


def test_the_greedy_choice_is_not_the_smallest() -> None:
    # Greedy takes 1 (four things) and then needs two more; 2 and 3 have everything.
    assert smallest_cover([{1, 2}, {1, 2}, {1, 3}, {1, 3}, {2}, {3}]).cars == (2, 3)


def test_among_equals_the_first_on_the_way() -> None:
    assert smallest_cover([{4, 7}, {7, 4, 2}]).cars == (4,)
    assert smallest_cover([{8, 1}, {9, 2}]).cars == (1, 2)


def test_what_is_wanted_twice_is_looked_for_on_two_cars() -> None:
    """Car by car the second coil would come off 1; off 2 and 3, which the rest needs, both coils come as well."""
    coils, hub, arm = {1, 2, 3}, {2}, {3}
    assert smallest_cover([coils, hub, arm], [2, 1, 1]).cars == (2, 3)
    assert smallest_cover([coils, hub], [2, 1]).cars == (1, 2)
    assert smallest_cover([coils], [3]).cars == (1, 2, 3)
    # Of two ways to get the hub the one that carries a coil as well is the shorter: one car alone would take either.
    assert smallest_cover([{5, 6}, {4, 6}], [2, 1]).cars == (5, 6)


def test_many_cars_that_offer_the_same_are_no_more_work_than_a_few() -> None:
    assert smallest_cover([range(5000), range(2500, 5000), {7}], [3, 2, 1]).cars == (7, 2500, 2501)


def test_where_the_work_ends_first_what_is_found_is_not_called_the_smallest() -> None:
    """Two rows of seven things: 1 and 2 have a row each, 3 four columns of both, 4 two of the rest, 5 the last.

    Taking the most each time takes 3 (eight things), 4 and 5, and none of these is spare.
    """
    things = [{row, column} for row in (1, 2) for column in (3, 3, 3, 3, 4, 4, 5)]
    assert smallest_cover(things, work=0) == Cover((3, 4, 5), at_least=1)
    assert smallest_cover(things) == Cover((1, 2), at_least=2)


def test_what_the_greedy_set_has_twice_is_put_back() -> None:
    """1 has four of six things; the others need 2 and 3, and then nothing needs 1."""
    assert smallest_cover([{1, 2}, {1, 2}, {1, 3}, {1, 3}, {2}, {3}], work=0).cars == (2, 3)


def test_a_thing_nowhere_to_be_had() -> None:
    with pytest.raises(ValueError):
        smallest_cover([{1}, set()])
    with pytest.raises(ValueError):
        smallest_cover([{1}], [2])
