"""The benchmark: one command, every way of searching side by side on the same catalogues.

``python -m tests.benchmarks.run --sizes 10,30,100 --out DIR``

For every size and grid a catalogue is written, read once, and handed to every method in a process of its own (a
copy of this one after reading, so that nobody pays for reading and nobody finds anything already computed).  Written
to DIR: ``results.json`` (every single run), ``table.txt`` and ``growth.png``.

Money.  *loose* is no limit; *tight* is 2 % more than the cheapest certain build costs; *half-way* lies in the middle
between that and what the best loose build costs.  The reference method (``--reference``) finds both figures; where it
does not come to an end, the last smaller size's figures are taken and the table says so.

Exit 1 if two methods that both proved their answers differ.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import replace
from math import ceil
from pathlib import Path
from time import perf_counter

from knowledge.garage import read_goal
from shared.goal import Goal, Limit, Preference
from shared.ranges import Range
from solver.problem import Problem, build_problem
from tests.benchmarks.apart import Ran, run_apart
from tests.benchmarks.catalogues import Recipe, write_catalogue
from tests.benchmarks.methods import METHODS, Method
from tests.benchmarks.results import Results, Row

MONEY = ("loose", "half-way", "tight")


def with_money(goal: Goal, amount: float | None) -> Goal:
    """A goal with another limit on money, or with none."""
    others = tuple(limit for limit in goal.limits if limit.quantity != "price")
    return replace(
        goal, limits=others if amount is None else (*others, Limit("price", None, amount, f"at most {amount:g}"))
    )


def only_money(goal: Goal) -> Goal:
    """A goal to which nothing but money is worth anything."""
    names = ("hours", "donors", "advice")
    return replace(goal, prefer=tuple(Preference(n, "least", 0.0, None, f"least {n}: 0") for n in names))


def spent(problem: Problem, ran: Ran) -> float | None:
    """What the best build of a run costs at the dearer end; ``None`` where none was proved."""
    if ran.status != "proved" or not ran.answer:
        return None
    ids = ran.answer[0][2]
    build = {
        at: next(p for p in parts if ("" if p is None else p.id) == chosen)
        for (at, parts), chosen in zip(problem.domains.items(), ids, strict=True)
    }
    price = problem.effort.price(build)
    return price.hi if isinstance(price, Range) else None


def amounts(problem: Problem, method: Method, seconds: float) -> dict[str, float | None] | None:
    """The limits on money for one catalogue; ``None`` where the reference did not come to an end."""
    best = spent(problem, run_apart(method, problem, 1, seconds))
    cheap = build_problem(only_money(problem.goal), problem.garage)
    least = spent(cheap, run_apart(method, cheap, 1, seconds))
    if best is None or least is None:
        return None
    tight = ceil(least * 1.02)
    return {"loose": None, "half-way": float(max(tight, ceil((least + best) / 2))), "tight": float(tight)}


def measure(asked: argparse.Namespace) -> Results:
    """Every run that was asked for."""
    # Nothing kept from an earlier run may help the first reading here.
    os.environ["SWAPWRIGHT_CACHE"] = "off"
    results = Results.begun(vars(asked))
    methods = {name: METHODS[name] for name in asked.methods}
    over: set[tuple[str, float, str]] = set()
    for grid in asked.grids:
        known: dict[str, float | None] | None = None
        for size in asked.sizes:
            with tempfile.TemporaryDirectory() as made:
                recipe = Recipe(size, grid / 1000, asked.seed)
                folder = write_catalogue(Path(made), recipe)
                start = perf_counter()
                goal, garage = read_goal(folder / "goal-loose.yaml")
                reading = perf_counter() - start
            say(f"n = {size}, grid {grid:g} mm: {len(garage.parts):,} parts read in {reading:.2f} s")
            results.reading.append({"size": size, "grid": grid, "parts": len(garage.parts), "seconds": reading})
            found = None
            if set(asked.money) != {"loose"}:
                found = amounts(build_problem(goal, garage), METHODS[asked.reference], asked.seconds)
                known = found or known
            for money in asked.money:
                if money != "loose" and known is None:
                    say(f"  {money}: left out, the reference did not find how much that is")
                    continue
                amount = None if money == "loose" or known is None else known[money]
                wanted = with_money(goal, amount)
                rows = [Row(size, grid, money, amount, found is not None or amount is None, name) for name in methods]
                for repeat in range(asked.repeats):
                    for row, method in zip(rows, methods.values(), strict=True):
                        if (row.method, grid, money) in over or (repeat and row.runs[-1].status == "stopped"):
                            continue
                        # A fresh problem each time: nothing computed for one method is there for the next.
                        row.runs.append(run_apart(method, build_problem(wanted, garage), asked.most, asked.seconds))
                        say(f"  {row.line()}")
                over |= {(r.method, grid, money) for r in rows if r.runs and r.runs[-1].status != "proved"}
                results.rows += [r for r in rows if r.runs]
    return results


def say(text: str) -> None:
    """Progress, on stderr."""
    print(text, file=sys.stderr, flush=True)


def listed(text: str) -> list[str]:
    """Words between commas."""
    return [word.strip() for word in text.split(",") if word.strip()]


def options(arguments: Sequence[str] | None = None) -> argparse.Namespace:
    """What was asked for."""
    parser = argparse.ArgumentParser(description="Measure every way of searching side by side.")
    parser.add_argument("--sizes", type=lambda t: [int(x) for x in listed(t)], default=[10, 30, 100])
    parser.add_argument("--grids", type=lambda t: [float(x) for x in listed(t)], default=[1.0], help="in mm: 1,0.1")
    parser.add_argument("--money", type=listed, default=list(MONEY), help=", ".join(MONEY))
    parser.add_argument("--methods", type=listed, default=list(METHODS), help=", ".join(METHODS))
    parser.add_argument("--reference", choices=list(METHODS), default="ours", help="finds how much money is tight")
    parser.add_argument("--most", type=int, default=10, help="builds wanted")
    parser.add_argument("--repeats", type=int, default=3)
    parser.add_argument("--seconds", type=float, default=60.0, help="time limit of one run")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--out", type=Path, required=True)
    asked = parser.parse_args(arguments)
    for named, known in ((asked.methods, METHODS), (asked.money, MONEY)):
        for name in named:
            if name not in known:
                parser.error(f"{name!r} is none of {', '.join(known)}")
    return asked


def main(arguments: Sequence[str] | None = None) -> int:
    """Measure, and write what was found."""
    asked = options(arguments)
    results = measure(asked)
    results.write(asked.out)
    print(results.table())
    say(f"written to {asked.out}")
    return 1 if results.differing() else 0


if __name__ == "__main__":
    sys.exit(main())
