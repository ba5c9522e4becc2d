"""One list of everything a build needs: used and new parts, what the work uses up, and what is paid back.

Prices are ranges.  What a set holds, and what is always new with a used part, is listed without a price of its own;
an unknown price is said to be unknown and never counted as nothing without saying so.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Literal

from knowledge.shopping_notes import Inside, shopping_notes
from shared.part import Part
from shared.plan import Model, Number
from shared.ranges import Range
from shared.units import System

from .graph.sources import opened
from .problem import Problem
from .relations import Build
from .words import OWN_ALTERED, money
from .work import Supply, consumables
from .yard.swaps import swaps

Sort = Literal[
    "used part",
    "new part",
    "own part",
    "new with a used part",
    "fastener",
    "seal",
    "rubber",
    "lining",
    "fluid",
    "other",
]
SORTS: tuple[Sort, ...] = (
    "used part",
    "new part",
    "own part",
    "fastener",
    "seal",
    "rubber",
    "lining",
    "fluid",
    "other",
    "new with a used part",
)


class ShopLine(Model):
    """One line of the list.

    ``price`` is unknown where ``part_of`` names the set whose price it is in.  ``new`` is what the cheapest new part
    costs that could stand in its place in this build; unknown where the catalogue has none.
    """

    sort: Sort
    name: str
    quantity: float
    unit: str
    grade: str
    use: str
    where: str
    price: Number
    core: Number | None = None
    new: Number | None = None
    new_name: str = ""
    once: bool = False
    part_of: str = ""
    note: str = ""
    source: str = ""


class Totals(Model):
    """Sums as ranges; ``unpriced`` lines are in none of them.

    ``all`` is what is paid in the end; ``core`` is asked on top of it and paid back.  ``used_known`` and ``new_known``
    compare the used parts of which a new price is known with those new prices; ``altering`` is paid for the car's own
    parts to be altered.
    """

    used: Number
    new: Number
    altering: Number
    supplies: Number
    all: Number
    core: Number
    unpriced: int
    used_known: Number
    new_known: Number
    compared: int
    not_compared: int


class ShoppingDocument(Model):
    """Everything to get for one build."""

    format: Literal["swapwright shopping"] = "swapwright shopping"
    version: Literal[1] = 1
    goal: str
    build: int | None
    lines: tuple[ShopLine, ...]
    totals: Totals | None


def shop(source: Path, build: int = 1, units: System = "metric") -> ShoppingDocument:
    """The shopping list of a plan's build; of a goal, which is planned first.

    Without any build the list is empty and ``build`` is ``None``.  Raises :class:`shared.faults.BadInput`.

    >>> from solver import demo_goal, shop
    >>> shop(demo_goal("tight")).build
    1
    """
    found = opened(source, build, units)
    name = found.problem.goal.name
    if found.build is None:
        return ShoppingDocument(goal=name, build=None, lines=(), totals=None)
    lines = shopping_lines(found.problem, found.build)
    return ShoppingDocument(goal=name, build=build, lines=lines, totals=totals(lines))


def shopping_lines(problem: Problem, build: Build) -> tuple[ShopLine, ...]:
    """The lines of a build, parts first."""
    parts = _part_lines(problem, build)
    tasks = [t.id for t in problem.effort.tasks(build)]
    titles = {name: task.title for name, task in problem.garage.layout.tasks.items()}
    supplies = [
        line
        for supply in consumables(problem.garage.layout, tasks)
        for line in _supply_lines(supply, [titles[t] for t in supply.tasks])
    ]
    named = [line.name for line in (*parts, *supplies)]
    always = _always_new(problem, build, named)
    return tuple(sorted((*parts, *supplies, *always), key=lambda line: SORTS.index(line.sort)))


def _part_lines(problem: Problem, build: Build) -> list[ShopLine]:
    found = []
    effort, layout = problem.effort, problem.garage.layout
    dearest = problem.dearest
    for at, part in build.items():
        if part is None or part.host is not None or not effort.is_new(at, part):
            continue
        used = bool(part.donors) and part.buy != "new"
        donors = " or ".join(d.key for d in part.donors)
        new = None
        if used:
            swap = next(
                iter(swaps(problem, build, at, lambda p: p.buy == "new" and p.price is not None, dearest)), None
            )
            new = swap.part if swap is not None and swap.part is not None and swap.part.buy == "new" else None
        either = ", or new" if part.buy == "either" else ""
        brings = ", ".join(sorted(x.name.split(" (with ")[0] for x in build.values() if x and x.host == part.id))
        found.append(
            ShopLine(
                sort="own part" if part.own else "used part" if used else "new part",
                name=part.name,
                quantity=float(layout.positions[at].count),
                unit="",
                grade="",
                use=layout.positions[at].title,
                where=_where(part, f"{donors}{either}" if used else ""),
                price=money(effort.part_price(at, part)),
                core=None if part.core is None else money(part.core),
                new=None if new is None else money(new.price),
                new_name="" if new is None else new.name,
                note="; ".join(x for x in (f"comes with {brings}" if brings else "", part.note) if x),
            )
        )
    return found


def _where(part: Part, off: str) -> str:
    """Where a part comes from; ``off`` names the cars, if any."""
    return off or (OWN_ALTERED if part.own else "new" if part.buy == "new" else "used or new")


_KINDS: dict[str, Sort] = {
    "fastener": "fastener",
    "seal": "seal",
    "rubber": "rubber",
    "lining": "lining",
    "fluid": "fluid",
}


def _supply_lines(supply: Supply, titles: Sequence[str]) -> list[ShopLine]:
    """What the work uses up: the thing itself, then what is in it."""
    notes = shopping_notes().get(supply.name, ())
    own = next((n for n in notes if not n.item), Inside("", None, False, "", ""))
    sort = _KINDS.get(supply.kind, "other")
    whole = ShopLine(
        sort=sort,
        name=supply.name,
        quantity=supply.quantity,
        unit=supply.unit,
        grade="; ".join(x for x in (supply.grade, own.says) if x),
        use="; ".join(titles),
        where="new",
        price=money(supply.price),
        once=own.once,
        source=own.source or "common practice, no source",
    )
    inside = [
        ShopLine(
            sort=sort,
            name=n.item,
            quantity=float(n.pieces or 1) * (supply.quantity if supply.unit.startswith("set") else 1.0),
            unit="",
            grade="",
            use="; ".join(titles),
            where="new",
            price=money(None),
            once=n.once,
            part_of=supply.name,
            note=n.says,
            source=n.source,
        )
        for n in notes
        if n.item
    ]
    return [whole, *inside]


def _always_new(problem: Problem, build: Build, named: Sequence[str]) -> list[ShopLine]:
    """What is never taken over with a used part and stands in no other line."""
    found: dict[tuple[str, str], ShopLine] = {}
    for at, part in build.items():
        if part is None or not part.donors or part.buy == "new" or not problem.effort.is_new(at, part):
            continue
        kind = problem.garage.layout.kinds[part.kind]
        for item in kind.always_new:
            if any(_says(name, item) for name in named):
                continue
            title = problem.garage.layout.positions[at].title
            key = (item.lower(), title)
            found.setdefault(
                key,
                ShopLine(
                    sort="new with a used part",
                    name=item,
                    quantity=1.0,
                    unit="set",
                    grade="",
                    use=title,
                    where="new",
                    price=money(None),
                    source="common practice, no source",
                ),
            )
    return list(found.values())


def _stems(text: str) -> set[str]:
    return {w[:-1] if w.endswith("s") and len(w) > 3 else w for w in re.findall(r"[a-z-]+", text.lower())}


def _says(line: str, item: str) -> bool:
    """Whether a line already is what an item of *always new* asks for."""
    return _stems(item) <= _stems(line)


def totals(lines: Iterable[ShopLine]) -> Totals:
    """The sums of a list."""
    listed = [line for line in lines if not line.part_of]

    def add(numbers: Iterable[Number | None]) -> Number:
        total = Range(0.0, 0.0)
        for one in numbers:
            if one is not None and one.lo is not None and one.hi is not None:
                total = total + Range(one.lo, one.hi)
        return money(total)

    used = [line for line in listed if line.sort == "used part"]
    new = [line for line in listed if line.sort == "new part"]
    own = [line for line in listed if line.sort == "own part"]
    rest = [line for line in listed if line.sort not in ("used part", "new part", "own part")]
    compared = [line for line in used if line.new is not None and line.price.lo is not None]
    return Totals(
        used=add(line.price for line in used),
        new=add(line.price for line in new),
        altering=add(line.price for line in own),
        supplies=add(line.price for line in rest),
        all=add(line.price for line in listed),
        core=add(line.core for line in listed),
        unpriced=sum(line.price.lo is None for line in listed),
        used_known=add(line.price for line in compared),
        new_known=add(line.new for line in compared),
        compared=len(compared),
        not_compared=len(used) - len(compared),
    )
