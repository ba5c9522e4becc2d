"""Counts of rules that are kept between runs: they change the time, never the answer."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from shutil import copytree

import pytest

from knowledge.garage import read_goal
from solver.counting import removed_alone, ruled_out
from solver.problem import Problem, build_problem
from solver.search.possible import Possible

TRAILER = Path(__file__).parents[2] / "data" / "trailer"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("SWAPWRIGHT_CACHE", str(tmp_path / "kept"))
    copytree(TRAILER, tmp_path / "trailer")
    return tmp_path / "trailer"


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """A line for every time it was really counted."""
    found: list[str] = []
    count = ruled_out._counted_alone

    def noted(*asked: object) -> dict[str, int | None]:
        found.append("counted")
        return count(*asked)  # type: ignore[arg-type]

    monkeypatch.setattr(ruled_out, "_counted_alone", noted)
    return found


def problem_of(folder: Path) -> Problem:
    return build_problem(*read_goal(folder / "goal.yaml"))


def counts(problem: Problem) -> dict[str, int | None]:
    return removed_alone(Possible(problem))


def test_the_second_time_nothing_is_counted(folder: Path, made: list[str]) -> None:
    first = counts(problem_of(folder))
    assert first and any(first.values())
    assert counts(problem_of(folder)) == first and made == ["counted"]


def test_how_much_may_be_counted_is_another_question(folder: Path, made: list[str]) -> None:
    problem = problem_of(folder)
    removed_alone(Possible(problem), 3_000)
    assert None in removed_alone(Possible(problem), 0).values() and len(made) == 2


@pytest.mark.parametrize("name", ["goal.yaml", "vehicle.yaml", "catalogue.yaml", "layout/trailer.yaml"])
def test_a_change_of_any_file_is_counted_anew(folder: Path, made: list[str], name: str) -> None:
    counts(problem_of(folder))
    with (folder / name).open("a", encoding="utf-8") as file:
        file.write("# another thing\n")
    counts(problem_of(folder))
    assert len(made) == 2


def test_what_is_asked_is_counted_anew(folder: Path, made: list[str]) -> None:
    before = counts(problem_of(folder))
    goal = folder / "goal.yaml"
    goal.write_text(goal.read_text("utf-8").replace("15 mm", "40 mm"), "utf-8")
    after = counts(problem_of(folder))
    assert before != after and len(made) == 2


def test_a_reading_is_counted_anew(folder: Path, made: list[str]) -> None:
    counts(problem_of(folder))
    reading = {
        "measurement": 1,
        "at": "2026-03-07T10:00:00+00:00",
        "part": "spring-tall",
        "attribute": "free_height",
        "value": "232 mm",
    }
    (folder / "measurements.jsonl").write_text(json.dumps(reading) + "\n", "utf-8")
    for _ in range(2):
        counts(problem_of(folder))
    assert len(made) == 2


def test_another_program_counts_anew(folder: Path, made: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    counts(problem_of(folder))
    monkeypatch.setattr(ruled_out, "code_key", lambda *packages: "another program")
    counts(problem_of(folder))
    assert len(made) == 2


def test_what_is_not_as_it_was_read_is_not_kept(folder: Path, made: list[str]) -> None:
    problem = problem_of(folder)
    garage = replace(problem.garage, vehicle=problem.garage.vehicle)
    assert garage.content == ""
    for _ in range(2):
        counts(build_problem(problem.goal, garage))
    at, parts = next((at, parts) for at, parts in problem.domains.items() if parts[0] is not None)
    assert parts[0] is not None
    other = replace(problem, domains={**problem.domains, at: (replace(parts[0], note="another"), *parts[1:])})
    for _ in range(2):
        counts(other)
    assert len(made) == 4


def test_fewer_candidates_are_counted_anew(folder: Path, made: list[str]) -> None:
    problem = problem_of(folder)
    at = max(problem.domains, key=lambda p: len(problem.domains[p]))
    counts(problem)
    counts(replace(problem, domains={**problem.domains, at: problem.domains[at][:1]}))
    assert len(made) == 2
