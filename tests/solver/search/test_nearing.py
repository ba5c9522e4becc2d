"""Coming nearer to the best build by questions, against the score of every build."""

from __future__ import annotations

import pytest

from shared.verdict import Verdict
from solver.search.nearing import nearest
from solver.search.possible import Possible
from tests.solver.random_problems import builds_of, wishing


@pytest.mark.parametrize("certain", [True, False])
@pytest.mark.parametrize("seed", range(8000, 8080))
def test_it_ends_at_the_best(seed: int, certain: bool) -> None:
    """Whatever is known before and from whichever build it begins; with few choices it is not called the best unless
    it is."""
    problem = wishing(seed)
    worst = Verdict.FITS if certain else Verdict.CHECK
    passing = [b for b in builds_of(problem) if all(r.verdict(b) <= worst for r in problem.hard)]
    if not passing:
        return
    scores = [problem.scoring.score(b, problem.dearest) for b in passing]
    least = min(scores)
    dearest = passing[scores.index(max(scores))]
    for known in (passing[0], dearest):
        for none in (-1, least - 1):
            for most_nodes in (0, 2, 4_000):
                possible = Possible(problem, certain=certain)
                build, proved = nearest(possible, problem.hard, known, none, most_nodes)
                assert build in passing
                score = problem.scoring.score(build, problem.dearest)
                assert score == least or not proved
                assert proved or most_nodes < 4_000
                assert score <= problem.scoring.score(known, problem.dearest)


def test_what_was_learnt_with_one_limit_serves_the_next() -> None:
    """Lessons that speak of a looser limit are heeded; answers stay right, as above."""
    heeded = 0
    for seed in range(8100, 8160):
        problem = wishing(seed, 5, 5)
        possible = Possible(problem)
        reply = possible.ask(problem.hard)
        if reply.build is None:
            continue
        nearest(possible, problem.hard, reply.build)
        names = {r.name for lesson in possible.memory.lessons for r in lesson.relations}
        heeded += any(name.startswith("score at most") for name in names)
    assert heeded
