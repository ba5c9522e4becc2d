"""Headlines of the measure command, what is known of an attribute, and the wear limits of a part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from knowledge.garage import Garage
from knowledge.measured.readable import VEHICLE
from knowledge.measured.readings import Outcome
from knowledge.standards.measuring_tools import tool_for, tools_of
from shared.evidence import Evidence
from shared.interface import WORD
from shared.plan import VerdictWord
from shared.printing import show
from shared.ranges import Range
from shared.units import System
from shared.verdict import Reason, Verdict
from shared.wear import WearLimit

from ..wear import car_reasons, limits_of, wear_reasons
from ..words import VERDICT_WORDS, value_text
from .document import KnownShown, WearShown
from .records import known_attribute
from .showing import error_text, limit_text

_OUTCOMES: dict[Outcome, str] = {
    "fills": "kept; nothing was known of it",
    "confirms": "kept; it confirms what the catalogue says",
    "replaces": "kept; it is better known than what the catalogue says, and counts",
    "is outweighed": "kept; the catalogue's value is better known and still counts",
    "contradicts and wins": "kept; it contradicts the catalogue, and counts",
    "contradicts and loses": "kept; it contradicts the catalogue, which is better known and still counts",
}


def _title(path: str) -> str:
    return path.replace("_", " ").replace(".", " ")


@dataclass(frozen=True)
class Telling:
    """The words about one garage as it is known after its readings."""

    garage: Garage
    units: System

    def name(self, part: str) -> str:
        """A part, or the car, as a person says it."""
        return "The car" if part == VEHICLE else self.garage.parts[part].name

    # -- headlines

    def headline(self, record: dict[str, object], part: str, path: str | None) -> str:
        """What became of a record, in one line; a piece to be left is told before all else."""
        name = self.name(part) + (f", {record['piece']}" if record.get("piece") else "")
        if record.get("aside"):
            return f"{name}: put aside; its readings no longer count"
        if record.get("withdraws"):
            what = f" ({_title(path)})" if path else ""
            return f"{name}: line {record['withdraws']}{what} is withdrawn"
        worn = self.leave(part)
        if worn:
            return worn
        said = f"{name}: {_title(path or '')} {record.get('value')}"
        settled = self.garage.measured.settled.get((part, path or ""))
        if settled is None:
            return f"{said} kept"
        return f"{said} {_OUTCOMES[settled.outcomes[str(record.get('piece') or '')]]}"

    def about(self, part: str, path: str | None, worth: bool) -> str:
        """What is asked of a part without a value, in one line."""
        if path is not None:
            return f"{self.name(part)}: {self._how(part, path)}"
        worn = self.leave(part)
        if worn:
            return worn
        if part == VEHICLE:
            return f"{self.name(part)}: what was read of it"
        doubt = next((r for r in self._reasons(part) if r.needs), None)
        if doubt is not None:
            return f"{self.name(part)}: measure again: {', '.join(doubt.needs)}"
        known = self.garage.parts[part].evidence
        sure = "nothing that decides is in doubt"
        if known <= Evidence.CLAIMED:
            sure = f"all that is known of it is {known.word}, and is taken at its word; measure it before paying"
        return f"{self.name(part)}: {'what is worth measuring' if worth else sure}"

    def _reasons(self, part: str) -> list[Reason]:
        """What speaks against the pieces of a part, the same at each of its positions: told at the first."""
        if part == VEHICLE:
            return list(car_reasons(self.garage))
        here = self.garage.parts[part]
        places = [at for at in here.positions if at in self.garage.layout.positions]
        return [r for at in places[:1] for r in wear_reasons(self.garage, at, here)]

    def all_left(self) -> tuple[str, ...]:
        """Every part of which a piece is left where it is, and why; its alterations are not named again."""
        read = dict.fromkeys(r.part for r in self.garage.measured.book.readings)
        return tuple(worn for part in read if (worn := self.leave(part)))

    def leave(self, part: str) -> str:
        """Why a piece is left where it is; empty where none is."""
        worn = next((r for r in self._reasons(part) if r.verdict is Verdict.NO), None)
        if worn is None:
            return ""
        read, limit = (value_text(side.value, worn.measure, self.units, 1) for side in (worn.left, worn.right))
        if worn.measure == WORD:
            told = f"{read}; only {limit} is good"
        else:
            told = f"{read}{' left' if worn.right.what == 'at least' else ''}, {limit} is the limit"
        do = "mend it before anything else" if part == VEHICLE else "leave it"
        return f"{worn.left.who}: {do}. {worn.left.what} {told} ({worn.source})"

    def _how(self, part: str, path: str) -> str:
        """How an attribute is read, and with which tools it can be."""
        attribute = known_attribute(self.garage, part, path)
        measure = attribute.measure
        stated = self.garage.vehicle.attribute(path) if part == VEHICLE else self.garage.parts[part].attribute(path)
        text = f"{path}, now {value_text(stated.value, measure, self.units, 1)}"
        if attribute.read:
            text += f"; read it so: {attribute.read}"
        if attribute.read and attribute.uncertainty:
            text += f", to within {error_text(attribute.uncertainty, measure, self.units)}"
        if attribute.one_of:
            return f"{text}; one of {', '.join(attribute.one_of)}"
        tools = []
        for name in tools_of(measure):
            tool = tool_for(name, measure)
            if tool is not None:
                error = error_text(tool.tolerance, measure, self.units) if tool.tolerance else tool.text
                tools.append(f"{name} ({error})" if error not in ("", "0") else name)
        return f"{text}; --how: {', '.join(tools)}"

    # -- what is known

    def known(self, part: str, path: str | None) -> KnownShown | None:
        """One attribute after its readings; ``None`` where it has none."""
        settled = self.garage.measured.settled.get((part, path or ""))
        if settled is None:
            return None
        measure = known_attribute(self.garage, part, settled.path).measure
        where = settled.place
        return KnownShown(
            part=part,
            attribute=settled.path,
            stated=settled.stated.text if settled.stated.known else "unknown",
            stated_evidence=settled.stated.evidence.word if settled.stated.known else "",
            where="" if where is None else f"{where.file}:{where.line}",
            read=value_text(settled.read.value, measure, self.units, 1),
            now=value_text(settled.value.value, measure, self.units, 1),
            now_evidence=settled.value.evidence.word,
            outcomes=tuple(f"{piece}: {outcome}" if piece else outcome for piece, outcome in settled.outcomes.items()),
            unread=self._unread(part, sorted(settled.pieces)),
        )

    def _unread(self, part: str, pieces: Sequence[str]) -> str:
        """What is taken for granted where not every piece of a set was read; one without a name stands for all.

        More than go on the car may be of several cars, or one of them with a slip in its name.
        """
        if part == VEHICLE or "" in pieces:
            return ""
        counts = [self.garage.layout.positions[at].count for at in self.garage.parts[part].positions]
        if len(pieces) < max(counts):
            return f"{len(pieces)} of {max(counts)} pieces read; the rest are taken to be alike"
        if len(pieces) > sum(counts):
            many = f"{len(pieces)} pieces count together, and {sum(counts)} go on the car"
            return f"{many}: {', '.join(pieces)}; --aside leaves one out"
        return ""

    # -- wear

    def wear_of(self, part: str, path: str | None = None) -> tuple[WearShown, ...]:
        """The wear limits of a part with what was read of them; of one attribute only where that is asked."""
        limits = self.garage.layout.wear.get(VEHICLE if part == VEHICLE else self.garage.parts[part].kind, ())
        return tuple(self._limit(part, limit) for limit in limits if path in (None, limit.path))

    def _limit(self, part: str, limit: WearLimit) -> WearShown:
        here = self.garage.vehicle if part == VEHICLE else self.garage.parts[part]
        measure = limit.attribute.measure
        pieces = self.garage.measured.pieces.get(part, {})
        read = {p: v[limit.path] for p, v in pieces.items() if limit.path in v}
        title = _title(limit.path)
        against = [r.verdict for r in self._reasons(part) if r.left.what in (title, f"{title} apart by")]
        verdict: VerdictWord | None = VERDICT_WORDS[max(against, default=Verdict.FITS)] if read else None
        words = "only " + " or ".join(limit.accept) if limit.accept else ""
        ends = words if measure == WORD else limit_text(*limits_of(limit, here), measure, self.units)
        apart = (
            ""
            if limit.apart is None
            else f"pieces at most {show(Range.exactly(limit.apart), measure, self.units)} apart"
        )
        good = "; ".join(x for x in (ends, apart) if x)
        return WearShown(
            attribute=limit.path,
            read=", ".join(f"{v.text}{f' ({p})' if p else ''}" for p, v in read.items()),
            limit=good or "as marked on the part, which the catalogue does not say",
            says=limit.says,
            source=limit.source,
            verdict=verdict,
        )
