"""Every requirement of the layout, passing and failing: on the demo's car, one number changed until the rule gives way.

The rule's limit is the outside figure here (a regulation's or the trade's); what is shown is that the verdict turns
exactly where the rule's subject crosses it, and that the refusal says both sides.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import pytest

from knowledge.computing.dataflow import Dataflow
from knowledge.computing.quantities import inputs_of
from knowledge.garage import Garage, read_goal
from knowledge.layouts import layouts_folder, read_layout
from shared.evidence import Evidence, Value
from shared.goal import Goal
from shared.layout import Input, Layout, Requirement
from shared.part import Part
from shared.ranges import Range
from shared.verdict import Verdict
from solver.demands import Demands
from solver.demo import demo_goal
from solver.effort import Effort
from solver.relations import Relation

FACTORS = (0.9, 1.095, 0.5, 1.6, 0.25, 2.5, 0.1, 4.0, 5.0, 0.0, -1.0, -2.0)
BY_SIZE = "tyre-diameter"  # hangs on a tyre's size alone, which is a word
REQUIREMENTS = read_layout(layouts_folder() / "solid-axle-4x4").requirements
NUMERIC = [r for r in REQUIREMENTS if r.subject is not None and not r.one_of and r.id != BY_SIZE]
WORDS = [r for r in REQUIREMENTS if r.one_of]
LOOKS = [r for r in REQUIREMENTS if r.subject is None]


@pytest.fixture(scope="module")
def garage() -> Garage:
    return read_goal(demo_goal("trail"))[1]


@dataclass(frozen=True)
class Setting:
    """A car and a build in which a rule speaks."""

    garage: Garage
    rule: Requirement
    build: dict[str, Part | None]
    properties: dict[str, Value]
    demands: Demands

    def relation(self) -> Relation:
        return self.demands.requirement(self.rule)

    def verdict(self) -> Verdict:
        return self.relation().verdict(self.build)

    def value(self, item: Input) -> Range | str | None:
        return self.demands.sharp(item, self.build).value

    def with_value(self, leaf: tuple[str, str], value: Range | str) -> Setting:
        stated = Value(value, str(value), Evidence.MEASURED)
        position, path = leaf
        if position == "vehicle":
            properties = {**self.properties, path: stated}
            return replace(self, properties=properties, demands=demands_of(self.garage, properties))
        part = self.build[position]
        assert part is not None
        return replace(self, build={**self.build, position: with_attribute(part, path, stated)})


def demands_of(garage: Garage, properties: dict[str, Value]) -> Demands:
    """What asks the rules of a car with these properties."""
    stock = garage.fitted()
    flow = Dataflow(garage.layout, replace(garage.vehicle, properties=properties), stock)
    return Demands(flow, Effort(garage.layout, stock), Goal("none"))


def with_attribute(part: Part, path: str, value: Value) -> Part:
    """A part like another with one attribute changed."""
    port, dot, name = path.partition(".")
    if not dot:
        return replace(part, id=f"{part.id}-other", properties={**part.properties, path: value})
    ports = {**part.ports, port: {**part.ports[port], name: value}}
    return replace(part, id=f"{part.id}-other", ports=ports)


def setting(garage: Garage, rule: Requirement, spoken: bool = True) -> Setting:
    """The stock car, made such that the rule speaks."""
    build: dict[str, Part | None] = dict(garage.fitted())
    for position in rule.when.fitted if spoken else ():
        build[position] = first_for(garage, position)
    for position in rule.when.changed[:1] if spoken else ():
        part = build[position] or first_for(garage, position)
        build[position] = replace(part, id=f"{part.id}-changed")
    properties = dict(garage.vehicle.properties)
    found = Setting(garage, rule, build, properties, demands_of(garage, properties))
    for item, words in rule.when.words if spoken else ():
        found = found.with_value((item.name, item.path), words[0])
    return found


def first_for(garage: Garage, position: str) -> Part:
    """The smallest part for a position, by its id: 40 mm blocks before 100 mm ones."""
    parts = [p for p in garage.parts.values() if position in p.positions]
    return min(parts, key=lambda p: (len(p.id), p.id))


def sound(start: Setting) -> Setting:
    """The setting itself, or with the one change that makes it keep its rule."""
    if start.verdict() is Verdict.FITS:
        return start
    for factor in FACTORS:
        for leaf in leaves(start.garage.layout, start.rule.subject, set()):
            before = stated(start, leaf)
            if before is not None:
                other = start.with_value(leaf, Range.exactly(before * factor))
                if other.verdict() is Verdict.FITS:
                    return other
    pytest.fail(f"nothing makes {start.rule.id} hold")


def leaves(layout: Layout, item: Input | None, seen: set[str]) -> Iterator[tuple[str, str]]:
    """The attributes of parts and properties of the car that an input hangs on."""
    if item is None or (item.source == "quantity" and item.name in seen):
        return
    if item.source == "part":
        yield item.name, item.path
    elif item.source == "vehicle":
        yield "vehicle", item.name
    elif item.source == "quantity":
        seen.add(item.name)
        for below in inputs_of(layout.quantities[item.name]):
            yield from leaves(layout, below, seen)


def stated(found: Setting, leaf: tuple[str, str]) -> float | None:
    """The number a leaf has, if it is one exact number."""
    position, path = leaf
    if position == "vehicle":
        value = found.properties.get(path)
    else:
        part = found.build[position]
        value = None if part is None else part.attribute(path)
    known = None if value is None else value.value
    return known.lo if isinstance(known, Range) and known.exact else None


def ends(found: Setting) -> list[tuple[Input, bool]]:
    """The limits of a rule, and whether each is the lower one."""
    both = ((found.rule.at_least, True), (found.rule.at_most, False))
    return [(item, lower) for item, lower in both if item is not None]


def sides(found: Setting, end: Input, lower: bool) -> tuple[float, float] | None:
    """The subject and one limit of a rule, both exact."""
    assert found.rule.subject is not None
    here, there = found.value(found.rule.subject), found.value(end)
    if not isinstance(here, Range) or not isinstance(there, Range):
        return None
    return here.lo, there.lo


def broken(start: Setting, end: Input, lower: bool) -> tuple[Setting, tuple[str, str], float, float] | None:
    """The first single change that carries the subject across one limit: the setting, what was changed, from, to."""
    found = list(dict.fromkeys([*leaves(start.garage.layout, start.rule.subject, set())]))
    found += list(dict.fromkeys(leaves(start.garage.layout, end, set())))
    found.sort(key=lambda leaf: (leaf[1] == "load_index", leaf[0] == "vehicle"))  # an index goes by steps: last
    for leaf in found:
        before = stated(start, leaf)
        if before is None:
            continue
        for factor in FACTORS:
            after = before * factor if before else factor * 0.1
            other = start.with_value(leaf, Range.exactly(after))
            if other.verdict() is Verdict.NO:
                pair = sides(other, end, lower)
                if pair is not None and (pair[0] < pair[1]) is lower:
                    return other, leaf, before, after
    return None


@pytest.mark.parametrize("rule", NUMERIC, ids=lambda rule: rule.id)
def test_a_rule_gives_way_where_its_limit_is_crossed(garage: Garage, rule: Requirement) -> None:
    start = sound(setting(garage, rule))
    for end, lower in ends(start):
        case = broken(start, end, lower)
        assert case is not None, f"nothing breaks {rule.id} {'below' if lower else 'above'}"
        worst, leaf, fine, bad = case
        for _ in range(34):
            middle = (fine + bad) / 2
            fits = start.with_value(leaf, Range.exactly(middle)).verdict() is Verdict.FITS
            fine, bad = (middle, bad) if fits else (fine, middle)
        inside = start.with_value(leaf, Range.exactly(fine))
        outside = start.with_value(leaf, Range.exactly(bad))
        assert inside.verdict() is Verdict.FITS and outside.verdict() is not Verdict.FITS
        pair = sides(inside, end, lower)
        assert pair is not None
        assert pair[0] == pytest.approx(pair[1], rel=1e-6, abs=1e-9), leaf
        (reason,) = worst.relation().explain(worst.build)
        assert reason.verdict is Verdict.NO and reason.source and reason.says
        assert reason.left.value is not None and reason.right.value is not None
        assert reason.gap is not None and reason.gap > 0


def test_a_taller_tyre_is_asked_about(garage: Garage) -> None:
    """225/75R15 is 15 mm taller than 215/75R15; 255/75R15 is 2 x 0.75 x 40 = 60 mm taller, 10 over the 50 allowed."""
    rule = next(r for r in REQUIREMENTS if r.id == BY_SIZE)
    start = setting(garage, rule)
    assert start.with_value(("tyre", "size"), "225/75R15").verdict() is Verdict.FITS
    tall = start.with_value(("tyre", "size"), "255/75R15")
    (reason,) = tall.relation().explain(tall.build)
    assert reason.verdict is Verdict.NO
    assert reason.gap == pytest.approx(0.010, abs=1e-6)


@pytest.mark.parametrize("rule", WORDS, ids=lambda rule: rule.id)
def test_a_rule_of_words(garage: Garage, rule: Requirement) -> None:
    start = setting(garage, rule)
    assert rule.subject is not None
    leaf = (rule.subject.name, rule.subject.path)
    good, bad = (start.with_value(leaf, word) for word in (rule.one_of[0], "another"))
    if rule.when.words:
        good, bad = setting(garage, rule, spoken=False), start
    assert good.verdict() is Verdict.FITS
    assert bad.verdict() is Verdict.NO
    (reason,) = bad.relation().explain(bad.build)
    assert reason.source and reason.left.value not in rule.one_of


@pytest.mark.parametrize("rule", LOOKS, ids=lambda rule: rule.id)
def test_a_rule_that_sends_someone_to_look(garage: Garage, rule: Requirement) -> None:
    assert setting(garage, rule, spoken=False).verdict() is Verdict.FITS
    asked = setting(garage, rule)
    assert asked.verdict() is Verdict.CHECK
    (reason,) = asked.relation().explain(asked.build)
    assert reason.needs == (rule.measure_first,) and rule.measure_first


@pytest.mark.parametrize("rule", [r for r in NUMERIC if r.when.changed or r.when.words], ids=lambda rule: rule.id)
def test_a_rule_is_silent_where_it_has_nothing_to_say(garage: Garage, rule: Requirement) -> None:
    """Its subject broken, but the condition not met: no verdict against the car as it stands."""
    if rule.when.words and setting(garage, rule, spoken=False).relation().explain(dict(garage.fitted())):
        pytest.fail("speaks of the car as it stands")
    quiet = setting(garage, rule, spoken=False)
    assert quiet.verdict() is Verdict.FITS
