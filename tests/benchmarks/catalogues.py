"""Catalogues of any size in the real file format, for the real layout: seeded variations of the demo's parts.

Every position gets ``size`` candidates (what is fitted now and what comes with assemblies among them; an empty place
comes on top where the layout allows one).  A position has about ``5 * sqrt(size)`` *patterns*: a demo part with some
ports taken from another demo part of its place and its measures moved along the grid.  The rest are further pieces
of these patterns from other cars at other prices, which is how a club's catalogue grows.  On the 1 mm grid two
pieces of a pattern read the same; on the 0.1 mm grid each is measured anew and reads a little differently.

All names are invented; nothing but ``seed`` decides what is drawn.

``python -m tests.benchmarks.catalogues --size 100 --out DIR`` writes one to look at.
"""

from __future__ import annotations

import argparse
import json
import math
import re
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from random import Random

from knowledge.garage import Garage, read_goal
from shared.evidence import Value
from shared.interface import WORD, Attribute
from shared.part import Part
from shared.ranges import Range
from solver.demo import demo_goal

MAKES = ("Orrin", "Marchbank", "Quillon", "Fellgate")
EVIDENCE = ("measured", "marked", "published", "claimed")
# A claimed value is doubted only by a goal that asks for more trust.
EVIDENCE_WEIGHTS = (30, 40, 25, 5)
PATTERNS = 5.0
PORT_FROM_ANOTHER = 0.15
PORT_MOVED = 0.06
UNCERTAIN = 0.03
UNKNOWN_PRICE = 0.02
_PLAIN_LENGTH = re.compile(r"\d+(\.\d+)? mm\Z")
PER_FILE = 100
WANT = {
    "lift_front": "25 mm to 60 mm",
    "lift_rear": "25 mm to 60 mm",
    "tyre_diameter": "at least 710 mm",
    "ride_frequency_front": "at most 1.40 Hz",
    "skill": "at most 3",
}
PREFER = (
    "{near: lift_front, to: 38 mm, worth: 2 per mm}",
    "{near: lift_rear, to: 38 mm, worth: 2 per mm}",
    "{least: ride_frequency_front, to: 1.0 Hz, worth: 100 per Hz}",
    "{least: hours, worth: 12 per h}",
)


@dataclass(frozen=True)
class Recipe:
    """What to write: candidates a position (at least 3), the grid values lie on [m], the seed."""

    size: int
    grid: float = 0.001
    seed: int = 1

    def __post_init__(self) -> None:
        if self.size < 3:
            raise ValueError("a position has at least three candidates")


@dataclass(frozen=True)
class _Pattern:
    base: Part
    ports: Mapping[str, Mapping[str, str] | str]
    properties: Mapping[str, str]
    price: float


class _Position:
    """Draws the candidates of one position."""

    def __init__(self, garage: Garage, at: str, recipe: Recipe) -> None:
        self.garage = garage
        self.at = at
        self.recipe = recipe
        self.random = Random(f"{recipe.seed} {recipe.grid} {at}")
        self.kind = garage.layout.kinds[garage.layout.positions[at].kind]
        stock = garage.vehicle.fitted.get(at)
        demo = [p for p in garage.parts.values() if at in p.positions and p.host is None and not p.altered]
        self.stock = next((p for p in demo if p.id == stock), None)
        self.demo = sorted((p for p in demo if p is not self.stock), key=lambda p: p.id)

    def _length(self, metres: float) -> str:
        """A length on the grid, as a person writes it."""
        steps = round(metres / self.recipe.grid)
        return f"{steps * self.recipe.grid * 1000:.1f}".removesuffix(".0") + " mm"

    def _moved(self, attribute: Attribute, value: Value, share: float) -> str:
        """A value moved by up to a share of itself, lengths along the grid; words, counts and doubts stay."""
        known = value.value
        if not isinstance(known, Range) or not known.exact or attribute.measure in (WORD, "count", "plain"):
            return value.text
        if attribute.measure == "length":
            most = max(1, int(abs(known.lo) * share / self.recipe.grid)) if known.lo else 0
            return self._length(known.lo + self.random.randint(-most, most) * self.recipe.grid)
        number, _, unit = value.text.partition(" ")
        try:
            moved = float(number) * self.random.uniform(1 - share, 1 + share)
        except ValueError:
            return value.text
        return f"{moved:.3g} {unit}".rstrip() if moved < 1000 else f"{moved:.0f} {unit}".rstrip()

    def pattern(self, base: Part, plain: bool = False) -> _Pattern:
        """A demo part, varied; ``plain`` leaves it as it is."""
        random = self.random
        price = (base.price.lo + base.price.hi) / 2 if base.price else 0.0
        price = price or random.uniform(20.0, 60.0)
        ports: dict[str, Mapping[str, str] | str] = {}
        for name, values in base.ports.items():
            if not plain and random.random() < PORT_FROM_ANOTHER:
                values = random.choice(self.demo).ports.get(name, values)
            ports[name] = "none" if values is None else {k: v.text for k, v in values.items()}
        if not plain and ports and random.random() < PORT_MOVED * len(ports):
            name = random.choice(sorted(ports))
            stated = base.ports[name]
            interface = self.garage.layout.interfaces[self.kind.ports[name].interface]
            if stated:
                key = random.choice(sorted(stated))
                ports[name] = {k: v.text for k, v in stated.items()} | {
                    key: self._moved(interface.attributes[key], stated[key], 0.02)
                }
        properties = {
            k: v.text if plain else self._moved(self.kind.properties[k], v, 0.06) for k, v in base.properties.items()
        }
        return _Pattern(base, ports, properties, price)

    def entry(self, number: int, pattern: _Pattern, brings: Mapping[str, str]) -> str:
        """One piece of a pattern as a line of a catalogue file."""
        random, recipe = self.random, self.recipe
        middle = pattern.price * random.uniform(0.75, 1.6)
        price = f"{math.floor(middle * 0.9)} to {math.ceil(middle * 1.1)}"
        properties = dict(pattern.properties)
        lengths = [n for n in sorted(properties) if _PLAIN_LENGTH.match(properties[n])]
        for name in lengths if recipe.grid < 0.001 else ():
            read = float(properties[name].removesuffix(" mm")) / 1000
            if read:
                properties[name] = self._length(read + random.randint(-4, 4) * recipe.grid)
        if lengths and random.random() < UNCERTAIN:
            name = random.choice(lengths)
            properties[name] = f"{properties[name].removesuffix(' mm')} +/- 2 mm"
        first = random.randint(1984, 2000)
        donors = [
            {
                "make": random.choice(MAKES),
                "model": f"Pattern {random.randint(1, 40)}",
                "years": f"{first}-{first + random.randint(2, 9)}",
            }
        ]
        buy = pattern.base.buy if pattern.base.buy == "new" else "used"
        tree: dict[str, object] = {
            "id": name_of(self.at, number),
            "name": f"{pattern.base.name}, piece {number}",
            "kind": pattern.base.kind,
            "fits": [self.at],
            "price": "unknown" if random.random() < UNKNOWN_PRICE else price,
            "buy": buy,
            "evidence": random.choices(EVIDENCE, EVIDENCE_WEIGHTS)[0],
            "properties": properties,
            "ports": pattern.ports,
        }
        if buy != "new":
            tree["donors"] = donors
        if brings:
            tree["brings"] = dict(brings)
        # JSON is YAML: every text stays in quotes, nothing is left to guess.
        return "  - " + json.dumps(tree, ensure_ascii=False)


def name_of(at: str, number: int) -> str:
    """The id of a generated part."""
    return f"{at.replace('_', '-')}-{number}"


def _lines(garage: Garage, recipe: Recipe) -> list[str]:
    """Every generated part as a line."""
    places = {at: _Position(garage, at, recipe) for at in garage.layout.positions}
    patterns: dict[str, list[_Pattern]] = {}
    assemblies = max(1, recipe.size // 10)
    # What assemblies bring, by the position it comes to: first the demo parts that have to be there, then how many.
    wanted: dict[str, list[Part]] = {at: [] for at in places}
    coming: dict[str, int] = dict.fromkeys(places, 0)
    hosts: dict[str, list[Part]] = {}
    for at, place in places.items():
        bringing = [p for p in place.demo if p.brings]
        count = min(assemblies, recipe.size - 1 - (recipe.size > 3)) if bringing else 0
        hosts[at] = [place.random.choice(bringing) for _ in range(count)]
        for host in hosts[at]:
            for to, part in host.brings.items():
                coming[to] += 1
                if garage.parts[part] not in wanted[to]:
                    wanted[to].append(garage.parts[part])
    lines = []
    for at, place in places.items():
        own = recipe.size - (place.stock is not None) - coming[at]
        kept = [place.pattern(base, plain=True) for base in wanted[at]]
        more = min(own, math.ceil(PATTERNS * math.sqrt(recipe.size))) - len(kept)
        bases = [p for p in place.demo if not p.brings]
        first = [place.pattern(base, plain=True) for base in bases[: max(0, min(more, len(bases)) // 2)]]
        drawn = [place.pattern(place.random.choice(bases)) for _ in range(more - len(first))]
        patterns[at] = [*kept, *first, *drawn]
        mounted = [(place.pattern(h, plain=i % 2 == 0), h) for i, h in enumerate(hosts[at])]
        for number in range(1, own + 1):
            if number <= len(mounted):
                pattern, host = mounted[number - 1]
                brings = {
                    to: name_of(to, len(hosts[to]) + 1 + wanted[to].index(garage.parts[part]))
                    for to, part in host.brings.items()
                }
                lines.append(place.entry(number, pattern, brings))
            else:
                index = number - 1 - len(mounted)
                pool = patterns[at]
                pattern = pool[index] if index < len(pool) else place.random.choice(pool)
                lines.append(place.entry(number, pattern, {}))
    return lines


def goal_text(name: str, money: float | None) -> str:
    """A goal file: the demo's trail goal without its choices of single parts, with so much money."""
    want = dict(WANT) | ({} if money is None else {"price": f"at most {money:g}"})
    return "\n".join(
        [
            "format: swapwright goal",
            "version: 1",
            f"name: {name}",
            "vehicle: vehicle.yaml",
            "catalogue: [catalogue]",
            "want:",
            *(f"  {quantity}: {limit}" for quantity, limit in want.items()),
            "prefer:",
            *(f"  - {line}" for line in PREFER),
            "",
        ]
    )


def write_catalogue(
    folder: Path, recipe: Recipe, money: Mapping[str, float | None] | None = None, per_file: int = PER_FILE
) -> Path:
    """Write the demo's vehicle, a generated catalogue and a goal ``goal-NAME.yaml`` for each name of ``money``.

    Returns the folder.  Files hold ``per_file`` parts each.
    """
    demo = demo_goal().parent
    _, garage = read_goal(demo_goal())
    catalogue = folder / "catalogue"
    catalogue.mkdir(parents=True, exist_ok=True)
    shutil.copy(demo / "vehicle.yaml", folder / "vehicle.yaml")
    shutil.copy(demo / "catalogue" / "stock.yaml", catalogue / "stock.yaml")
    lines = _lines(garage, recipe)
    head = ["format: swapwright catalogue", "version: 1", "parts:"]
    for number, start in enumerate(range(0, len(lines), per_file), 1):
        text = "\n".join([*head, *lines[start : start + per_file], ""])
        (catalogue / f"pieces-{number:04}.yaml").write_text(text, "utf-8")
    for name, amount in ({"loose": None} if money is None else money).items():
        (folder / f"goal-{name}.yaml").write_text(goal_text(f"Benchmark, {name} money", amount), "utf-8")
    return folder


def main() -> None:
    """Write one catalogue to look at."""
    parser = argparse.ArgumentParser(description="Write a generated catalogue.")
    parser.add_argument("--size", type=int, default=10, help="candidates a position")
    parser.add_argument("--grid", type=float, default=1.0, help="grid of values in mm: 1 or 0.1")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--out", type=Path, required=True)
    asked = parser.parse_args()
    folder = write_catalogue(asked.out, Recipe(asked.size, asked.grid / 1000, asked.seed))
    print(f"written to {folder}")


if __name__ == "__main__":
    main()
