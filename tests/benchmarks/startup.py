"""Start-up: what a command imports and how long that takes, by ``python -X importtime``.

``python -m tests.benchmarks.startup --out DIR``

For ``--help`` and ``plan`` (the demo's): the median time of the whole command, of an empty interpreter, the time
under ``import`` by package, and which of the heavy libraries were loaded.  For ``plan`` also where the processor's
time goes: *imports* (the interpreter among them), *reading* to a goal and a garage, *problem* to candidates and
relations, *plan* to builds with proof and why others fail, *telling* to text.

Everything is as it is for a user from the second time on: modules compiled and readings kept, both in a folder of
this benchmark's own.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any

from solver.tables import Table

CODE = "from solver.cli import main; main()"
COMMANDS = {"--help": ["--help"], "plan": ["plan"]}
HEAVY = ("networkx", "pint", "numpy", "constraint", "ruamel", "pydantic", "rich", "ortools", "matplotlib")
MOST_ROWS = 12
PHASES = """
import json
from time import process_time
import solver.cli.app
solver.cli.app.quicken()
from knowledge.formulas import formulas
from knowledge.garage import read_goal
from solver import demo_goal
from solver.planning import plan_of
from solver.problem import build_problem
from solver.report import plan_text
from solver.search.engines import engine
solver.cli.app.load_commands()
formulas(), engine("ours")
times = [0.0, process_time()]
goal, garage = read_goal(demo_goal())
times.append(process_time())
problem = build_problem(goal, garage)
times.append(process_time())
document = plan_of(problem, str(demo_goal()))
times.append(process_time())
plan_text(document)
times.append(process_time())
print(json.dumps([later - sooner for sooner, later in zip(times, times[1:])]))
"""
PARTS = ("imports", "reading", "problem", "plan", "telling")
_LINE = re.compile(r"import time:\s+(\d+) \|\s+(\d+) \| (\s*)(\S+)")


def environment(folder: Path) -> dict[str, str]:
    """The environment of a user's second run: compiled modules and readings are kept in this folder."""
    kept = {"PYTHONPYCACHEPREFIX": str(folder / "compiled"), "SWAPWRIGHT_CACHE": str(folder / "kept")}
    found = {**os.environ, **kept, "PYTHONPATH": str(Path.cwd())}
    found.pop("PYTHONDONTWRITEBYTECODE", None)
    return found


def timed(arguments: Sequence[str], repeats: int, environment: Mapping[str, str]) -> float:
    """The median time of a process [s], one run ahead not counted."""
    found = []
    subprocess.run([sys.executable, *arguments], capture_output=True, env=environment, check=False)
    for _ in range(repeats):
        start = perf_counter()
        subprocess.run([sys.executable, *arguments], capture_output=True, env=environment, check=False)
        found.append(perf_counter() - start)
    return median(found)


def phases(repeats: int, environment: Mapping[str, str]) -> dict[str, float]:
    """The median processor time of each part of the demo's plan [s]."""
    runs = []
    for _ in range(repeats):
        done = subprocess.run(
            [sys.executable, "-c", PHASES], capture_output=True, text=True, env=environment, check=True
        )
        runs.append(json.loads(done.stdout))
    return {name: median(times) for name, times in zip(PARTS, zip(*runs, strict=True), strict=True)}


def imports(arguments: Sequence[str], environment: Mapping[str, str]) -> dict[str, float]:
    """The time spent in each package's own modules [s], by ``-X importtime``."""
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-c", CODE, *arguments], capture_output=True, text=True, env=environment
    )
    found: dict[str, float] = {}
    for line in done.stderr.splitlines():
        match = _LINE.match(line)
        if match:
            package = match[4].split(".")[0]
            found[package] = found.get(package, 0.0) + int(match[1]) / 1e6
    return found


def measured(repeats: int, environment: Mapping[str, str]) -> tuple[dict[str, Any], list[str]]:
    """Everything there is to tell, as a tree and as lines."""
    empty = timed(["-c", "pass"], repeats, environment)
    tree: dict[str, Any] = {"format": "swapwright start-up benchmark", "version": 2, "empty interpreter": empty}
    lines = [f"an empty interpreter: {empty:.3f} s"]
    for name, command in COMMANDS.items():
        whole = timed(["-c", CODE, *command], repeats, environment)
        packages = imports(command, environment)
        total = sum(packages.values())
        loaded = [h for h in HEAVY if h in packages]
        tree[name] = {"whole": whole, "imports": total, "packages": packages, "heavy": loaded}
        lines += [
            "",
            f"swapwright {name}: {whole:.3f} s whole, {total:.3f} s of it imports",
            f"heavy libraries loaded: {', '.join(loaded) or 'none'}",
        ]
        slowest = sorted(packages.items(), key=lambda item: -item[1])[:MOST_ROWS]
        lines += Table(["package", "s"], [[package, f"{seconds:.3f}"] for package, seconds in slowest]).lines()
    tree["phases"] = phases(repeats, environment)
    lines += ["", "the demo's plan, processor time by part"]
    lines += Table(["part", "s"], [[part, f"{seconds:.3f}"] for part, seconds in tree["phases"].items()]).lines()
    return tree, lines


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure, print tables, and keep the figures as JSON."""
    parser = argparse.ArgumentParser(description="Measure start-up.")
    parser.add_argument("--repeats", type=int, default=5)
    parser.add_argument("--out", type=Path)
    asked = parser.parse_args(arguments)
    with tempfile.TemporaryDirectory() as folder:
        tree, lines = measured(asked.repeats, environment(Path(folder)))
    text = "\n".join(lines)
    print(text)
    if asked.out:
        asked.out.mkdir(parents=True, exist_ok=True)
        (asked.out / "startup.json").write_text(json.dumps(tree, indent=1) + "\n", "utf-8")
        (asked.out / "startup.txt").write_text(text + "\n", "utf-8")


if __name__ == "__main__":
    main()
