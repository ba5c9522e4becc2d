"""What was measured, as a table, as JSON and as a growth curve."""

from __future__ import annotations

import json
import os
import platform
from dataclasses import dataclass, field
from importlib.metadata import version
from pathlib import Path
from statistics import median
from typing import Any

from solver.tables import Table
from tests.benchmarks.apart import Ran

PACKAGES = ("ortools", "python-constraint2", "numpy", "networkx")


@dataclass
class Row:
    """The runs of one method on one catalogue with one limit on money."""

    size: int
    grid: float
    money: str
    amount: float | None
    own_amount: bool
    method: str
    runs: list[Ran] = field(default_factory=list)

    @property
    def status(self) -> str:
        """*proved* only if every run was."""
        return next((r.status for r in self.runs if r.status != "proved"), "proved")

    @property
    def seconds(self) -> float:
        """The median time of the runs."""
        return median(r.seconds for r in self.runs)

    def line(self) -> str:
        """For the one who waits."""
        last = self.runs[-1]
        parts = ", ".join(f"{k} {v:.4g}" for k, v in last.parts.items())
        return f"{self.money:8} {self.method:38} {last.status} {last.seconds:.2f} s, {last.peak:.0f} MB  {parts}"


@dataclass
class Results:
    """All rows, where and how they were measured."""

    about: dict[str, Any]
    reading: list[dict[str, Any]] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)

    @classmethod
    def begun(cls, asked: dict[str, Any]) -> Results:
        """Nothing measured yet."""
        return cls(
            {
                "asked": {k: str(v) if isinstance(v, Path) else v for k, v in asked.items()},
                "python": platform.python_version(),
                "cores": os.cpu_count(),
                "load_before": os.getloadavg()[0],
                "packages": {name: version(name) for name in PACKAGES},
            }
        )

    def differing(self) -> list[str]:
        """Catalogues on which two methods proved different answers."""
        answers: dict[tuple[int, float, str], set[Any]] = {}
        for row in self.rows:
            for run in row.runs:
                if run.status == "proved":
                    answers.setdefault((row.size, row.grid, row.money), set()).add(run.answer)
        return [f"n = {n}, grid {g:g} mm, {m}" for (n, g, m), found in answers.items() if len(found) > 1]

    def table(self) -> str:
        """Medians, side by side, with how many times ours each takes."""
        lines = []
        for grid, money in dict.fromkeys((r.grid, r.money) for r in self.rows):
            rows = []
            for row in (r for r in self.rows if (r.grid, r.money) == (grid, money)):
                own = next((r for r in self.rows if _place(r) == _place(row) and r.method == "ours"), None)
                ratio = ""
                if own is not None and own is not row and own.status == "proved":
                    ratio = f"{'> ' if row.status == 'stopped' else ''}{row.seconds / own.seconds:.2f}"
                best = row.runs[0].answer[0] if row.runs[0].answer else None
                rows.append(
                    [
                        str(row.size),
                        row.method,
                        row.status,
                        f"{'> ' if row.status == 'stopped' else ''}{row.seconds:.3f}",
                        ratio,
                        f"{max(r.peak for r in row.runs):.0f}",
                        str(len(row.runs)),
                        "" if best is None else f"{best[1] / 100:.2f}{'?' if best[0] else ''}",
                        str(len(row.runs[0].answer)),
                        ""
                        if row.amount is None
                        else f"at most {row.amount:g}{'' if row.own_amount else ' (of a smaller size)'}",
                    ]
                )
            heads = ["n", "method", "status", "median s", "x ours", "peak MB", "runs", "best", "builds", "money"]
            lines += [f"grid {grid:g} mm, {money} money", "", *Table(heads, rows).lines(), ""]
        lines += self.growth()
        lines += [f"DIFFERENT ANSWERS: {place}" for place in self.differing()]
        for read in self.reading:
            size, grid = read["size"], read["grid"]
            lines.append(f"read n = {size}, grid {grid:g} mm: {read['parts']:,} parts in {read['seconds']:.2f} s")
        about = self.about
        packages = ", ".join(f"{k} {v}" for k, v in about["packages"].items())
        lines.append(
            f"seed {about['asked']['seed']}, {about['asked']['seconds']:g} s a run; Python {about['python']}, "
            f"{packages}; {about['cores']} cores, load {about['load_before']:.1f} at the start"
        )
        return "\n".join(lines)

    def growth(self) -> list[str]:
        """How many times longer each method takes at the largest size than at the smallest it proved both."""
        lines = []
        for grid, money, method in dict.fromkeys((r.grid, r.money, r.method) for r in self.rows):
            mine = [
                r for r in self.rows if (r.grid, r.money, r.method) == (grid, money, method) and r.status == "proved"
            ]
            if len(mine) > 1:
                first, last = mine[0], mine[-1]
                lines.append(
                    f"growth, grid {grid:g} mm, {money}, {method}: n x {last.size / first.size:.3g} -> "
                    f"time x {last.seconds / first.seconds:.2f}"
                )
        return lines

    def as_tree(self) -> dict[str, Any]:
        """For the JSON."""
        rows = [
            {
                **{k: v for k, v in vars(row).items() if k != "runs"},
                "status": row.status,
                "median_seconds": row.seconds,
                "runs": [r.as_tree() for r in row.runs],
            }
            for row in self.rows
        ]
        return {
            "format": "swapwright benchmark",
            "version": 1,
            **self.about,
            "reading": self.reading,
            "differing": self.differing(),
            "rows": rows,
        }

    def write(self, folder: Path) -> None:
        """The three files."""
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "results.json").write_text(json.dumps(self.as_tree(), indent=1) + "\n", "utf-8")
        (folder / "table.txt").write_text(self.table() + "\n", "utf-8")
        draw(self.rows, folder / "growth.png")


def _place(row: Row) -> tuple[int, float, str]:
    return row.size, row.grid, row.money


def draw(rows: list[Row], file: Path) -> None:
    """Time against size, one panel a grid and limit on money; a hollow mark was stopped there."""
    import matplotlib

    matplotlib.use("Agg")
    from matplotlib import pyplot

    panels = list(dict.fromkeys((r.grid, r.money) for r in rows))
    if not panels:
        return
    figure, axes = pyplot.subplots(1, len(panels), figsize=(5.5 * len(panels), 4.5), squeeze=False, sharey=True)
    for axis, (grid, money) in zip(axes[0], panels, strict=True):
        for number, method in enumerate(dict.fromkeys(r.method for r in rows)):
            mine = [r for r in rows if (r.grid, r.money, r.method) == (grid, money, method)]
            colour = f"C{number}"
            done = [r for r in mine if r.status == "proved"]
            axis.plot([r.size for r in done], [r.seconds for r in done], "o-", color=colour, label=method)
            late = [r for r in mine if r.status != "proved"]
            axis.plot([r.size for r in late], [r.seconds for r in late], "o", mfc="none", color=colour)
        axis.set(xscale="log", yscale="log", xlabel="candidates a position", title=f"grid {grid:g} mm, {money} money")
        axis.grid(True, which="both", alpha=0.2)
    axes[0][0].set_ylabel("median time to the proven best ten [s]")
    axes[0][-1].legend(fontsize=7)
    figure.tight_layout()
    figure.savefig(file, dpi=120)
    pyplot.close(figure)
