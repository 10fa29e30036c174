"""Of jobs made up by chance every list of cuts can be made, and none of them at an unsafe fence."""

import importlib.util
from pathlib import Path
from types import ModuleType

from ledger.cutting import check_layout, solve
from ledger.cutting.record import layout_to_dict


def beside(name: str) -> ModuleType:
    """A module that stands beside the tests."""
    spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name(f"{name}.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


checker, jobs = beside("saw_checker"), beside("random_jobs")


def test_sixty_jobs_made_up_by_chance_are_cut_safely_and_all_of_them() -> None:
    fenced = 0
    for problem in jobs.random_jobs(60, seed=1):
        layout = solve(problem)
        check_layout(problem, layout)
        plan = layout_to_dict([(problem, layout)], with_cuts=True)
        (cuts,) = plan["cut_lists"]
        assert checker.faults(plan, cuts) == [], problem.material
        assert jobs.unsafe_at_the_fence(cuts) == [], problem.material
        fenced += sum(cut["tool"] == "table_saw" for cut in cuts["cuts"])
    assert fenced > 100


def test_a_cut_that_no_fence_allows_is_seen() -> None:
    problem = next(iter(jobs.random_jobs(1, seed=1)))
    plan = layout_to_dict([(problem, solve(problem))], with_cuts=True)
    (cuts,) = plan["cut_lists"]
    whole = cuts["cuts"][0]
    whole |= {"tool": "table_saw", "too_heavy": True}
    assert jobs.unsafe_at_the_fence(cuts) == [whole["number"]]
