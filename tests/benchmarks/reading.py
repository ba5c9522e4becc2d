"""Reading at scale: so many parts in so many files, cold (nothing kept from an earlier run), warm, and with one file
changed since.

``python -m tests.benchmarks.reading --parts 10000 --files 300 --out DIR``

Every reading is a process of its own with its modules compiled.  *reading* is from the goal file to a goal and a
garage with every fault looked for, *processor* the processor's time of that; *problem* from there to candidates and
relations; *whole* is the process, interpreter and imports included.  Medians of ``--repeats``.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from math import ceil
from pathlib import Path
from statistics import median
from time import perf_counter

from knowledge.garage import layouts_folder
from knowledge.layouts import read_layout
from solver.tables import Table
from tests.benchmarks.catalogues import Recipe, write_catalogue
from tests.benchmarks.startup import environment

ONE = """
import json, resource, sys
from pathlib import Path
from time import perf_counter, process_time
from knowledge.garage import read_goal
from solver.problem import build_problem
start, busy = perf_counter(), process_time()
goal, garage = read_goal(Path(sys.argv[1]))
read, busy = perf_counter(), process_time() - busy
problem = build_problem(goal, garage)
done = perf_counter()
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
times = {"reading": read - start, "processor": busy, "problem": done - read}
print(json.dumps({"parts": len(garage.parts), **times, "peak": peak}))
"""
KEYS = ("reading", "processor", "problem", "whole", "peak")


def read_once(goal: Path, environment: Mapping[str, str]) -> dict[str, float]:
    """One reading in a process of its own."""
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
    runs: dict[str, list[dict[str, float]]] = {"cold": [], "warm": [], "one file changed": []}
    with tempfile.TemporaryDirectory() as made:
        per_file = max(1, ceil(size * positions / max(1, asked.files - 1)))
        folder = write_catalogue(Path(made) / "c", Recipe(size, seed=asked.seed), per_file=per_file)
        files = len(list((folder / "catalogue").iterdir()))
        places = environment(Path(made))
        changing = folder / "catalogue" / "pieces-0001.yaml"
        read_once(folder / "goal-loose.yaml", places | {"SWAPWRIGHT_CACHE": "off"})
        for repeat in range(asked.repeats):
            kept = places | {"SWAPWRIGHT_CACHE": str(Path(made) / f"kept-{repeat}")}
            for name, found in runs.items():
                if name == "one file changed":
                    changing.write_text(changing.read_text("utf-8") + "# changed\n", "utf-8")
                found.append(read_once(folder / "goal-loose.yaml", kept))
                print(f"{name}: {found[-1]}", file=sys.stderr, flush=True)
    rows = [[name, *(f"{median(r[key] for r in found):.3f}" for key in KEYS)] for name, found in runs.items()]
    heads = ["", "reading s", "processor s", "problem s", "whole process s", "peak MB"]
    parts = int(runs["cold"][0]["parts"])
    text = "\n".join([f"{parts:,} parts in {files} files, medians of {asked.repeats}", "", *Table(heads, rows).lines()])
    print(text)
    if asked.out:
        asked.out.mkdir(parents=True, exist_ok=True)
        tree = {"format": "swapwright reading benchmark", "version": 2, "files": files, "seed": asked.seed, **runs}
        (asked.out / "reading.json").write_text(json.dumps(tree, indent=1) + "\n", "utf-8")
        (asked.out / "reading.txt").write_text(text + "\n", "utf-8")


if __name__ == "__main__":
    main()
