"""From a plan to a walk through the yard: which cars to stop at, what to take off each, what stands in for it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from shared.interface import WORD
from shared.part import Part
from shared.printing import show_number
from shared.ranges import Range
from shared.units import System
from shared.verdict import Verdict

from ..problem import Problem
from ..relations import Build
from ..wear import limits_of
from ..words import OWN_ALTERED, VERDICT_WORDS, money
from .covering import Cover, smallest_cover
from .document import BoughtShown, InsteadShown, LimitShown, MissingShown, OtherCar, PullShown, ReadingShown, StopShown
from .readings import MOST_READINGS, Reader, Reading
from .standing import Offer, Standing, place_of, to_be_had, twice_on_it
from .swaps import Swap, swaps


@dataclass(frozen=True)
class Walk:
    """A plan's build in the yard: the problem as it is today, what stands there, the build."""

    today: Problem
    everything: Problem
    stand: Standing
    build: Build
    units: System

    @cached_property
    def wanted(self) -> dict[str, Part]:
        """The parts to be pulled, by position: new to the car, not come with another, carried by a car here."""
        found = {}
        for at, part in sorted(self.build.items()):
            if part is None or part.host is not None or not self.today.effort.is_new(at, part):
                continue
            if part.buy != "new" and self._usable(part):
                found[at] = part
        return found

    def _usable(self, part: Part) -> tuple[Offer, ...]:
        """The offers one walks to: the sure ones; the doubtful where there are none and the part is not had new."""
        offers = self.stand.offers.get(part.id, ())
        sure = tuple(o for o in offers if o.verdict is Verdict.FITS)
        return sure or (offers if part.buy == "used" else ())

    @cached_property
    def cover(self) -> Cover:
        """The smallest set of cars that has everything wanted; the first in walking order among equals.

        A part wanted for several places is on one car once, as far as anybody knows: it is wanted off as many cars,
        or off all that have it where there are fewer.
        """
        parts = dict.fromkeys(self.wanted.values())
        having = [{o.car for o in self._usable(part)} for part in parts]
        places = [sum(p is part for p in self.wanted.values()) for part in parts]
        return smallest_cover(having, [min(n, len(cars)) for n, cars in zip(places, having, strict=True)])

    @cached_property
    def chosen(self) -> dict[str, Offer]:
        """For each part to be pulled the car it comes from: the first of the chosen ones on the way.

        For a further place of one part it is a car off which it is not yet pulled, where there is one.
        """
        found: dict[str, Offer] = {}
        for at, part in self.wanted.items():
            own = [o for o in self._usable(part) if o.car in self.cover.cars]
            pulled = [found[p].car for p in found if self.wanted[p] is part]
            found[at] = min(own, key=lambda o: (pulled.count(o.car), o.car))
        return found

    def _look(self, part: Part, offer: Offer) -> tuple[str, ...]:
        """What to look for first: what tells the car, and enough of the part for every place it is wanted for."""
        places = [p for p, o in self.chosen.items() if self.wanted[p] is part and o.car == offer.car]
        count = sum(self.today.garage.layout.positions[p].count for p in places)
        return (*offer.look, *((twice_on_it(count, part),) if len(places) > 1 else ()))

    @cached_property
    def score(self) -> int:
        """What the build scores, in cents."""
        return self.today.scoring.score(self.build, self.everything.dearest)

    @cached_property
    def _reader(self) -> Reader:
        return Reader(self.today, self.build, self.units)

    def stops(self) -> tuple[StopShown, ...]:
        """The chosen cars in walking order with what is taken off each."""
        found = []
        for car in self.cover.cars:
            listed = self.stand.cars[car]
            pulls = [self._pull(at, self.wanted[at], offer) for at, offer in self.chosen.items() if offer.car == car]
            found.append(
                StopShown(row=listed.row, line=listed.line, car=listed.name, notes=listed.notes, pulls=tuple(pulls))
            )
        return tuple(found)

    def _pull(self, at: str, part: Part, offer: Offer) -> PullShown:
        layout = self.today.garage.layout
        kind = layout.kinds[part.kind]
        brought = [(p, x) for p, x in sorted(self.build.items()) if x is not None and x.host == part.id]
        numbers = [n for d in part.donors for n in d.numbers]
        return PullShown(
            position=at,
            part=part.id,
            name=part.name,
            count=layout.positions[at].count,
            verdict=VERDICT_WORDS[offer.verdict],
            look=self._look(part, offer),
            recognise=tuple(x for x in (offer.donor.recognise, kind.recognise) if x),
            numbers=tuple(dict.fromkeys(numbers)),
            with_it=tuple(x.name.removesuffix(f" (with {part.name})") for _, x in brought),
            readings=self._readings([(at, part), *brought], offer),
            limits=tuple(line for _, x in ((at, part), *brought) for line in self._limits(x)),
            leave_when=kind.leave_when,
            always_new=kind.always_new,
            price=money(self.today.effort.part_price(at, part)),
            note=part.note,
            cautions=part.cautions,
            other_cars=self._other_cars(part, offer),
            instead=self._instead(at, part),
        )

    def _readings(self, taken: list[tuple[str, Part]], offer: Offer) -> tuple[ReadingShown, ...]:
        found = []
        for at, part in taken:
            for reading in self._reader.readings(at, part, self._alike(at, part, offer)):
                found.append((reading, part))
        found.sort(key=lambda pair: (not pair[0].doubtful, -len(pair[0].sorts_out), pair[0].lies_in))
        once: dict[object, tuple[Reading, Part]] = {}
        for reading, part in found:
            once.setdefault((part.name, reading.question), (reading, part))
        hanging = sum(reading.doubtful for reading, _ in once.values())  # on which the plan hangs: none is left out
        shown = [*once.values()][: max(MOST_READINGS, hanging)]
        return tuple(self._reader.shown(part, reading) for reading, part in shown)

    def _limits(self, part: Part) -> list[LimitShown]:
        """The wear limits of a part, in its own figures."""
        found = []
        for limit in self.today.garage.layout.wear.get(part.kind, ()):
            measure = limit.attribute.measure
            if measure == WORD:
                good = " or ".join(limit.accept)
            else:
                low, high = limits_of(limit, part)
                apart = (
                    None
                    if limit.apart is None
                    else f"the two at most {show_number(limit.apart, measure, self.units)} apart"
                )
                good = "; ".join(x for x in (_between(low, high, measure, self.units), apart) if x)
            if good:
                found.append(
                    LimitShown(
                        part=part.name,
                        what=limit.path.replace(".", " ").replace("_", " "),
                        good=good,
                        how=limit.attribute.read,
                        says=limit.says,
                        source=limit.source,
                    )
                )
        return found

    def _alike(self, at: str, part: Part, offer: Offer) -> list[Part]:
        """What could be taken for a part: the other candidates off cars of that make and model, and one's own part."""
        donor = offer.donor
        found = []
        for other in self.everything.domains[at]:
            if other is None or other is part or other.host is not None or (other.base or other.id) == part.base:
                continue
            same_model = any((d.make, d.model) == (donor.make, donor.model) for d in other.donors)
            if same_model or other is self.today.stock[at]:
                found.append(other)
        return found

    def _other_cars(self, part: Part, offer: Offer) -> tuple[OtherCar, ...]:
        others = [(o, self.stand.cars[o.car]) for o in self.stand.offers[part.id] if o.car != offer.car]
        return tuple(
            OtherCar(row=place_of(car), car=car.name, verdict=VERDICT_WORDS[other.verdict], look=other.look)
            for other, car in others
        )

    def _instead(self, at: str, part: Part) -> InsteadShown | None:
        """The best other part for the place that can be had today, everything else as planned."""
        best = next(iter(swaps(self.today, self.build, at, lambda p: True, self.everything.dearest)), None)
        if best is None:
            return None
        other = best.part
        return InsteadShown(
            part="" if other is None else other.id,
            name="nothing" if other is None else other.name,
            source=self._source(at, other),
            verdict=VERDICT_WORDS[best.verdict],
            price=money(self.today.effort.part_price(at, other)),
            dearer=(best.score - self.score) / 100,
        )

    def _source(self, at: str, part: Part | None) -> str:
        if part is None:
            return "leave the place empty"
        if part is self.today.stock[at]:
            return "keep your own"
        if part.own:
            return OWN_ALTERED
        offers = self._usable(part) if part.buy != "new" else ()
        if offers:
            car = self.stand.cars[offers[0].car]
            return f"{place_of(car)}, {car.name}"
        return "bought new" if part.donors or part.buy == "new" else "bought"

    def bought(self) -> tuple[BoughtShown, ...]:
        """What of the plan is bought new."""
        return self._not_pulled(own=False)

    def altered(self) -> tuple[BoughtShown, ...]:
        """What of the plan is on the car already, and altered."""
        return self._not_pulled(own=True)

    def _not_pulled(self, own: bool) -> tuple[BoughtShown, ...]:
        found = []
        for at, part in sorted(self.build.items()):
            if part is None or part.host is not None or part.own is not own or at in self.wanted:
                continue
            if self.today.effort.is_new(at, part):
                price = money(self.today.effort.part_price(at, part))
                found.append(BoughtShown(position=at, part=part.id, name=part.name, price=price))
        return tuple(found)

    def missing(self) -> tuple[MissingShown, ...]:
        """Parts no car here carries that would be better in their place, everything else as planned."""
        found: list[tuple[int, MissingShown]] = []
        for at in self.everything.domains:
            here = self.build[at]
            if here is not None and here.host is not None:
                continue
            for swap in swaps(self.everything, self.build, at, self._not_here, self.everything.dearest):
                gain = self.score - swap.score
                if gain > 0 and swap.part is not None:
                    found.append((gain, self._missing(swap, here, gain)))
        found.sort(key=lambda pair: (-pair[0], pair[1].part))
        return tuple(shown for _, shown in found)

    def _not_here(self, part: Part) -> bool:
        return to_be_had(self.today, self.stand, part) is Verdict.NO

    def _missing(self, swap: Swap, here: Part | None, gain: int) -> MissingShown:
        assert swap.part is not None
        return MissingShown(
            position=swap.position,
            part=swap.part.id,
            name=swap.part.name,
            donors=tuple(d.key for d in swap.part.donors),
            why=why_not_here(self.stand, swap.part),
            instead_of="nothing" if here is None else here.name,
            saves=gain / 100,
        )


def _between(low: Range | None, high: Range | None, measure: str, units: System) -> str:
    """What passes between limits, in words; doubtful limits at their stricter end."""
    least = "" if low is None else f"at least {show_number(low.hi, measure, units)}"
    most = "" if high is None else f"at most {show_number(high.lo, measure, units)}"
    return " and ".join(x for x in (least, most) if x)


def why_not_here(stand: Standing, part: Part) -> str:
    """Why a part cannot be had today."""
    down = stand.turned_down.get(part.id, ())
    if down:
        return "; ".join(f"{place_of(stand.cars[car])}: {says}" for car, says in down)
    return "no such car stands here" if part.donors else "it is only had used, and no donor is known"
