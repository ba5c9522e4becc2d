"""What one computation reads of the candidates of a position, as rows of numbers.

Candidates of one *shape* differ in numbers alone: of each attribute that is read all of them say a range or none does,
and words are the same.  Only such ones can be blurred into one part.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from knowledge.computing.dataflow import Dataflow
from shared.evidence import Evidence, Value
from shared.part import Part
from shared.ranges import Range

Members = NDArray[np.int64]
_Row = tuple[int, tuple[float, ...], tuple[float, ...]]


@dataclass(frozen=True, eq=False)
class Sheet:
    """Candidates with a row each: the number of their shape, and the ends of the ranges they say (0 where they say
    none), one column for each attribute."""

    parts: tuple[Part | None, ...]
    shapes: Members
    low: NDArray[np.float64]
    high: NDArray[np.float64]

    def spans(self, members: Members) -> NDArray[np.float64]:
        """How far the middles of the members' ranges lie apart, for each attribute."""
        middles = self.middles(members)
        found: NDArray[np.float64] = middles.max(axis=0) - middles.min(axis=0)
        return found

    def middles(self, members: Members) -> NDArray[np.float64]:
        """The middles of the members' ranges."""
        low = self.low[members]
        return low + (self.high[members] - low) / 2


@dataclass
class Figures:
    """Reads the candidates of a position for one computation, and remembers what it has read."""

    flow: Dataflow
    at: str
    paths: tuple[str, ...]
    _rows: dict[Part | None, _Row] = field(default_factory=dict)
    _shapes: dict[Hashable, int] = field(default_factory=dict)
    _made: int = 0

    def sheet(self, parts: tuple[Part | None, ...]) -> Sheet:
        """Some candidates with their rows."""
        rows = [self._rows.get(part) or self._row(part) for part in parts]
        size = len(rows), len(self.paths)
        low, high = (np.array([row[i] for row in rows], dtype=np.float64).reshape(size) for i in (1, 2))
        return Sheet(parts, np.array([row[0] for row in rows], dtype=np.int64), low, high)

    def _row(self, part: Part | None) -> _Row:
        said = [self.flow.part_value(self.at, part, path).value for path in self.paths]
        shape = (part and part.kind, *(v if isinstance(v, str) else v is not None for v in said))
        number = self._shapes.setdefault(shape, len(self._shapes))
        ends = [(v.lo, v.hi) if isinstance(v, Range) else (0.0, 0.0) for v in said]
        row = self._rows[part] = number, tuple(lo for lo, _ in ends), tuple(hi for _, hi in ends)
        return row

    def blurred(self, sheet: Sheet, members: Members) -> Part | None:
        """One part for several of one shape: each figure that is read is the range theirs lie in."""
        if len(members) == 1:
            return sheet.parts[int(members[0])]
        low, high = sheet.low[members].min(axis=0).tolist(), sheet.high[members].max(axis=0).tolist()
        return self._like(sheet.parts[members[0]], low, high, range(len(self.paths)))

    def moved(self, sheet: Sheet, members: Members, column: int) -> Part | None:
        """The middle one of some members, as far as one attribute goes anything among them."""
        low, high = sheet.low[members, column].min(), sheet.high[members, column].max()
        rows = [float(low)] * len(self.paths), [float(high)] * len(self.paths)
        return self._like(sheet.parts[members[len(members) // 2]], *rows, (column,))

    def _like(self, part: Part | None, low: Sequence[float], high: Sequence[float], columns: Sequence[int]) -> Part:
        """A part that says ranges where another says any, in some columns; what is not read it does not say."""
        assert part is not None, "an empty place has no figures"
        ports: dict[str, dict[str, Value]] = {}
        properties: dict[str, Value] = {}
        for column, path in enumerate(self.paths):
            value = part.attribute(path)
            if column in columns and isinstance(value.value, Range):
                value = Value(Range(low[column], high[column]), "blurred", Evidence.MEASURED)
            port, dot, name = path.partition(".")
            (ports.setdefault(port, {}) if dot else properties)[name or path] = value
        # Its name is told apart from all others, so that nothing takes it for one input with another.
        self._made += 1
        called = f"{self._made}: any like {part.id} at {self.at}"
        return Part(called, called, part.kind, (self.at,), ports, properties)
