"""The CP-SAT model: one Boolean a candidate, rules as constraints, worth as the objective."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from seasonplan.planner import softs
from seasonplan.planner.columns import Columns
from seasonplan.planner.order import Ending, allowed_first, boundaries, ending, may_follow
from seasonplan.planner.spacing import rest_windows
from seasonplan.planner.worth import FORM, POINTS, Effect, Worth
from seasonplan.reference import response_table
from seasonplan.vocabulary import CHOSEN, Kind, Quality

LOAD_STEPS = 200  # integer steps of a full week's load, for `load-step`


@dataclass
class Model:
    """A model and the variables that an answer is read from.

    `steps` is the load above its limit of each week judged by `load-step`: (candidate, load) and
    a constant, in 1/LOAD_STEPS of a full week.
    """

    columns: Columns
    cp: cp_model.CpModel
    chosen: list[cp_model.IntVar]
    worth: Worth | None = None
    costs: dict[str, list[tuple[cp_model.IntVar, int]]] = field(default_factory=dict)
    steps: list[tuple[list[tuple[int, int]], int]] = field(default_factory=list)
    objective: list[tuple[cp_model.IntVar, int]] = field(default_factory=list)
    constant: int = 0


def feasible_model(columns: Columns) -> Model:
    """Hard rules only: any answer is a plan."""
    cp = cp_model.CpModel()
    chosen = [cp.new_bool_var("") for _ in columns.all]
    model = Model(columns, cp, chosen)
    _cover(model)
    _follow(model)
    _rest(model)
    _pins(model)
    return model


def full_model(columns: Columns) -> Model:
    """Hard rules, and what makes one plan better than another."""
    model = feasible_model(columns)
    model.worth = Worth(columns)
    _few_changes(model)
    _lead_in_start(model)
    _base_first(model)
    _load_step(model)
    for index in range(len(model.worth.chances)):
        _opportunity(model, index)
    _change(model)
    model.cp.maximize(
        cp_model.LinearExpr.weighted_sum(
            [variable for variable, _ in model.objective], [points for _, points in model.objective]
        )
        + model.constant
    )
    return model


# --- hard rules -----------------------------------------------------------------------------


def _cover(model: Model) -> None:
    """Each free cell lies in exactly one chosen candidate."""
    over: dict[int, list[cp_model.IntVar]] = defaultdict(list)
    for column, variable in zip(model.columns.all, model.chosen, strict=True):
        for cell in range(column.first, column.last + 1):
            over[cell].append(variable)
    for place in model.columns.grid.cells:
        if place.given is None:
            _exactly_one(model, over[place.index])


def _exactly_one(model: Model, variables: list[cp_model.IntVar]) -> None:
    """Just one of them; of none, the model has no answer (the solver refuses an empty list)."""
    if variables:
        model.cp.add_exactly_one(variables)
    else:
        model.cp.add_bool_or([])


def _follow(model: Model) -> None:
    """What ends at a boundary allows what begins there."""
    columns = model.columns
    ends: dict[int, dict[Ending, list[cp_model.IntVar]]] = defaultdict(lambda: defaultdict(list))
    begins: dict[int, dict[Kind, list[cp_model.IntVar]]] = defaultdict(lambda: defaultdict(list))
    for column, variable in zip(columns.all, model.chosen, strict=True):
        ends[column.last][ending(column, columns)].append(variable)
        begins[column.first][column.kind].append(variable)
    for boundary in boundaries(columns):
        for end, ending_here in ends[boundary.last].items():
            allowed = [
                variable
                for kind in CHOSEN
                if boundary.past or may_follow(end, boundary.gap, kind, columns.book)
                for variable in begins[boundary.first][kind]
            ]
            model.cp.add(sum(ending_here) <= sum(allowed))
    if columns.grid.segments:
        start = columns.grid.segments[0][0]
        first = [v for kind in allowed_first(columns) for v in begins[start][kind]]
        _exactly_one(model, first)


def _rest(model: Model) -> None:
    rests = [
        (column, variable)
        for column, variable in zip(model.columns.all, model.chosen, strict=True)
        if column.kind is Kind.REST
    ]
    for first, last in rest_windows(model.columns):
        model.cp.add(
            sum(v for column, v in rests if column.first <= last and first <= column.last) >= 1
        )


def _pins(model: Model) -> None:
    """What the climber fixed is chosen; where no candidate is that block, there is no plan."""
    for pin in model.columns.grid.almanac.year.pins:
        if model.columns.grid.is_past(pin.last):
            continue
        kept = [
            variable
            for column, variable in zip(model.columns.all, model.chosen, strict=True)
            if (column.kind, column.span) == (pin.kind, pin.span)
        ]
        _exactly_one(model, kept)


# --- soft rules -----------------------------------------------------------------------------


def _cost(model: Model, code: str, terms: Iterable[tuple[cp_model.IntVar, int]]) -> None:
    """Terms in 1/POINTS that a rule takes off."""
    terms = [(variable, points) for variable, points in terms if points]
    model.costs[code] = terms
    model.objective += [(variable, -points) for variable, points in terms]


def _few_changes(model: Model) -> None:
    rule = model.columns.book.active("few-changes")
    if rule is not None:
        _cost(model, rule.code, [(v, round(POINTS * rule.weight)) for v in model.chosen])


def _lead_in_start(model: Model) -> None:
    """One for each opening of a dear season that no candidate leads into in time."""
    rule = model.columns.book.active("lead-in-start")
    if rule is None:
        return
    terms = []
    for opens in softs.openings(model.columns, rule):
        late = model.cp.new_bool_var("")
        in_time = [
            variable
            for column, variable in zip(model.columns.all, model.chosen, strict=True)
            if softs.leads_into(column, opens, rule)
        ]
        model.cp.add(sum(in_time) + late == 1)
        terms.append((late, round(POINTS * rule.weight)))
    _cost(model, rule.code, terms)


def _base_first(model: Model) -> None:
    rule = model.columns.book.active("base-first")
    if rule is None:
        return
    terms = []
    for ends, begins in softs.rest_then_strength(model.columns):
        both = model.cp.new_bool_var("")
        model.cp.add(
            both >= sum(model.chosen[n] for n in ends) + sum(model.chosen[n] for n in begins) - 1
        )
        terms.append((both, round(POINTS * rule.weight)))
    _cost(model, "base-first", terms)


def _load_step(model: Model) -> None:
    rule = model.columns.book.active("load-step")
    if rule is None or rule.weight == 0:
        return
    assert model.worth is not None
    unit = model.worth.full_week / LOAD_STEPS
    loads, known = _weekly_loads(model, unit)
    terms = []
    for step in softs.steps(model.columns):
        ratio = rule.number / softs.LOOK_BACK_WEEKS
        above: dict[int, float] = defaultdict(float)
        for column, load in loads[step.week].items():
            above[column] += load
        constant = known[step.week] - ratio * step.known / unit
        for week in step.before:
            constant -= ratio * known[week]
            for column, load in loads[week].items():
                above[column] -= ratio * load
        excess = model.cp.new_int_var(0, 4 * LOAD_STEPS, "")
        terms_in = [(column, round(load)) for column, load in above.items() if round(load)]
        model.cp.add(
            cp_model.LinearExpr.weighted_sum(
                [model.chosen[c] for c, _ in terms_in], [load for _, load in terms_in]
            )
            + round(constant)
            <= excess
        )
        model.steps.append((terms_in, round(constant)))
        terms.append((excess, round(POINTS * rule.weight / LOAD_STEPS)))
    _cost(model, "load-step", terms)


def _weekly_loads(
    model: Model, unit: float
) -> tuple[dict[int, dict[int, float]], dict[int, float]]:
    """Load by calendar week: of each candidate, and of given days; in `unit`s."""
    cells = model.columns.grid.cells
    loads: dict[int, dict[int, float]] = defaultdict(lambda: defaultdict(float))
    known: dict[int, float] = defaultdict(float)
    for n, column in enumerate(model.columns.all):
        for cell, week in zip(
            cells[column.first : column.last + 1], model.columns.weeks(column), strict=True
        ):
            loads[cell.week][n] += week.load / unit
    for index, week in model.columns.given_weeks.items():
        known[cells[index].week] += week.load / unit
    return loads, known


def _change(model: Model) -> None:
    """What leaving the accepted plan costs; no part of what the new plan is worth."""
    accepted = model.columns.grid.accepted
    if accepted is None or not accepted.keep:
        return
    for column, variable in zip(model.columns.all, model.chosen, strict=True):
        points = round(POINTS * accepted.cost_of(column.kind, column.span))
        if points:
            model.objective.append((variable, -points))


# --- worth ----------------------------------------------------------------------------------


def _opportunity(model: Model, index: int) -> None:
    """Good days, and the state on them, of one goal at one spell."""
    assert model.worth is not None
    worth, cp, constants = model.worth, model.cp, response_table()
    chance = worth.chances[index]
    priority = constants.priority_worth[chance.goal.priority - 1]
    day = POINTS * priority * constants.day_worth
    form = POINTS * priority * constants.state_worth
    effects = worth.effects(index)
    given = worth.constant(index)
    model.constant += round(day * given.good_days)
    model.objective += [
        (v, round(day * e.good_days))
        for v, e in zip(model.chosen, effects, strict=True)
        if e.good_days
    ]
    state, constant = _state(model, worth.weights(index), effects, given)
    most = round(form * chance.possible * constants.gain.state[-1])
    form_days = cp.new_int_var(-2 * most, most, "")
    factor = form * chance.possible / FORM
    cp.add(
        cp_model.LinearExpr.weighted_sum(
            [v for v, _ in state], [round(factor * slope) for _, slope in state]
        )
        + round(factor * constant)
        >= form_days
    )
    cap = form * constants.gain.state[-1]
    performed = [
        (v, round(cap * e.good_days))
        for v, e in zip(model.chosen, effects, strict=True)
        if e.good_days
    ]
    cp.add(
        cp_model.LinearExpr.weighted_sum([v for v, _ in performed], [p for _, p in performed])
        + round(cap * given.good_days)
        >= form_days
    )
    model.objective.append((form_days, 1))


def _state(
    model: Model, weights: tuple[float, ...], effects: list[Effect], given: Effect
) -> tuple[list[tuple[cp_model.IntVar, float]], float]:
    """State as a sum of (variable, slope) and a constant, in 1/FORM."""
    cp, constants = model.cp, response_table()
    terms: list[tuple[cp_model.IntVar, float]] = []
    for n, _ in enumerate(Quality):
        parts = []
        for width, slope in constants.gain.segments:
            part = cp.new_int_var(0, round(width * FORM), "")
            parts.append(part)
            terms.append((part, weights[n] * slope))
        rest = cp.new_int_var(0, 10 * FORM, "")  # fitness beyond the last piece adds nothing
        fit = [
            (v, e.fitness[n]) for v, e in zip(model.chosen, effects, strict=True) if e.fitness[n]
        ]
        cp.add(
            cp_model.LinearExpr.weighted_sum([v for v, _ in fit], [x for _, x in fit])
            + given.fitness[n]
            == sum(parts) + rest
        )
    tired = constants.fatigue_weight
    terms += [
        (v, -tired * e.fatigue) for v, e in zip(model.chosen, effects, strict=True) if e.fatigue
    ]
    return terms, -tired * given.fatigue
