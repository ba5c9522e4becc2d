"""What is said of parts when the work runs out: all of it still true, and that not everything was looked for."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path
from random import Random

import pytest

from shared.explained import ConflictShown, MendShown
from shared.part import Part
from shared.verdict import Verdict
from solver import demo_goal, why
from solver.explain import pairs, together
from solver.explain import refusal as refusals
from solver.explain.budget import Budget
from solver.explain.document import NOT_ALL_CHANGES
from solver.explain.questions import Questions
from solver.explain.reasons import why_parts
from solver.explain.relaxation_text import refused_headline
from solver.explain.text import why_text
from solver.problem import Problem
from solver.relations import Relation
from solver.search.trying import WORK_A_NODE
from tests.solver.random_problems import Verdicts, random_problem

TRAILER = Path(__file__).parent.parent.parent / "data" / "trailer"
NOT_ALL = "not all ways out were looked for"
NOTHING = "nothing in this catalogue changes that"


def allow(monkeypatch: pytest.MonkeyPatch, most: int) -> None:
    """So much work for each piece of an answer about parts."""
    for name in ("MOST_WORK_SETS", "MOST_WORK_CONFLICTS"):
        monkeypatch.setattr(pairs, name, most)
    for name in ("MOST_WORK_CLASHES", "MOST_WORK_WHOLE"):
        monkeypatch.setattr(together, name, most)


def two_parts(problem: Problem, seed: int) -> dict[str, Part]:
    """Two parts at two positions."""
    random = Random(seed)
    found: dict[str, Part] = {}
    for at in random.sample(list(problem.domains), 2):
        parts = [part for part in problem.domains[at] if part is not None]
        if parts:
            found[at] = random.choice(parts)
    return found


class Truth:
    """What plain enumeration says of a problem and some chosen parts."""

    def __init__(self, problem: Problem, chosen: dict[str, Part]) -> None:
        self.problem = problem
        self.chosen = chosen
        self.verdicts = Verdicts(problem)
        questions = Questions(problem)
        self.trade = questions.trade
        self.lines = {line.name: line.relations for line in questions.lines}
        self.rules = {r.name: r for r in self.trade}

    def having(self, parts: dict[str, Part | None]) -> frozenset[int]:
        """The builds that have some parts."""
        return frozenset(i for i, b in enumerate(self.verdicts.builds) if all(b[at] is p for at, p in parts.items()))

    def met(self, conflict: ConflictShown, names: list[str], trade: bool) -> frozenset[int]:
        """The builds that meet some members of a conflict, and with ``trade`` every rule of the trade."""
        relations: list[Relation] = list(self.trade) if trade else []
        parts: dict[str, Part | None] = {}
        for member in conflict.members:
            if member.name not in names:
                continue
            if member.kind == "part":
                at = member.name.rpartition(" at ")[2]
                parts[at] = self.chosen[at]
            elif member.kind == "rule":
                relations.append(self.rules[member.name])
            else:
                relations += self.lines[member.name]
        return self.verdicts.meeting(relations) & self.having(parts)

    def lets_go(self, conflict: ConflictShown, at: str, part: Part | None) -> frozenset[int]:
        """The builds that have a part in place of what a conflict has there and meet the rest of it."""
        names = [m.name for m in conflict.members if m.kind != "rule" and not m.name.endswith(f" at {at}")]
        return self.met(conflict, names, True) & self.having({at: part})

    def cheapest(self, builds: frozenset[int], mend: MendShown) -> bool:
        """Whether what a mend comes to is the least there is, at the end of prices that counts for it."""
        prices = [self.problem.effort.price(self.verdicts.builds[i]) for i in builds]
        sure = self.verdicts.builds
        fit = [i for i in builds if all(r.verdict(sure[i]) is Verdict.FITS for r in self.trade)]
        certain = [self.problem.effort.price(sure[i]) for i in fit]
        assert mend.total is not None
        low = min((p.lo for p in prices if p is not None), default=None)
        high = min((p.hi for p in certain if p is not None), default=None)
        return mend.total.lo == pytest.approx(low, abs=0.01) or mend.total.hi == pytest.approx(high, abs=0.01)


def holds(truth: Truth, conflict: ConflictShown) -> None:
    """Everything a conflict claims, against enumeration."""
    names = [m.name for m in conflict.members]
    assert not truth.met(conflict, names, False)
    if conflict.minimal:
        for name in names:
            assert truth.met(conflict, [n for n in names if n != name], False)
    asked = [m.name for m in conflict.members if m.kind != "rule"]
    for mend in conflict.mends:
        if mend.position is None:
            assert truth.met(conflict, [n for n in asked if n != mend.line], True)
            continue
        part = next(p for p in truth.problem.domains[mend.position] if mend.part == (None if p is None else p.id))
        builds = truth.lets_go(conflict, mend.position, part)
        assert builds
        asks = any(m.kind in ("limit", "choice") for m in conflict.members)
        assert mend.total is None or asks or truth.cheapest(builds, mend)
    if conflict.ways_out_complete and not conflict.mends:
        for member in conflict.members:
            if member.kind == "part":
                at = member.name.rpartition(" at ")[2]
                others = [p for p in truth.problem.domains[at] if p is not truth.chosen[at]]
                assert not any(truth.lets_go(conflict, at, p) for p in others)


@pytest.mark.parametrize("most", [0, 60, 400, 3_000, 10**7])
@pytest.mark.parametrize("seed", range(7000, 7030))
def test_with_little_work_all_that_is_said_is_true(seed: int, most: int, monkeypatch: pytest.MonkeyPatch) -> None:
    problem = random_problem(seed)
    chosen = two_parts(problem, seed)
    allow(monkeypatch, most)
    answer = why_parts(problem, "goal.yaml", chosen, "metric")
    truth = Truth(problem, chosen)
    together_ = truth.having(dict(chosen))
    meeting = truth.verdicts.meeting(problem.hard)
    going = truth.verdicts.meeting(truth.trade) & together_
    if answer.answer in ("yes", "yes if checked"):
        assert going and (meeting & together_ or not meeting)
    if "whatever else is fitted" in answer.headline:
        assert not going
    if answer.together is not None:
        assert going and (answer.together.total is None or truth.cheapest(going, answer.together))
    for conflict in answer.conflicts:
        holds(truth, conflict)
    text = why_text(answer)
    incomplete = [c for c in answer.conflicts if not c.ways_out_complete]
    if incomplete and len(incomplete) == len(answer.conflicts):
        assert NOTHING not in text
    if most == 10**7:
        assert answer.answer != "not told" and answer.conflicts_complete


def least_given_up(truth: Truth) -> int:
    """The fewest lines of a goal without which a build meets the rest, by trying all of them."""
    names = list(truth.lines)
    for size in range(len(names) + 1):
        for given in combinations(names, size):
            rest = [r for name in names if name not in given for r in truth.lines[name]]
            if truth.verdicts.meeting([*truth.trade, *rest]):
                return size
    raise AssertionError("the rules of the trade cannot be met")


@pytest.mark.parametrize("most", [0, 400, 1_500, 10**7])
def test_a_goal_refused_with_little_work_is_told_truly(most: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Conflicts, what is enough and the fewest lines named are as enumeration has them, however early work runs out."""
    monkeypatch.setattr(refusals, "MOST_WORK_REFUSAL", most)
    endings = set()
    for seed in range(7000, 7120):
        problem = random_problem(seed)
        truth = Truth(problem, {})
        if truth.verdicts.meeting(problem.hard) or not truth.verdicts.meeting(truth.trade):
            continue
        found = refusals.refusal(Questions(problem), "metric", True)
        for conflict in found.conflicts:
            holds(truth, conflict)
        for way in found.relaxations:
            kept = set(truth.lines) - {change.line for change in way.changes}
            assert truth.verdicts.meeting([*truth.trade, *(r for name in kept for r in truth.lines[name])])
        said = refused_headline("goal", found.conflicts, found.relaxations, found.whole)
        if "at least" in said:
            assert f"at least {least_given_up(truth)} line" in said
        endings.add((found.whole, bool(found.conflicts), bool(found.relaxations)))
        assert most < 10**7 or NOT_ALL_CHANGES not in found.remarks
    if most == 0:
        assert endings == {(False, False, False)}
    elif most == 10**7:
        # One of these goals could also be met by giving up five lines, which is more than is looked for.
        assert endings == {(True, True, True), (False, True, True)}
    else:
        assert (True, True, True) in endings and any(not whole for whole, _, _ in endings)


def test_every_ending_is_met(monkeypatch: pytest.MonkeyPatch) -> None:
    """The problems above end in every way there is; without that, what they show is not much."""
    endings = set()
    for most in (0, 400, 3_000):
        allow(monkeypatch, most)
        for seed in range(7000, 7030):
            problem = random_problem(seed)
            answer = why_parts(problem, "goal.yaml", two_parts(problem, seed), "metric")
            endings.add(answer.answer)
            endings.update((c.ways_out_complete, bool(c.mends)) for c in answer.conflicts)
    assert endings >= {"yes", "no", "not told", (True, True), (True, False), (False, False)}


def test_where_nothing_was_looked_for_it_is_not_said_that_there_is_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same two parts of the trailer, with all the work they take and with none for the ways out."""
    whole = why(TRAILER / "goal.yaml", ["axle-old", "hub=hub-big"])
    assert whole.conflicts[0].ways_out_complete and whole.conflicts[0].mends
    assert NOT_ALL not in why_text(whole)
    monkeypatch.setattr(pairs, "MOST_WORK_CONFLICTS", 0)
    monkeypatch.setattr(together, "MOST_WORK_CLASHES", 0)
    cut = why(TRAILER / "goal.yaml", ["axle-old", "hub=hub-big"])
    assert cut.answer == "no" and cut.conflicts
    assert not any(c.ways_out_complete or c.mends for c in cut.conflicts)
    # The first clash is told once, as a clash; it has the same words.
    assert NOT_ALL in why_text(cut) and NOTHING not in why_text(cut)


def test_a_pair_of_the_demo_that_ends_by_the_budget() -> None:
    """Long soft coils and a taller tyre meet the goal's lift, price, donors and changes in many ways at once."""
    answer = why(demo_goal("tight"), ["coil-lindel-long", "tyre-225"])
    assert answer.answer == "no" and len(answer.conflicts) > 1 and not answer.conflicts_complete
    cut = [c for c in answer.conflicts if not c.ways_out_complete]
    assert cut and NOT_ALL in why_text(answer) and NOTHING not in why_text(answer)
    for conflict in answer.conflicts:
        for mend in conflict.mends:
            assert (mend.line is None) is (mend.position is not None)


def test_a_proof_not_made_small_is_told_in_short() -> None:
    answer = why(TRAILER / "goal.yaml", ["axle-old", "hub=hub-big"])
    conflict = answer.conflicts[0]
    rule = next(m for m in conflict.members if m.kind == "rule")
    asked = [m for m in conflict.members if m.kind != "rule"]
    many = [rule.model_copy(update={"name": f"rule-{i}"}) for i in range(40)]

    def told(minimal: bool) -> str:
        long = conflict.model_copy(update={"members": (*asked, *many), "minimal": minimal})
        return why_text(answer.model_copy(update={"conflicts": (long,), "violated": ()}))

    assert told(True).count("[rule-") == 40
    assert told(False).count("[rule-") == 12 and "and 28 more rules" in told(False)


def test_work_is_shared_and_ends() -> None:
    def told(problem: Problem) -> bool:
        """Whether a build meets the rules of the trade."""
        reply = Questions(problem).with_lines(())
        return reply is not None and reply.build is not None

    problem = next(p for p in map(random_problem, range(7000, 7030)) if told(p))
    budget = Budget()
    one, other = Questions(problem, budget=budget), Questions(problem, certain=True, budget=budget)
    one.with_lines(())
    before = budget.spent
    other.with_lines(())
    assert one.possible.work is other.possible.work and budget.spent >= before > 0
    with budget.within(0):
        assert one.ask(one.trade) is None
    assert budget.untold == 1
    assert one.ask(one.trade) is not None
    with budget.within(10 * WORK_A_NODE):
        with budget.part(1, 2):
            assert budget.left == 5 * WORK_A_NODE and budget.nodes(100) == 5
        assert budget.nodes(3) == 3
    assert budget.left is None and budget.nodes(100) == 100


@pytest.mark.parametrize("every", [False, True])
def test_a_goal_of_which_nothing_was_told_is_not_said_to_be_impossible(
    monkeypatch: pytest.MonkeyPatch, every: bool
) -> None:
    asked = demo_goal("tight")
    told = why(asked, [] if every else ["coil-lindel-long"], every)
    assert not told.remarks or "by itself" not in told.remarks[0]
    monkeypatch.setattr(Questions, "with_lines", lambda self, lines, hint=None: None)
    untold = why(asked, [] if every else ["coil-lindel-long"], every)
    assert "could not be told" in untold.remarks[0] and "cannot be met" not in why_text(untold)
