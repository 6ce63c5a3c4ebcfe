"""The rules of `plan/model/problem.py` as constraints for OR-Tools CP-SAT, and its solution as a schedule.

Each operation has four times: setting up from `setup`, work from `start` to `end`, unattended run until `free`.
"""

from itertools import permutations
from typing import TYPE_CHECKING

from benchbell.plan.model.begun import UnbegunProblem
from benchbell.plan.model.compiled_problem import Piece
from benchbell.plan.model.problem import Hold, Placed, Plan, Problem
from benchbell.plan.model.schedule import Schedule

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, CpSolver, IntervalVar, IntVar, LinearExpr

DEPOT = -1
"""In a station's circuit of setups, the node before the first operation and after the last."""

CHANGES_PER_MINUTE = 1000
"""So many setup changes weigh as much as one minute of finish; more than a shop's plan has operations."""


class ConstraintModel:
    """The model of one problem. plan: a known plan, the solver's hint and, where nothing can be late, its horizon.

    compiled: the problem without the precedences of begun operations. setup, start, end: variables by operation.
    """

    def __init__(self, model: "CpModel", problem: Problem, apart: UnbegunProblem, plan: Plan) -> None:
        self.model, self.problem, self.apart, self.plan = model, problem, apart, plan
        self.compiled = compiled = apart.compiled
        can_be_late = compiled.max_lags or compiled.by or compiled.pieces
        self.horizon = compiled.hours.closes[-1] + max(compiled.runs) if can_be_late else plan.finish
        placed = {p.op: p for p in plan.placed}
        self.planned = [placed[id] for id in compiled.ids]
        self.start = [self.time(p.start) for p in self.planned]
        self.setup = [self.time(p.setup) if needs_setup else start for p, needs_setup, start in self.with_setups()]
        self.end = [self.end_expression(i) for i in range(len(placed))]
        self.changes: list[IntVar] = []
        self.add_stations()
        self.add_hands()
        self.add_precedence()
        self.add_clamps()
        self.finish = self.add_objective()

    def with_setups(self) -> "list[tuple[Placed, bool, IntVar]]":
        """By operation: where the plan has it, whether it needs a setup, and its start variable."""
        needs_setup = [setup >= 0 for setup in self.compiled.setup]
        return list(zip(self.planned, needs_setup, self.start, strict=True))

    def time(self, hint: int) -> "IntVar":
        """A new variable: a time between the start of the problem and the horizon. hint: its value in the plan."""
        variable = self.model.new_int_var(self.compiled.start, self.horizon, "")
        self.model.add_hint(variable, hint)
        return variable

    def boolean(self, hint: bool) -> "IntVar":
        """A new variable, 0 or 1. hint: its value in the plan."""
        variable = self.model.new_bool_var("")
        self.model.add_hint(variable, hint)
        return variable

    def minutes(self, hint: int) -> "IntVar":
        """A new variable: a number of minutes, at least 0. hint: its value in the plan."""
        variable = self.model.new_int_var(0, self.horizon + 1 - self.compiled.start, "")
        self.model.add_hint(variable, hint)
        return variable

    def interval(self, begin: "LinearExpr | int", end: "LinearExpr | int", hint: int) -> "IntervalVar":
        """An interval of any length. hint: its length in the plan, in minutes."""
        return self.model.new_interval_var(begin, self.minutes(hint), end, "")

    def end_expression(self, i: int) -> "LinearExpr":
        """The attended end of an operation; breakable work is longer by the closed times that it spans."""
        compiled, model, start, planned = self.compiled, self.model, self.start[i], self.planned[i]
        if not compiled.minutes[i]:
            self.add_no_length(i)
        if not compiled.breakable[i]:
            return start + compiled.minutes[i]
        end = self.time(planned.end)
        closed: list[LinearExpr] = []
        for close, reopen in self.closed():
            spans = self.boolean(planned.start < close and reopen < planned.end)
            after = self.boolean(planned.start >= reopen)
            model.add(start < close).only_enforce_if(spans)
            model.add(end > reopen).only_enforce_if(spans)
            model.add(start >= reopen).only_enforce_if(after)
            model.add(end <= close).only_enforce_if(~spans, ~after)
            closed.append((reopen - close) * spans)
        model.add(end == start + compiled.minutes[i] + sum(closed))
        return end

    def add_no_length(self, i: int) -> None:
        """Work of no length is not in closed time either. An interval of no length may overlap anything, so this
        needs constraints of its own."""
        model, start = self.model, self.start[i]
        model.add(start >= self.compiled.hours.opens[0])
        for close, reopen in self.closed():
            after = self.boolean(self.planned[i].start >= reopen)
            model.add(start >= reopen).only_enforce_if(after)
            model.add(start <= close).only_enforce_if(~after)

    def closed(self) -> list[tuple[int, int]]:
        """Closed times between windows, up to the horizon: (close, reopen)."""
        hours = self.compiled.hours
        return [gap for gap in zip(hours.closes, hours.opens[1:], strict=False) if gap[0] < self.horizon]

    def add_stations(self) -> None:
        """On each station one operation at a time, its run included, and setups along a circuit."""
        compiled = self.compiled
        for station in range(len(compiled.setup_minutes)):
            there = [i for i, at in enumerate(compiled.station) if at == station]
            self.add_circuit(station, [i for i in there if compiled.setup[i] >= 0])
            self.model.add_no_overlap(
                [
                    self.interval(
                        self.setup[i], self.end[i] + compiled.runs[i], self.planned[i].free - self.planned[i].setup
                    )
                    for i in there
                ]
            )

    def add_circuit(self, station: int, with_setup: list[int]) -> None:
        """The sequence of setups as a circuit from the standing setup through all operations that need one."""
        compiled, model, matrix = self.compiled, self.model, self.compiled.setup_minutes[station]
        planned = sorted(with_setup, key=lambda i: (self.planned[i].setup, self.planned[i].end))
        pairs = set(zip([DEPOT, *planned], [*planned, DEPOT], strict=True))
        node = {i: n for n, i in enumerate((DEPOT, *with_setup))}
        setting: dict[int, list[LinearExpr]] = {i: [] for i in with_setup}
        arcs: list[tuple[int, int, IntVar]] = []
        for i, j in permutations(node, 2):
            arc = self.boolean((i, j) in pairs)
            arcs.append((node[i], node[j], arc))
            was = compiled.standing[station] if i == DEPOT else compiled.setup[i]
            if j != DEPOT and was != compiled.setup[j]:
                self.changes.append(arc)
                setting[j].append(matrix[was][compiled.setup[j]] * arc)
            if DEPOT not in (i, j):
                model.add(self.setup[j] >= self.end[i] + compiled.runs[i]).only_enforce_if(arc)
        if with_setup:
            model.add_circuit(arcs)
        for i in with_setup:
            model.add(self.start[i] - self.setup[i] == sum(setting[i]))

    def add_hands(self) -> None:
        """Never more at once than pairs of hands, and nothing outside the hours.

        Breakable work may span closed time, so only its setting up and its first minute must lie inside the hours.
        """
        compiled, model, hours = self.compiled, self.model, self.compiled.hours
        rows = list(zip(self.setup, self.start, self.end, self.planned, compiled.breakable, strict=True))
        if any(compiled.breakable):
            self.limit_to_hands([], [self.interval(setup, end, p.end - p.setup) for setup, _, end, p, _ in rows])
        gaps = [(compiled.start, hours.opens[0]), *self.closed(), (hours.closes[-1], self.horizon + 1)]
        outside = [model.new_fixed_size_interval_var(a, b - a, "") for a, b in gaps if a < b]
        in_hours = [
            self.interval(setup, start + 1, p.start + 1 - p.setup)
            if breakable
            else self.interval(setup, end, p.end - p.setup)
            for setup, start, end, p, breakable in rows
        ]
        self.limit_to_hands(outside, in_hours)

    def limit_to_hands(self, closed: "list[IntervalVar]", work: "list[IntervalVar]") -> None:
        """No more work at once than there are pairs of hands, and none in closed time."""
        hands = self.problem.hands
        if hands == 1:
            self.model.add_no_overlap([*closed, *work])
        else:
            self.model.add_cumulative([*closed, *work], [*(hands for _ in closed), *(1 for _ in work)], hands)

    def add_precedence(self) -> None:
        """Release times, minimal lags, and begun operations before all others."""
        floor = self.end if self.problem.hands == 1 else self.setup
        for i, predecessors in enumerate(self.compiled.predecessors):
            self.model.add(self.start[i] >= self.compiled.ready[i])
            for before, lag in predecessors:
                self.model.add(self.start[i] >= self.end[before] + lag)
            for begun in self.apart.begun:
                if i not in self.apart.first:
                    self.model.add(self.setup[i] >= floor[begun])

    def add_clamps(self) -> None:
        """Of each kind of clamp, never more in use than the shop has."""
        number = {id: n for n, id in enumerate(self.compiled.ids)}
        for kind in {hold.kind for hold in self.problem.holds}:
            holds = [hold for hold in self.problem.holds if hold.kind == kind]
            spans = [self.span(hold, number) for hold in holds]
            self.model.add_cumulative(spans, [hold.count for hold in holds], self.problem.clamps.get(kind, 0))

    def span(self, hold: Hold, number: dict[str, int]) -> "IntervalVar":
        """The interval in which the clamps are in use. number: operations by id."""
        start = self.compiled.start
        taken, given = number.get(hold.take, DEPOT), number.get(hold.give, DEPOT)
        begin, planned = (self.start[taken], self.planned[taken].start) if hold.take else (start, start)
        end, over = (self.end[given], self.planned[given].end) if hold.give else (self.horizon + 1, self.horizon + 1)
        return self.interval(begin, end, over - planned)

    def add_objective(self) -> "IntVar":
        """Minimize overrun, tardiness, finish and changes, in this order; the first two never worse than in the plan.

        Gives the variable of the finish.
        """
        compiled, model = self.compiled, self.model
        finish = self.time(self.plan.finish)
        model.add_max_equality(finish, [end + run for end, run in zip(self.end, compiled.runs, strict=True)])
        model.add(finish >= self.plan.bound)
        start, planned = self.start, self.planned
        overruns = [
            self.excess(start[x.after] - self.end[x.before], x.most, planned[x.after].start - planned[x.before].end)
            for x in compiled.max_lags
        ]
        overruns += [self.excess(start[i], by, planned[i].start) for i, by in compiled.by.items()]
        lates = [self.tardiness(piece) for piece in compiled.pieces]
        model.add(sum(overruns) <= self.plan.overrun)
        model.add(sum(lates) <= self.plan.late)
        of_late = CHANGES_PER_MINUTE * (self.horizon + 1)
        of_overrun = of_late * (self.plan.late + 1)
        model.minimize(
            of_overrun * sum(overruns) + of_late * sum(lates) + CHANGES_PER_MINUTE * finish + sum(self.changes)
        )
        return finish

    def excess(self, minutes: "LinearExpr", most: int, hint: int) -> "IntVar":
        """Minutes above a limit, 0 below it. hint: the minutes in the plan."""
        over = self.minutes(max(0, hint - most))
        self.model.add(over >= minutes - most)
        return over

    def tardiness(self, piece: Piece) -> "LinearExpr":
        """Weighted minutes past a piece's due time."""
        late = self.minutes(max(0, max(self.planned[i].free for i in piece.ops) - piece.due))
        for i in piece.ops:
            self.model.add(late >= self.end[i] + self.compiled.runs[i] - piece.due)
        return piece.weight * late

    def schedule(self, solver: "CpSolver") -> Schedule:
        """The solver's solution."""
        setup, start, end = ([solver.value(time) for time in row] for row in (self.setup, self.start, self.end))
        order = sorted(range(len(start)), key=lambda i: (setup[i], i not in self.apart.first, end[i]))
        return Schedule(order, start, end, solver.value(self.finish), sum(map(solver.value, self.changes)))
