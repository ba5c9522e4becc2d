"""Random small problems out of the real relations: joins, requirements, assemblies, goal lines, tasks and money.

Every part, position, interface and rule is drawn; nothing is read from a file.  Figures often, but not always,
agree, some are in doubt, some unknown.  The same seed gives the same problem.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from random import Random

from knowledge.garage import Garage
from shared.evidence import Evidence, Value
from shared.goal import Goal, Limit, Preference
from shared.interface import Attribute, InterfaceKind, MateRule, PartKind, Port
from shared.layout import (
    Call,
    Condition,
    Input,
    Join,
    Layout,
    Position,
    Quantity,
    Requirement,
    Through,
)
from shared.part import Donor, Part
from shared.ranges import Range
from shared.vehicle import Vehicle
from shared.verdict import Verdict
from shared.work import Consumable, Task
from solver.problem import Problem, build_problem
from solver.relations import Build, Relation

WORDS = ("cone", "flat", "round")
NO_TIME = Range(0.0, 0.0)


def _value(random: Random, numbers: tuple[float, ...], widths: tuple[float, ...] = (1.0,)) -> Value:
    """A number, now and then in doubt or unknown."""
    number = random.choice(numbers)
    kind = random.random()
    if kind < 0.06:
        return Value(None, "unknown", Evidence.GUESSED)
    wide = random.choice(widths) if kind < 0.2 else 0.0
    evidence = Evidence.GUESSED if kind > 0.96 else Evidence.MEASURED
    return Value(Range(number - wide, number + wide), f"{number:g}", evidence)


def _interface(random: Random, name: str) -> InterfaceKind:
    attributes = {
        "size": Attribute("size", "length"),
        "form": Attribute("form", "word", one_of=WORDS),
    }
    rules = [
        MateRule("equal", "size", "size", 0.0, random.choice((0.0, 1.0, 2.0)), "length", "it has to be as big", "s")
    ]
    if random.random() < 0.4:
        rules.append(MateRule("same", "form", "form", 0.0, 0.0, "word", "it has to have the form", "s"))
    return InterfaceKind(name, name, (), attributes, tuple(rules))


def _port(random: Random) -> dict[str, Value] | None:
    if random.random() < 0.04:
        return None
    word = random.choice(WORDS[:2])
    return {"size": _value(random, (10.0, 11.0, 13.0)), "form": Value(word, word, Evidence.MEASURED)}


def _part(random: Random, position: str, number: int, kind: PartKind) -> Part:
    price = Range.exactly(float(random.choice((5, 10, 20, 40))))
    if random.random() < 0.2:
        price = Range(price.lo, price.lo + 10.0)
    donors = tuple(Donor("Make", name) for name in random.sample(("North", "South", "West"), random.randint(0, 2)))
    return Part(
        id=f"{position}-{number}",
        name=f"{position} {number}",
        kind=kind.name,
        positions=(position,),
        ports={name: _port(random) for name in kind.ports},
        properties={"height": _value(random, (0.0, 10.0, 20.0, 40.0), (1.0, 15.0))},
        donors=donors,
        price=None if random.random() < 0.08 else price,
        hours=Range.exactly(random.choice((0.0, 3600.0))),
        skill=random.randint(1, 4),
        buy=random.choice(("used", "new", "either")),
        evidence=Evidence.MEASURED,
        altered=("cut",) if random.random() < 0.1 else (),
    )


def _layout(random: Random, names: list[str]) -> Layout:
    joins: list[Join] = []
    ports: dict[str, dict[str, Port]] = {name: {} for name in names}
    interfaces: dict[str, InterfaceKind] = {}
    body: dict[str, Port] = {}
    pairs = [(a, b) for i, a in enumerate(names) for b in names[i + 1 :]]
    for number, (one, two) in enumerate(random.sample(pairs, min(len(pairs), random.randint(1, len(names))))):
        kind = f"face{number}"
        interfaces[kind] = _interface(random, kind)
        ports[one][f"p{number}"] = Port(f"p{number}", kind, None)
        ports[two][f"p{number}"] = Port(f"p{number}", kind, None)
        others = [n for n in names if n not in (one, two)]
        through: tuple[Through, ...] = ()
        if others and random.random() < 0.3:
            middle = random.choice(others)
            ports[middle] |= {
                f"n{number}": Port(f"n{number}", kind, None),
                f"f{number}": Port(f"f{number}", kind, None),
            }
            through = (Through(middle, f"n{number}", f"f{number}"),)
        joins.append(Join(f"{one}-on-{two}", (one, f"p{number}"), (two, f"p{number}"), through))
    if random.random() < 0.5:
        at = random.choice(names)
        interfaces["mount"] = _interface(random, "mount")
        ports[at]["mount"] = Port("mount", "mount", None)
        body["mount"] = Port("mount", "mount", None)
        joins.append(Join(f"{at}-on-body", (at, "mount"), ("body", "mount")))
    middles = {step.position for join in joins for step in join.through}
    positions = {}
    for i, name in enumerate(names):
        optional = name in middles or random.random() < 0.2
        absent = {"height": Value(Range.exactly(0.0), "0", Evidence.MEASURED)} if optional else {}
        host = names[i - 1] if i and random.random() < 0.3 else None
        positions[name] = Position(name, f"k-{name}", name, optional=optional, absent=absent, host=host)
    kinds = {
        f"k-{name}": PartKind(f"k-{name}", name, {"height": Attribute("height", "length")}, ports[name])
        for name in names
    }
    tasks = {}
    for number in range(random.randint(1, 3)):
        used = (Consumable("grease", "1", 2.0, 4.0),) if random.random() < 0.5 else ()
        changed = tuple(random.sample(names, random.randint(1, 2)))
        tasks[f"t{number}"] = Task(f"t{number}", "work", 1800.0, random.randint(1, 4), changed, consumables=used)
    quantities = _quantities(random, names)
    requirements = tuple(_requirement(random, i, names, list(quantities)) for i in range(random.randint(0, 3)))
    return Layout(
        "drawn", "", interfaces, kinds, positions, body, {}, tuple(joins), quantities, requirements, tasks, {}
    )


def _quantities(random: Random, names: list[str]) -> dict[str, Quantity]:
    found: dict[str, Quantity] = {}
    for number in range(random.randint(1, 3)):
        terms = [Input("part", name, "height") for name in random.sample(names, random.randint(1, min(3, len(names))))]
        if found and random.random() < 0.5:
            terms.append(Input("quantity", random.choice(list(found))))
        call = Call("total", tuple(terms))
        if len(terms) == 2 and random.random() < 0.5:
            call = Call("difference", tuple(terms))
        found[f"q{number}"] = Quantity(f"q{number}", "length", f"q{number}", ((call, "computed"),))
    if random.random() < 0.5:
        _count_twice(random, found)
    return found


def _count_twice(random: Random, quantities: dict[str, Quantity]) -> None:
    """Take one input of the last quantity off it again: bounds formula by formula are then too wide."""
    way = quantities[f"q{len(quantities) - 1}"].ways[0][0]
    parts = [item for item in way.inputs if item.source == "part"] if isinstance(way, Call) else []
    if parts:
        name = f"q{len(quantities)}"
        call = Call("difference", (Input("quantity", f"q{len(quantities) - 1}"), random.choice(parts)))
        quantities[name] = Quantity(name, "length", name, ((call, "computed"),))


def _literal(number: float) -> Input:
    return Input("literal", f"{number:g}", value=Value(Range.exactly(number), f"{number:g}", Evidence.MEASURED))


def _requirement(random: Random, number: int, names: list[str], quantities: list[str]) -> Requirement:
    changed = tuple(random.sample(names, 1)) if random.random() < 0.3 else ()
    subject = Input("quantity", random.choice(quantities))
    if random.random() < 0.3:
        subject = Input("part", random.choice(names), "height")
    limit = _literal(float(random.choice((10, 20, 40, 60))))
    low, high = (None, limit) if random.random() < 0.7 else (_literal(float(random.choice((0, 10)))), None)
    severity = random.choice(("must", "must", "must", "should"))
    return Requirement(f"r{number}", severity, f"rule {number}", "drawn", Condition(changed), subject, low, high)


def _goal(random: Random, layout: Layout, parts: dict[str, Part]) -> Goal:
    limits = []
    for name in layout.quantities:
        if random.random() < 0.6:
            at_least = float(random.choice((5, 10, 20, 30))) if random.random() < 0.7 else None
            at_most = None if at_least is not None and random.random() < 0.5 else float(random.choice((30, 45, 60)))
            limits.append(Limit(name, at_least, at_most, "drawn"))
    for name, most in (("price", (15, 30, 60)), ("parts_changed", (1, 2)), ("skill", (1, 2, 3)), ("donors", (0, 1))):
        if random.random() < 0.3:
            limits.append(Limit(name, None, float(random.choice(most)), "drawn"))
    if random.random() < 0.2:
        limits.append(Limit("hours", None, float(random.choice((0, 1800, 5400))), "drawn"))
    names = list(layout.positions)
    at = random.choice(names)
    use = {at: (random.choice([p.id for p in parts.values() if at in p.positions]),)} if random.random() < 0.25 else {}
    return Goal(
        "drawn",
        tuple(limits),
        keep=tuple(random.sample(names, 1)) if random.random() < 0.25 else (),
        change=tuple(random.sample(names, 1)) if random.random() < 0.2 else (),
        use=use,
        avoid=tuple(random.sample(sorted(parts), 1)) if random.random() < 0.2 else (),
        alterations=random.random() < 0.7,
    )


def _brought(random: Random, parts: dict[str, Part], names: list[str]) -> None:
    """Make one part an assembly that brings another with it."""
    host_at, at = random.sample(names, 2)
    host = next(p for p in parts.values() if p.id == f"{host_at}-1")
    base = next(p for p in parts.values() if p.id == f"{at}-1")
    made = Part(**{**vars(host), "brings": {at: base.id}})
    free = {"price": Range(0.0, 0.0), "hours": NO_TIME, "skill": 1, "host": host.id, "base": base.id}
    come = Part(**{**vars(base), **free, "id": f"{base.id}@{host.id}", "donors": host.donors})
    parts[host.id] = made
    parts[come.id] = come


def random_problem(seed: int, most_positions: int = 4, most_parts: int = 4) -> Problem:
    """One problem; with the usual sizes at most five candidates and an empty place at each of four positions."""
    random = Random(seed)
    names = ["axle", "coil", "hub", "link", "wheel"][: random.randint(2, most_positions)]
    layout = _layout(random, names)
    parts: dict[str, Part] = {}
    for name in names:
        for number in range(random.randint(2, most_parts)):
            part = _part(random, name, number, layout.kinds[f"k-{name}"])
            parts[part.id] = part
    if random.random() < 0.3:
        _brought(random, parts, names)
    fitted = {n: f"{n}-0" for n in names if not layout.positions[n].optional or random.random() < 0.5}
    vehicle = Vehicle("drawn", "drawn", {name: _port(random) or {} for name in layout.body}, {}, fitted)
    return build_problem(_goal(random, layout, parts), Garage(layout, vehicle, parts))


def wishing(seed: int, most_positions: int = 4, most_parts: int = 4) -> Problem:
    """A problem of :func:`random_problem` with preferences of all kinds, and other worths of work, ways and advice."""
    problem, random = random_problem(seed, most_positions, most_parts), Random(-seed)
    prefer = []
    for name in problem.garage.layout.quantities:
        if random.random() < 0.6:
            aim = random.choice(("least", "most", "near"))
            to = float(random.choice((10, 25, 40)))
            prefer.append(Preference(name, aim, random.choice((0.2, 1.0, 3.3)), to, f"{aim} {name}"))
    for name in ("hours", "donors", "advice", "skill", "parts_changed"):
        if random.random() < 0.3:
            worth = random.choice((0.0, 7.5, 40.0)) / (3600.0 if name == "hours" else 1.0)
            prefer.append(Preference(name, "least", worth, None, f"least {name}"))
    return build_problem(replace(problem.goal, prefer=tuple(prefer)), problem.garage)


def builds_of(problem: Problem) -> list[Build]:
    """Every combination of candidates."""
    return [dict(zip(problem.domains, parts, strict=True)) for parts in product(*problem.domains.values())]


class Verdicts:
    """Which builds each relation lets pass, by plain enumeration: judged afresh, whatever looks the same to it."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.builds = builds_of(problem)
        self._passing: dict[Relation, frozenset[int]] = {}

    def passing(self, relation: Relation) -> frozenset[int]:
        """The numbers of the builds a relation does not refuse."""
        if relation not in self._passing:
            answers: dict[tuple[object, ...], bool] = {}
            found = []
            for i, build in enumerate(self.builds):
                key = tuple(id(build[p]) for p in relation.scope)
                if key not in answers:
                    answers[key] = relation.judge(build) is not Verdict.NO
                if answers[key]:
                    found.append(i)
            self._passing[relation] = frozenset(found)
        return self._passing[relation]

    def meeting(self, relations: list[Relation] | tuple[Relation, ...]) -> frozenset[int]:
        """The numbers of the builds that all these relations let pass."""
        left = frozenset(range(len(self.builds)))
        for relation in relations:
            left &= self.passing(relation)
        return left


def plain_problem(names: list[str], count: int) -> Problem:
    """Positions with ``count`` candidates each and no relations at all: a frame for constraints of a test's own."""
    kinds = {f"k-{name}": PartKind(f"k-{name}", name, {}, {}) for name in names}
    positions = {name: Position(name, f"k-{name}", name) for name in names}
    parts = {
        f"{name}-{i}": Part(f"{name}-{i}", f"{name} {i}", f"k-{name}", (name,), {}, {}, evidence=Evidence.MEASURED)
        for name in names
        for i in range(count)
    }
    layout = Layout("plain", "", {}, kinds, positions, {}, {}, (), {}, (), {}, {})
    vehicle = Vehicle("plain", "plain", {}, {}, {name: f"{name}-0" for name in names})
    return build_problem(Goal("plain"), Garage(layout, vehicle, parts))


def number_of(part: Part | None) -> int:
    """The number of a candidate of :func:`plain_problem`."""
    assert part is not None
    return int(part.id.rpartition("-")[2])
