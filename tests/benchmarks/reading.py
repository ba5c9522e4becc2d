"""Reading at scale: so many parts in so many files, cold (nothing kept from an earlier run) and warm.

``python -m tests.benchmarks.reading --parts 10000 --files 300 --out DIR``

Every reading is a process of its own.  *reading* is from the goal file to a goal and a garage with every fault
looked for, *problem* from there to candidates and relations; *whole* is the process, interpreter and imports
included.  Medians of ``--repeats``.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from math import ceil
from pathlib import Path
from statistics import median
from time import perf_counter

from knowledge.garage import layouts_folder
from knowledge.layouts import read_layout
from solver.tables import table
from tests.benchmarks.catalogues import Recipe, write_catalogue

ONE = """
import json, resource, sys
from pathlib import Path
from time import perf_counter
from knowledge.garage import read_goal
from solver.problem import build_problem
start = perf_counter()
goal, garage = read_goal(Path(sys.argv[1]))
read = perf_counter()
problem = build_problem(goal, garage)
done = perf_counter()
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(json.dumps({"parts": len(garage.parts), "reading": read - start, "problem": done - read, "peak": peak}))
"""


def read_once(goal: Path, kept: Path) -> dict[str, float]:
    """One reading in a process of its own, with this folder for what is kept."""
    environment = {**os.environ, "SWAPWRIGHT_CACHE": str(kept), "PYTHONPATH": str(Path.cwd())}
    start = perf_counter()
    done = subprocess.run(
        [sys.executable, "-c", ONE, str(goal)], capture_output=True, text=True, env=environment, check=True
    )
    found: dict[str, float] = json.loads(done.stdout)
    return {**found, "whole": perf_counter() - start}


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure, print a table, and keep every reading as JSON."""
    parser = argparse.ArgumentParser(description="Measure reading, cold and warm.")
    parser.add_argument("--parts", type=int, default=10_000)
    parser.add_argument("--files", type=int, default=300)
    parser.add_argument("--repeats", type=int, default=3)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--out", type=Path)
    asked = parser.parse_args(arguments)
    positions = len(read_layout(layouts_folder() / "solid-axle-4x4").positions)
    size = max(3, ceil(asked.parts / positions))
    runs: dict[str, list[dict[str, float]]] = {"cold": [], "warm": []}
    with tempfile.TemporaryDirectory() as made:
        per_file = max(1, ceil(size * positions / max(1, asked.files - 1)))
        folder = write_catalogue(Path(made) / "c", Recipe(size, seed=asked.seed), per_file=per_file)
        files = len(list((folder / "catalogue").iterdir()))
        for repeat in range(asked.repeats):
            kept = Path(made) / f"kept-{repeat}"
            kept.mkdir()
            for name, found in runs.items():
                found.append(read_once(folder / "goal-loose.yaml", kept))
                print(f"{name}: {found[-1]}", file=sys.stderr, flush=True)
    rows = [
        [name, *(f"{median(r[key] for r in found):.3f}" for key in ("reading", "problem", "whole", "peak"))]
        for name, found in runs.items()
    ]
    heads = ["", "reading s", "problem s", "whole process s", "peak MB"]
    parts = int(runs["cold"][0]["parts"])
    text = "\n".join([f"{parts:,} parts in {files} files, medians of {asked.repeats}", "", *table(heads, rows)])
    print(text)
    if asked.out:
        asked.out.mkdir(parents=True, exist_ok=True)
        tree = {"format": "swapwright reading benchmark", "version": 1, "files": files, "seed": asked.seed, **runs}
        (asked.out / "reading.json").write_text(json.dumps(tree, indent=1) + "\n", "utf-8")
        (asked.out / "reading.txt").write_text(text + "\n", "utf-8")


if __name__ == "__main__":
    main()
