"""What the work uses up, each thing once however many tasks need some of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from shared.layout import Layout
from shared.ranges import Range


@dataclass(frozen=True)
class Supply:
    """One thing to have at hand: ``quantity`` [``unit``] of it in all, its ``price``, and the tasks that need it."""

    name: str
    grade: str
    kind: str
    quantity: float
    unit: str
    price: Range
    tasks: tuple[str, ...]

    @property
    def amount(self) -> str:
        """The quantity as a person writes it: ``3.5 l``, ``2``, ``set``."""
        if self.unit and not self.unit.isalpha() and self.quantity == 1:
            return self.unit
        number = f"{self.quantity:.10g}"
        return f"{number} {self.unit}".strip()


def consumables(layout: Layout, tasks: Iterable[str]) -> tuple[Supply, ...]:
    """Everything these tasks use up, equal things added together, in order of kind and name.

    Things are equal when name, grade, kind and unit are.
    """
    found: dict[tuple[str, str, str, str], Supply] = {}
    for name in sorted(set(tasks)):
        for item in layout.tasks[name].consumables:
            key = (item.kind, item.name, item.grade, item.unit)
            new = Supply(
                item.name, item.grade, item.kind, item.quantity, item.unit, Range(item.low, item.high), (name,)
            )
            old = found.get(key)
            if old is not None:
                users = old.tasks if name in old.tasks else (*old.tasks, name)
                new = Supply(
                    item.name,
                    item.grade,
                    item.kind,
                    old.quantity + item.quantity,
                    item.unit,
                    old.price + new.price,
                    users,
                )
            found[key] = new
    return tuple(found[key] for key in sorted(found))
