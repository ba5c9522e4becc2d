"""What stands in the yard: which car carries which part, and the problem narrowed to what can be had today.

Had today is what is on the car already, what can be bought new, and what a car in the yard carries.  A used part that
only cars carry of which the list does not tell enough is *fits if checked*: that is a relation like any other, so the
search ranks certain builds first and the plan says what to look for.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations

from knowledge.yard.car import YardCar, walking_key
from knowledge.yard.notes import NoteSaid, said_of
from shared.interface import WORD
from shared.part import Donor, Part
from shared.verdict import Reason, Side, Verdict

from ..problem import Problem
from ..relations import Build, Relation
from .matching import Match, match
from .naming import Names, words_of

SOURCE = "the list of cars"
SAYS_TWICE = "one car here carries it, and whether it has enough for both places is not told"
SAYS = "the list of cars does not tell whether a car here carries it"


@dataclass(frozen=True)
class Offer:
    """A car that carries a part: the verdict, what to look for first, and which of the part's donors it is.

    ``car`` is its number in walking order.
    """

    car: int
    verdict: Verdict
    donor: Donor
    look: tuple[str, ...] = ()


@dataclass(frozen=True)
class Standing:
    """The cars in walking order, and for each part of the catalogue the cars that carry it, the surest first.

    ``said`` holds what each car's notes mean; ``turned_down`` the cars that would carry a part but for their notes.
    """

    cars: tuple[YardCar, ...]
    said: tuple[tuple[NoteSaid, ...], ...]
    offers: Mapping[str, tuple[Offer, ...]]
    turned_down: Mapping[str, tuple[tuple[int, str], ...]] = field(default_factory=dict)

    def sure(self, part: Part) -> bool:
        """Whether a car carries a part for certain."""
        return any(o.verdict is Verdict.FITS for o in self.offers.get(part.id, ()))

    def of_no_part(self) -> tuple[YardCar, ...]:
        """The cars that are named in the list and that no part of the catalogue comes off, gone from it or not."""
        known = {o.car for offers in self.offers.values() for o in offers}
        known |= {number for gone in self.turned_down.values() for number, _ in gone}
        return tuple(c for n, c in enumerate(self.cars) if (c.make or c.model) and n not in known)


def told_apart(car: YardCar, donor: Donor) -> bool:
    """Whether the list says anything at all of what a car is: a make, a model, or a note that names the model."""
    return bool(car.make or car.model) or set(words_of(donor.model)) <= set(words_of(car.notes))


def standing(problem: Problem, cars: Sequence[YardCar]) -> Standing:
    """Which of the cars carries which candidate."""
    walked = tuple(sorted(cars, key=lambda c: (walking_key(c.row), c.line)))
    said = tuple(said_of(c.notes) for c in walked)
    names = Names.of(problem.garage.parts.values())
    known: dict[Donor, tuple[Match, ...]] = {}
    offers: dict[str, tuple[Offer, ...]] = {}
    down: dict[str, tuple[tuple[int, str], ...]] = {}
    for part in problem.garage.parts.values():
        found: dict[int, Offer] = {}
        gone: dict[int, str] = {}
        for donor in part.donors:
            if donor not in known:
                known[donor] = tuple(match(car, donor, names) for car in walked)
            for number, answer in enumerate(known[donor]):
                if answer.verdict is Verdict.NO or not told_apart(answer.car, donor):
                    continue
                offer = _with_notes(problem, part, Offer(number, answer.verdict, donor, answer.look), said[number])
                if isinstance(offer, str):
                    gone[number] = offer
                elif number not in found or offer.verdict < found[number].verdict:
                    found[number] = offer
        offers[part.id] = tuple(sorted(found.values(), key=lambda o: (o.verdict, o.car)))
        if gone:
            down[part.id] = tuple(sorted(gone.items()))
    return Standing(walked, said, offers, down)


def _with_notes(problem: Problem, part: Part, offer: Offer, said: Sequence[NoteSaid]) -> Offer | str:
    """An offer as the car's notes leave it; what took the part away, where they say it is gone."""
    place = problem.garage.layout.positions[part.positions[0]]
    look = list(offer.look)
    for note in said:
        if note.concerns(part.kind, place.where[0]):
            if note.gone:
                return note.says
            look.append(f"what the list calls {note.clause!r}: {note.says[:1].lower()}{note.says[1:]}")
    verdict = offer.verdict if len(look) == len(offer.look) else Verdict.CHECK
    return replace(offer, verdict=verdict, look=tuple(dict.fromkeys(look)))


def to_be_had(problem: Problem, stand: Standing, part: Part) -> Verdict:
    """Whether a part can be had today: for certain, if checked, or not."""
    fitted = {p.id for p in problem.stock.values() if p is not None}
    if part.id in fitted or (part.base in fitted and part.host is None):
        return Verdict.FITS
    home = problem.garage.parts[part.host] if part.host is not None else part
    if home.buy == "new" or (home.buy == "either" and part.host is None):
        return Verdict.FITS
    offers = stand.offers.get(home.id, ())
    return min((o.verdict for o in offers), default=Verdict.NO)


def had_today(problem: Problem, stand: Standing) -> Problem:
    """The problem with only what can be had today; what is doubtful there is *fits if checked*."""
    had = {p.id: to_be_had(problem, stand, p) for p in problem.garage.parts.values()}
    domains = {
        at: tuple(p for p in parts if p is None or had[p.id] is not Verdict.NO) for at, parts in problem.domains.items()
    }
    doubts = [
        _doubt(problem, stand, at, frozenset(p.id for p in parts if p is not None and had[p.id] is Verdict.CHECK))
        for at, parts in domains.items()
        if any(p is not None and p.host is None and had[p.id] is Verdict.CHECK for p in parts)
    ]
    pairs: dict[tuple[str, str], set[str]] = {}
    fitted = {p.id for p in problem.stock.values() if p is not None}
    for part in problem.garage.parts.values():
        if part.buy == "used" and part.host is None and part.id not in fitted and _on_one_car(stand, part):
            for pair in combinations([at for at in domains if at in part.positions], 2):
                pairs.setdefault(pair, set()).add(part.id)
    doubts += [_twice(problem, stand, *pair, frozenset(ids)) for pair, ids in pairs.items()]
    return replace(problem, domains=domains, relations=(*problem.relations, *doubts))


def _on_one_car(stand: Standing, part: Part) -> bool:
    """Whether only one of the cars carries a part: which places it holds there, a catalogue does not tell."""
    return len(stand.offers.get(part.id, ())) == 1


def twice_on_it(count: int, part: Part) -> str:
    """What to look for on a car off which a part is wanted for more than one place."""
    return f"{count} of {part.called} on it: it is wanted for more than one place"


def _twice(problem: Problem, stand: Standing, one: str, two: str, single: frozenset[str]) -> Relation:
    """That the one car here that carries a part has it for both places: to be counted."""
    name = f"yard {one} and {two}"
    layout = problem.garage.layout
    count = layout.positions[one].count + layout.positions[two].count

    def judge(build: Build) -> Verdict:
        part = build[one]
        return Verdict.CHECK if part is not None and part is build[two] and part.id in single else Verdict.FITS

    def explain(build: Build) -> tuple[Reason, ...]:
        part = build[one]
        if part is None or judge(build) is Verdict.FITS:
            return ()
        car = stand.cars[stand.offers[part.id][0].car]
        left = Side("the part has", f"{one.replace('_', ' ')}, {part.name}", "car", place_of(car), WORD)
        right = Side("the part has", f"{two.replace('_', ' ')}, {part.name}", "car", place_of(car), WORD)
        needs = (f"{twice_on_it(count, part)} ({place_of(car)})",)
        return (Reason(name, Verdict.CHECK, SAYS_TWICE, left, right, None, WORD, SOURCE, needs),)

    return Relation(name, "requirement", (one, two), judge, explain, says=SAYS_TWICE, source=SOURCE, parts=(one, two))


def _doubt(problem: Problem, stand: Standing, at: str, doubtful: frozenset[str]) -> Relation:
    """That a car here carries the part at a position: doubtful parts fit only if the car is looked at."""
    name = f"yard {at}"

    def judge(build: Build) -> Verdict:
        part = build[at]
        return Verdict.CHECK if part is not None and part.host is None and part.id in doubtful else Verdict.FITS

    def explain(build: Build) -> tuple[Reason, ...]:
        part = build[at]
        if part is None or judge(build) is Verdict.FITS:
            return ()
        offer = stand.offers[part.id][0]
        car = stand.cars[offer.car]
        left = Side("the part has", f"{at.replace('_', ' ')}, {part.name}", "car", place_of(car), WORD)
        right = Side("the rule demands", name, "donor", offer.donor.key, WORD)
        needs = tuple(f"{look} ({place_of(car)})" for look in offer.look)
        return (Reason(name, Verdict.CHECK, SAYS, left, right, None, WORD, SOURCE, needs),)

    return Relation(name, "requirement", (at,), judge, explain, says=SAYS, source=SOURCE, parts=(at,))


def place_of(car: YardCar) -> str:
    """A car as one finds it: its row, or its line in the list."""
    return car.row or f"line {car.line} of the list"
