"""Where each step stands, derived from the answers alone."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from legtaper.model.project import PANELS, SEAMS, BlockTable, Fabric, Liked, Project, Round, Wearer
from legtaper_wizard.flow.derived_state import Problem, asks_for_something, chosen_design, standing
from legtaper_wizard.flow.round_answers import is_stale, is_waiting, number_at
from legtaper_wizard.flow.shapes import LAST, Cursor, StepState
from legtaper_wizard.flow.texts import STEPS, words_of

DONE = StepState("done")


def state(project: Project, step_id: str, at: Cursor = LAST) -> StepState:
    """Return where a step stands, and why. Never raises for a project that can be."""
    return _STATES[step_id](project, at)


def first_open(project: Project, at: Cursor = LAST) -> str:
    """Return the id of the first step that still wants something, where work goes on."""
    states = {step_id: state(project, step_id, at) for step_id in STEPS}
    wanting = [step_id for step_id, found in states.items() if found.wants]
    return wanting[0] if wanting else "pattern"


def _open(*reasons: str) -> StepState:
    return StepState("open", reasons, wants=True)


def _locked(*reasons: str) -> StepState:
    return StepState("locked", reasons)


def _wrong(*reasons: str) -> StepState:
    """Return the state of a step with an answer that no longer serves."""
    return StepState("attention", reasons, wants=True)


def _look(*reasons: str) -> StepState:
    """Return the state of a step that is answered, but should be looked at again."""
    return StepState("attention", reasons)


def say_problem(problem: Problem) -> str:
    """Say a problem with the words of the question it is about."""
    label = words_of(problem.key).label if problem.key else ""
    return f"{label}: {problem.text}" if label else problem.text


# --- each step ---------------------------------------------------------------------------------


def _project(project: Project, _: Cursor) -> StepState:
    if project.name.strip():
        return DONE
    says = "the project has no name yet"
    return _look(says) if _begun(project, "project") else _open(says)


def _wearer(project: Project, _: Cursor) -> StepState:
    if project.wearer != Wearer() or project.fabric != Fabric():
        return DONE
    if _begun(project, "wearer"):
        return StepState("done", ("skipped: how much room the leg leaves is not known",))
    return _open("nothing is measured yet; everything here may be skipped")


def _block(project: Project, at: Cursor) -> StepState:
    found = standing(project, at)
    if found.block is not None:
        return DONE
    missing = missing_numbers(project)
    if missing:
        return _open(*(f"{words_of(key).label} is missing" for key in missing))
    return _wrong(say_problem(found.block_problem or Problem("", "the block cannot be drawn")))


def missing_numbers(project: Project) -> tuple[str, ...]:
    """Return the keys of the numbers without which there is no block."""
    table = project.block
    if table.outline:
        return ()
    missing = [] if "crotch" in table.height else ["block.height.crotch"]
    top = "high_hip" if "high_hip" in table.height and "hip" not in table.height else "hip"
    if top not in table.height:
        missing.append("block.height.hip")
    for inseam, outseam in PANELS.values():
        for edge, end in ((outseam, top), (inseam, "crotch")):
            given = table.reach.get(edge, {})
            start = f"block.{edge.replace('_', '.')}"
            missing += [f"{start}.{level}" for level in ("hem", end) if level not in given]
    return tuple(missing)


def _block_test(project: Project, at: Cursor) -> StepState:
    found, test = standing(project, at), project.block_test
    if found.block is None:
        return _locked("waits for the block")
    if test is None:
        says = "the block is not tested yet; sew it as it is and judge it"
        return _look(says) if _begun(project, "block-test") else _open(says)
    if test.fingerprint != found.block.fingerprint:
        was = "it is not recorded which block was tested"
        if test.fingerprint:
            was = "the block has changed since it was tested"
        return _look(f"{was}; sew and judge it again")
    if test.verdict == "needs fitting":
        return _look("the block needs fitting; fit it before you narrow the legs")
    return DONE


def _liked(project: Project, _: Cursor) -> StepState:
    halves = [half for liked in project.liked for half in _half_measured(liked)]
    if halves:
        return _wrong(*halves)
    if project.liked:
        return DONE
    if _begun(project, "liked"):
        return StepState("done", ("skipped",))
    return _open("no liked garment is measured; this may be skipped")


def _half_measured(liked: Liked) -> list[str]:
    """Return what is missing where one panel is measured and the other is not."""
    missing = [("back", level) for level in liked.front_width if level not in liked.back_width]
    missing += [("front", level) for level in liked.back_width if level not in liked.front_width]
    return [
        f"{liked.garment}: the {panel} at the {level.replace('_', ' ')} is missing"
        for panel, level in missing
    ]


def _narrowing(project: Project, at: Cursor) -> StepState:
    found, design = standing(project, at), chosen_design(project, at)
    if found.block is None:
        return _locked("waits for the block")
    if not asks_for_something(design):
        return _open("nothing is asked for yet; say how much comes off at the hem")
    problem = found.fit_problem
    if problem and problem.key.startswith(("design.take_in", "design.width", "design.extra")):
        return _wrong(say_problem(problem))
    if problem and not problem.key:
        return _wrong(problem.text)
    if found.fit:
        narrow = [f.says for f in found.fit.findings if f.id == "already-narrow"]
        if narrow or (narrow := [says for _, says in _failed(project, at, "narrowing")]):
            return _look(*narrow)
    return DONE


def _waits(project: Project, at: Cursor) -> StepState | None:
    """Return the locked state of a step that needs a fit, or `None` where it can be answered."""
    if standing(project, at).block is None:
        return _locked("waits for the block")
    if not asks_for_something(chosen_design(project, at)):
        return _locked("waits for how narrow the leg shall be")
    return None


def _trouble(project: Project, at: Cursor, prefix: str) -> StepState | None:
    """Return what is wrong with this step, or what stands in its way before it."""
    waits = _waits(project, at)
    problem = standing(project, at).fit_problem
    if waits or problem is None:
        return waits
    if problem.key.startswith(prefix):
        return _wrong(say_problem(problem))
    return _locked(f"waits for another answer: {say_problem(problem)}")


def _failed(project: Project, at: Cursor, step_id: str) -> list[tuple[bool, str]]:
    """Return what fails that this step can mend, and whether it is mended here before anywhere."""
    from legtaper.checks.registry import check_of

    fit = standing(project, at).fit
    failing = [found for found in fit.findings if found.status == "fail"] if fit else []
    steps = [(check_of(found.id).steps, found.says) for found in failing]
    return [(own[0] == step_id, says) for own, says in steps if step_id in own]


def _failing(project: Project, at: Cursor, step_id: str) -> StepState | None:
    """Return the state of a step where something fails that it can mend, or `None`."""
    failed = _failed(project, at, step_id)
    if here := [says for own, says in failed if own]:
        return _wrong(*here)
    return _look(*(says for _, says in failed)) if failed else None


def _blend(project: Project, at: Cursor) -> StepState:
    if trouble := _trouble(project, at, "design.blend"):
        return trouble
    if failing := _failing(project, at, "blend"):
        return failing
    design = chosen_design(project, at)
    unsaid = [seam for seam in SEAMS if design and seam not in design.blend]
    if unsaid and not _begun(project, "blend"):
        seams = " and ".join(unsaid)
        return _open(f"where the {seams} blends is not settled; the usual height serves")
    return DONE


def _foot(project: Project, at: Cursor) -> StepState:
    if trouble := _trouble(project, at, "design.slit"):
        return trouble
    fit = standing(project, at).fit
    if fit and fit.foot is None:
        return _look("the foot entry is not known, so nobody can say whether the foot passes")
    return _failing(project, at, "foot") or DONE


def _hem(project: Project, at: Cursor) -> StepState:
    return _trouble(project, at, "design.hem") or _failing(project, at, "hem") or DONE


def _pattern(project: Project, at: Cursor) -> StepState:
    if trouble := _trouble(project, at, "allowance"):
        return trouble
    fit = standing(project, at).fit
    failed = [finding.says for finding in fit.findings if finding.status == "fail"] if fit else []
    if failed:
        return _look(*failed)
    return StepState("done", ("the pattern can be written",))  # it has no answer that it needs


def _fitting(project: Project, at: Cursor) -> StepState:
    number = number_at(project, at)
    if waits := _waits(project, at):
        return waits
    if number is None:
        return StepState("open", (f"round {len(project.rounds) + 1} is not printed yet",))
    if is_stale(project, at):
        return _wrong(f"the block has changed since round {number}; sew the test once more")
    if is_waiting(project, at):
        return _open(f"round {number} is printed and not tried on yet")
    return _tried(number, project.rounds[number - 1])


def _tried(number: int, one: Round) -> StepState:
    if one.verdict is None:
        return _open(f"round {number} has no verdict yet")
    if one.verdict == "done":
        return DONE
    return _open(f"round {number} was {one.verdict}; the next design is to be made")


_STATES: Mapping[str, Callable[[Project, Cursor], StepState]] = {
    "project": _project,
    "wearer": _wearer,
    "block": _block,
    "block-test": _block_test,
    "liked": _liked,
    "narrowing": _narrowing,
    "blend": _blend,
    "foot": _foot,
    "hem": _hem,
    "pattern": _pattern,
    "fitting": _fitting,
}


# --- whether work has gone on past a step ------------------------------------------------------


def _begun(project: Project, step_id: str) -> bool:
    """Whether anything is answered in a later step: what was left out before it is skipped."""
    later = list(STEPS)[list(STEPS).index(step_id) + 1 :]
    return any(_ANSWERED[step](project) for step in later if step in _ANSWERED)


_ANSWERED: Mapping[str, Callable[[Project], bool]] = {
    "wearer": lambda project: project.wearer != Wearer() or project.fabric != Fabric(),
    "block": lambda project: project.block != BlockTable(),
    "block-test": lambda project: project.block_test is not None,
    "liked": lambda project: bool(project.liked),
    "narrowing": lambda project: any(map(asks_for_something, project.designs)),
    "blend": lambda project: any(d.blend or d.curve for d in project.designs),
    "hem": lambda project: any(d.hem.depth or d.hem.style != "single" for d in project.designs),
    "pattern": lambda project: bool(project.allowance.seam or project.allowance.edges),
    "fitting": lambda project: bool(project.rounds),
}
