"""Which reading of a part would remove the most doubt, and which answer is good enough.

Every value of the part that is unknown, hearsay or a range is held against the relations that read it and are in
doubt, with the car as it is now and the part on it.  The share of doubt a reading removes is all of it where nothing
is known, else the part of the range (of the attribute, or of the quantity judged) that is left once the attribute is
known to within its own reading error.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

from knowledge.measured.readable import kind_attributes
from knowledge.measured.readings import with_values
from shared.evidence import Evidence, Value
from shared.interface import Attribute
from shared.part import Part
from shared.printing import show_number
from shared.ranges import Range
from shared.units import System, measures, to_system
from shared.verdict import Verdict

from ..explain.questions import Questions
from ..explain.together import Together
from ..problem import Problem
from ..relations import Build, Relation
from ..words import value_text
from .document import WorthShown
from .effects import Readers, build_with, places_of
from .showing import error_text

MOST = 5
SAMPLES = 24
_BISECTIONS = 20
# A reading that takes away less than this share of a doubt is not worth the walk.
_NOTHING = 0.05


@dataclass(frozen=True)
class _Doubtful:
    """One value of a part in doubt, and the relations in doubt that read it."""

    path: str
    attribute: Attribute
    value: Value
    relations: tuple[Relation, ...]


def _in_doubt(value: Value) -> bool:
    wide = isinstance(value.value, Range) and not value.value.exact
    return value.value is None or wide or value.evidence < Evidence.PUBLISHED


def doubtful(problem: Problem, at: str, part: Part, build: Build) -> list[_Doubtful]:
    """The values of a part that leave a rule in doubt."""
    fitted = problem.garage.vehicle.fitted.get(at) == part.id
    open_ = [r for r in problem.hard if at in r.scope and r.verdict(build) is Verdict.CHECK]
    found = []
    for path, attribute in kind_attributes(problem.garage.layout, part.kind).items():
        port = path.partition(".")[0]
        missing = "." in path and part.ports.get(port, {}) is None
        if missing or not _in_doubt(part.attribute(path)):
            continue
        readers = Readers(problem, at, path, fitted)
        relations = tuple(r for r in open_ if readers.relation(r) and _hangs(r, build, path, part))
        if relations:
            found.append(_Doubtful(path, attribute, part.attribute(path), relations))
    return found


def _hangs(relation: Relation, build: Build, path: str, part: Part) -> bool:
    """Whether a doubt names the attribute among what has to be known; a relation that names nothing may hang on it."""
    name = path.rpartition(".")[2]
    needs = [n for reason in relation.explain(build) if reason.verdict is Verdict.CHECK for n in reason.needs]
    own = {part.name, part.id, part.base or part.id}
    return not needs or any(
        (name in n or name.replace("_", " ") in n or path in n) and any(o in n for o in own) for n in needs
    )


def _trial(at: str, part: Part, build: Build, path: str, value: Range | str) -> Build:
    changed = with_values(part, {path: Value(value, "", Evidence.MEASURED)})
    return {**build, at: changed}


def _unknown(item: _Doubtful, items: list[_Doubtful]) -> tuple[float, str]:
    """How much doubt is removed by reading what nobody knows: its part of what is unknown in each relation."""
    total, others = 0.0, dict[str, None]()
    for relation in item.relations:
        together = [i.path for i in items if i.value.value is None and relation in i.relations]
        total += 1.0 / len(together)
        others.update(dict.fromkeys(p for p in together if p != item.path))
    return total, f"all that is open, once {', '.join(others)} are read too" if others else "all that is open"


def _share(problem: Problem, at: str, part: Part, build: Build, item: _Doubtful) -> tuple[float, str]:
    """How much of the doubt in a range a reading removes over all relations, and the largest of it in words."""
    known = item.value.value
    if not isinstance(known, Range) or known.exact:
        return float(len(item.relations)), "the hearsay"
    left = min(known.width, 2 * item.attribute.uncertainty)
    centre = known.lo + known.width / 2
    trial = _trial(at, part, build, item.path, Range(centre - left / 2, centre + left / 2))
    total, best = 0.0, (0.0, "")
    for relation in item.relations:
        wide, narrow, name = known.width, left, item.attribute.title
        for use in relation.uses:
            was, now = (problem.demands.sharp(use, b).value for b in (build, trial))
            if isinstance(was, Range) and isinstance(now, Range) and was.width > 0.0:
                wide, narrow, name = was.width, min(now.width, was.width), use.name.replace("_", " ")
        share = 1.0 - narrow / wide
        total += share
        best = max(best, (share, name))
    if best[0] < _NOTHING:
        return total, "nothing as it is usually read; only a finer tool would"
    return total, f"{100 * best[0]:.0f} % of the doubt in {best[1]}"


def _inward(low: float, high: float, measure: str, units: System) -> str:
    """A range printed so that every number in what is printed lies in it; empty where nothing is left."""
    how = measures()[measure].printed(units)
    step = 10.0 ** -(how.decimals + 1)
    lo = ceil(to_system(low, measure, units) / step - 1e-6) * step
    hi = floor(to_system(high, measure, units) / step + 1e-6) * step
    text = f"{lo:.{how.decimals + 1}f} to {hi:.{how.decimals + 1}f} {how.unit}".rstrip()
    return text if lo <= hi else ""


def _good_enough(at: str, part: Part, build: Build, item: _Doubtful, units: System) -> str:
    """The readings inside a range for which nothing of the doubt is left; found by trying, ends drawn in."""
    known = item.value.value
    if not isinstance(known, Range) or known.exact:
        return ""

    def good(x: float) -> bool:
        trial = _trial(at, part, build, item.path, Range.exactly(x))
        return all(r.verdict(trial) is Verdict.FITS for r in item.relations)

    points = [known.lo + known.width * i / SAMPLES for i in range(SAMPLES + 1)]
    passing = [i for i, x in enumerate(points) if good(x)]
    if not passing:
        return ""
    if passing != list(range(passing[0], passing[-1] + 1)):
        return "not one range: ask again with the reading"
    low, high = points[passing[0]], points[passing[-1]]
    if passing[0] > 0:
        low = _edge(points[passing[0] - 1], low, good)
    if passing[-1] < SAMPLES:
        high = _edge(points[passing[-1] + 1], high, good)
    if low == known.lo and high == known.hi:
        return "any, once it is read"
    if high - low < item.attribute.uncertainty / 2:
        return f"hardly any: {show_number((low + high) / 2, item.attribute.measure, units, finer=1)}"
    return _inward(low, high, item.attribute.measure, units)


def _edge(bad: float, fine: float, good: object) -> float:
    """The last good value towards a bad one."""
    assert callable(good)
    for _ in range(_BISECTIONS):
        middle = (bad + fine) / 2
        if good(middle):
            fine = middle
        else:
            bad = middle
    return fine


def worth_measuring(
    problem: Problem, part: str, units: System, path: str | None = None, most: int = MOST
) -> tuple[WorthShown, ...]:
    """The readings of a part worth taking, the one that removes most doubt first; of one attribute only if asked."""
    ranked: list[tuple[float, WorthShown]] = []
    for at, here in places_of(problem, part).items():
        build = build_with(problem, at, part)
        items = doubtful(problem, at, here, build)
        fitted = problem.garage.vehicle.fitted.get(at) == part
        told = Together(Questions(problem), {at: here}, units).doubtful() if items and not fitted else ()
        for item in items:
            unknown = item.value.value is None
            share, removes = _unknown(item, items) if unknown else _share(problem, at, here, build, item)
            names = {r.name for r in item.relations}
            good = "" if fitted else _good_enough(at, here, build, item, units)
            if not isinstance(item.value.value, Range):
                good = "; ".join(dict.fromkeys(d.good_enough for d in told if d.relation in names and d.good_enough))
            tolerance = item.attribute.uncertainty
            ranked.append(
                (
                    share,
                    WorthShown(
                        position=at,
                        part=part,
                        attribute=item.path,
                        read=item.attribute.read,
                        now=_now(item, units),
                        tolerance=error_text(tolerance, item.attribute.measure, units) if tolerance else "",
                        settles=tuple(sorted(names)),
                        removes=removes,
                        good_enough=good,
                    ),
                )
            )
    # What nobody says how to read (a rate, a modulus) comes last.
    ranked.sort(key=lambda pair: (not pair[1].read, -pair[0], pair[1].position, pair[1].attribute))
    return tuple([shown for _, shown in ranked if path in (None, shown.attribute)][:most])


def _now(item: _Doubtful, units: System) -> str:
    text = value_text(item.value.value, item.attribute.measure, units, 1)
    return text if item.value.value is None else f"{text} ({item.value.evidence.word})"
