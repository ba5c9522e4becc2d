"""One run in a process of its own: its time, its peak memory, its answer, or that it was stopped."""

from __future__ import annotations

import json
import os
import resource
import select
import signal
from dataclasses import asdict, dataclass, field
from time import perf_counter
from typing import Any

from solver.problem import Problem
from solver.search.enumeration import LimitReached
from tests.benchmarks.methods import Method, Parts

GRACE = 5.0
Rank = tuple[bool, int, tuple[str, ...]]


@dataclass(frozen=True)
class Ran:
    """``status`` is *proved*, *stopped* (out of time), *limit* (gave up by itself) or *failed*.

    ``peak`` [MB] is the most memory the process held, the catalogue it was given included.
    """

    status: str
    seconds: float
    peak: float
    answer: tuple[Rank, ...] = ()
    parts: Parts = field(default_factory=dict)
    trouble: str = ""

    def as_tree(self) -> dict[str, Any]:
        """For the JSON."""
        return asdict(self)


def run_apart(method: Method, problem: Problem, most: int, seconds: float) -> Ran:
    """Run a method in a copy of this process; stop it when its time is over."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        try:
            text = json.dumps(_run(method, problem, most, seconds))
            with os.fdopen(writing, "w") as pipe:
                pipe.write(text)
        finally:
            os._exit(0)
    os.close(writing)
    start = perf_counter()
    chunks = []
    with os.fdopen(reading, "rb") as pipe:
        while True:
            left = seconds + GRACE - (perf_counter() - start)
            if left <= 0 or not select.select([pipe], [], [], left)[0]:
                os.kill(child, signal.SIGKILL)
                break
            chunk = os.read(pipe.fileno(), 1 << 16)
            if not chunk:
                break
            chunks.append(chunk)
    _, _, used = os.wait4(child, 0)
    if not chunks:
        took = perf_counter() - start
        status = "stopped" if took >= seconds else "failed"
        return Ran(status, took, used.ru_maxrss / 1024, trouble="" if status == "stopped" else "it ended by itself")
    tree = json.loads(b"".join(chunks))
    answer = tuple((bool(d), int(s), tuple(ids)) for d, s, ids in tree["answer"])
    status = "stopped" if tree["status"] == "proved" and tree["seconds"] > seconds else tree["status"]
    return Ran(status, tree["seconds"], tree["peak"], answer, tree["parts"], tree["trouble"])


def _run(method: Method, problem: Problem, most: int, seconds: float) -> dict[str, Any]:
    parts: Parts = {}
    status, trouble, answer = "proved", "", []
    start = perf_counter()
    try:
        answer = [found.rank for found in method(problem, most, seconds, parts)]
    except LimitReached as error:
        took = perf_counter() - start
        status, trouble = ("stopped" if took >= 0.95 * seconds else "limit"), str(error)
    except MemoryError:
        status, trouble = "failed", "out of memory"
    except Exception as error:
        status, trouble = "failed", f"{type(error).__name__}: {error}"
    took = perf_counter() - start
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return {"status": status, "seconds": took, "peak": peak, "answer": answer, "parts": parts, "trouble": trouble}
