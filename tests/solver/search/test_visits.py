"""Shares of the way to a donor: never more than the fewest donors cost; all of it where nothing is shared."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from shared.part import Donor, Part
from solver.effort import Effort, fewest
from solver.search.visits import visit_shares
from tests.solver.random_problems import random_problem

CARS = st.lists(st.sampled_from("abcdef"), unique=True, max_size=3)


def effort() -> Effort:
    """Of any problem: what is asked of it here is only whether a part is the one fitted now."""
    return random_problem(1).effort


def part(at: str, number: int, cars: list[str], new: bool) -> Part:
    donors = tuple(Donor(car, "Pattern") for car in cars)
    return Part(f"{at}-{number}", "a part", "kind", (at,), {}, {}, donors, buy="new" if new else "used")


def carriers(work: Effort, domains: dict[str, list[Part]]) -> dict[str, list[frozenset[str]]]:
    return {at: [work.carriers(at, p) for p in parts] for at, parts in domains.items()}


@given(st.data())
def test_no_build_pays_more_than_its_fewest_donors_cost(data: st.DataObject) -> None:
    work = effort()
    domains = {
        at: [part(at, n, cars, new) for n, (cars, new) in enumerate(drawn)]
        for at in list(work.stock)[:5]
        if (drawn := data.draw(st.lists(st.tuples(CARS, st.booleans()), min_size=1, max_size=4)))
    }
    worth = data.draw(st.integers(0, 5_000))
    shares = visit_shares(carriers(work, domains), worth)
    chosen = {at: data.draw(st.integers(0, len(parts) - 1)) for at, parts in domains.items()}
    paid = sum(shares[at][i] for at, i in chosen.items())
    needed = [c for at, i in chosen.items() if (c := work.carriers(at, domains[at][i]))]
    assert paid <= worth * len(fewest(needed))


def test_a_car_that_carries_for_one_position_alone_is_paid_in_full() -> None:
    work = effort()
    one, two, *_ = work.stock
    domains = {one: [part(one, 0, ["a"], False)], two: [part(two, 0, ["b"], False), part(two, 1, [], False)]}
    assert visit_shares(carriers(work, domains), 1000) == {one: [1000], two: [1000, 0]}


def test_a_car_that_carries_for_two_positions_is_paid_by_halves() -> None:
    work = effort()
    one, two, *_ = work.stock
    domains = {one: [part(one, 0, ["a"], False)], two: [part(two, 0, ["a", "b"], False)]}
    assert visit_shares(carriers(work, domains), 1001) == {one: [500], two: [500]}
