"""The shapes of a layout's work: tasks with their steps, what lies apart, fasteners and cautions."""

from __future__ import annotations

from pydantic import Field

from ..files.shape import Shape


class ConsumableShape(Shape):
    """Something a step uses up; ``price`` is that of the whole amount."""

    name: str
    amount: str = "1"
    grade: str = ""
    kind: str = ""
    price: str = "0"


class CheckShape(Shape):
    """Something to be found good; a plain text stands for one without a published limit."""

    says: str
    source: str = "common practice, no source"
    inspection: str = ""


class CautionShape(Shape):
    """A warning and where it comes from."""

    says: str
    source: str


class LaterShape(Shape):
    """Something to look at again after a distance."""

    distance: str
    says: str


class ApartShape(Shape):
    """Something that is taken apart once and put together once."""

    about: str
    stands: int = Field(default=0, ge=0, le=8)


class FastenerShape(Shape):
    """A threaded joint and how its torque is found."""

    name: str
    how: str
    source: str = "common practice, no source"
    maker: list[str] = []
    threads: list[str] = []
    sizes: list[str] = []
    grades: list[str] = []
    grade: str | None = None
    share: str = "65 % to 75 %"
    condition: str = "dry"
    again: list[str] = []
    own: list[str] = []
    undone_by: list[str] = []
    undone_with: list[str] = []


class StepShape(Shape):
    """One piece of a task."""

    id: str = ""
    does: str = ""
    hours: str = "0 h"
    after: list[str] = []
    rather_after: list[str] = []
    takes_apart: list[str] = []
    while_apart: list[str] = []
    puts_together: list[str] = []
    fits: list[str] = []
    at: list[str] = []
    people: int = Field(default=1, ge=1, le=4)
    sides: bool = False
    drives: bool = False
    tools: list[str] = []
    fasteners: list[str] = []
    consumables: list[ConsumableShape] = []
    cautions: list[str] = []
    checks: list[str | CheckShape] = []
    later: list[LaterShape] = []


class TaskShape(StepShape):
    """A piece of work; one without ``steps`` is its own only step."""

    title: str
    skill: int = Field(default=1, ge=1, le=4)
    changed: list[str] = []
    always: bool = False
    with_tasks: list[str] = []
    steps: list[StepShape] = []
    about: str = ""
