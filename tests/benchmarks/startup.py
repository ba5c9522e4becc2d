"""Start-up: what a command imports and how long that takes, by ``python -X importtime``.

``python -m tests.benchmarks.startup --out DIR``

For ``--help`` and ``plan`` (the demo's): the median time of the whole command, of an empty interpreter, the time
under ``import`` by package, and which of the heavy libraries were loaded.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any

from solver.tables import table

CODE = "from solver.cli import main; main()"
COMMANDS = {"--help": ["--help"], "plan": ["plan"]}
HEAVY = ("networkx", "pint", "numpy", "constraint", "ruamel", "pydantic", "rich", "ortools", "matplotlib")
MOST_ROWS = 12
_LINE = re.compile(r"import time:\s+(\d+) \|\s+(\d+) \| (\s*)(\S+)")


def timed(arguments: Sequence[str], repeats: int) -> float:
    """The median time of a process [s]."""
    environment = {**os.environ, "PYTHONPATH": str(Path.cwd())}
    found = []
    for _ in range(repeats):
        start = perf_counter()
        subprocess.run([sys.executable, *arguments], capture_output=True, env=environment, check=False)
        found.append(perf_counter() - start)
    return median(found)


def imports(arguments: Sequence[str]) -> dict[str, float]:
    """The time spent in each package's own modules [s], by ``-X importtime``."""
    environment = {**os.environ, "PYTHONPATH": str(Path.cwd())}
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


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure, print tables, and keep the figures as JSON."""
    parser = argparse.ArgumentParser(description="Measure start-up.")
    parser.add_argument("--repeats", type=int, default=5)
    parser.add_argument("--out", type=Path)
    asked = parser.parse_args(arguments)
    empty = timed(["-c", "pass"], asked.repeats)
    tree: dict[str, Any] = {"format": "swapwright start-up benchmark", "version": 1, "empty interpreter": empty}
    lines = [f"an empty interpreter: {empty:.3f} s"]
    for name, command in COMMANDS.items():
        whole = timed(["-c", CODE, *command], asked.repeats)
        packages = imports(command)
        total = sum(packages.values())
        loaded = [h for h in HEAVY if h in packages]
        tree[name] = {"whole": whole, "imports": total, "packages": packages, "heavy": loaded}
        lines += [
            "",
            f"swapwright {name}: {whole:.3f} s whole, {total:.3f} s of it imports",
            f"heavy libraries loaded: {', '.join(loaded) or 'none'}",
        ]
        slowest = sorted(packages.items(), key=lambda item: -item[1])[:MOST_ROWS]
        lines += table(["package", "s"], [[package, f"{seconds:.3f}"] for package, seconds in slowest])
    text = "\n".join(lines)
    print(text)
    if asked.out:
        asked.out.mkdir(parents=True, exist_ok=True)
        (asked.out / "startup.json").write_text(json.dumps(tree, indent=1) + "\n", "utf-8")
        (asked.out / "startup.txt").write_text(text + "\n", "utf-8")


if __name__ == "__main__":
    main()
