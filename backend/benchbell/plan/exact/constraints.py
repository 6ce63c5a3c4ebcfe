"""The rules of `plan/model/problem.py` as constraints for OR-Tools CP-SAT, and a solution as a walk.

By operation: setting up from `setup`, work from `start` to `end`, `free` after its run.
"""

from itertools import permutations
from typing import TYPE_CHECKING

from benchbell.plan.crew.timing import Crew
from benchbell.plan.model.compiled_problem import Piece
from benchbell.plan.model.problem import Hold, Placed, Plan, Problem
from benchbell.plan.search.parallel_generation import Walk

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, CpSolver, IntervalVar, IntVar, LinearExpr

NOTHING = -1
"""In a station's circuit, what stands before the first operation and after the last."""

TIDY = 1000
"""Setup changes that weigh as much as a minute; more than there are operations in a shop's plan."""


class Rules:
    """A model for one problem, with a plan as the solver's hint and, where nothing waits, as its horizon."""

    def __init__(self, model: "CpModel", problem: Problem, crew: Crew, plan: Plan) -> None:
        self.model, self.problem, self.crew, self.plan = model, problem, crew, plan
        self.shop = shop = crew.shop
        waited = shop.limits or shop.by or shop.pieces
        self.horizon = shop.hours.closes[-1] + max(shop.runs) if waited else plan.finish
        placed = {p.op: p for p in plan.placed}
        self.planned = [placed[id] for id in shop.ids]
        self.start = [self.moment(p.start) for p in self.planned]
        self.setup = [self.moment(p.setup) if turns else start for p, turns, start in self.with_turns()]
        self.end = [self.ended(i) for i in range(len(placed))]
        self.changes: list[IntVar] = []
        self.add_stations()
        self.add_hands()
        self.add_order()
        self.add_clamps()
        self.finish = self.add_aims()

    def with_turns(self) -> "list[tuple[Placed, bool, IntVar]]":
        """By operation, what is planned, whether it needs a setup, and its start."""
        turns = [setup >= 0 for setup in self.shop.setup]
        return list(zip(self.planned, turns, self.start, strict=True))

    def moment(self, hint: int) -> "IntVar":
        """A time between the plan's beginning and the horizon."""
        variable = self.model.new_int_var(self.shop.start, self.horizon, "")
        self.model.add_hint(variable, hint)
        return variable

    def either(self, hint: bool) -> "IntVar":
        """A thing that is so or not."""
        variable = self.model.new_bool_var("")
        self.model.add_hint(variable, hint)
        return variable

    def stretch(self, begin: "LinearExpr | int", end: "LinearExpr | int", hint: int) -> "IntervalVar":
        """From a beginning to an end, however long; hint: how long in the plan."""
        return self.model.new_interval_var(begin, self.amount(hint), end, "")

    def amount(self, hint: int) -> "IntVar":
        """A count of minutes."""
        variable = self.model.new_int_var(0, self.horizon + 1 - self.shop.start, "")
        self.model.add_hint(variable, hint)
        return variable

    def ended(self, i: int) -> "LinearExpr":
        """When the work ends; breakable work lasts longer by the closed times it goes across."""
        shop, model, start, planned = self.shop, self.model, self.start[i], self.planned[i]
        if not shop.minutes[i]:
            self.add_moment(i)
        if not shop.breakable[i]:
            return start + shop.minutes[i]
        end = self.moment(planned.end)
        closed: list[LinearExpr] = []
        for close, reopen in self.closed():
            across = self.either(planned.start < close and reopen < planned.end)
            after = self.either(planned.start >= reopen)
            model.add(start < close).only_enforce_if(across)
            model.add(end > reopen).only_enforce_if(across)
            model.add(start >= reopen).only_enforce_if(after)
            model.add(end <= close).only_enforce_if(~across, ~after)
            closed.append((reopen - close) * across)
        model.add(end == start + shop.minutes[i] + sum(closed))
        return end

    def add_moment(self, i: int) -> None:
        """What takes no time is not in closed time either, which an interval without length would not mind."""
        model, start = self.model, self.start[i]
        model.add(start >= self.shop.hours.opens[0])
        for close, reopen in self.closed():
            after = self.either(self.planned[i].start >= reopen)
            model.add(start >= reopen).only_enforce_if(after)
            model.add(start <= close).only_enforce_if(~after)

    def closed(self) -> list[tuple[int, int]]:
        """Closed times between windows, up to the horizon."""
        hours = self.shop.hours
        return [gap for gap in zip(hours.closes, hours.opens[1:], strict=False) if gap[0] < self.horizon]

    def add_stations(self) -> None:
        """Setups follow each other along a circuit; nothing else is on a station meanwhile."""
        shop = self.shop
        for place in range(len(shop.change)):
            there = [i for i, at in enumerate(shop.station) if at == place]
            self.add_turns(place, [i for i in there if shop.setup[i] >= 0])
            self.model.add_no_overlap(
                [
                    self.stretch(
                        self.setup[i], self.end[i] + shop.runs[i], self.planned[i].free - self.planned[i].setup
                    )
                    for i in there
                ]
            )

    def add_turns(self, place: int, turns: list[int]) -> None:
        """One circuit: from the standing setup through all operations that need one."""
        shop, model, change = self.shop, self.model, self.shop.change[place]
        planned = sorted(turns, key=lambda i: (self.planned[i].setup, self.planned[i].end))
        pairs = set(zip([NOTHING, *planned], [*planned, NOTHING], strict=True))
        node = {i: n for n, i in enumerate((NOTHING, *turns))}
        setting: dict[int, list[LinearExpr]] = {i: [] for i in turns}
        arcs: list[tuple[int, int, IntVar]] = []
        for i, j in permutations(node, 2):
            arc = self.either((i, j) in pairs)
            arcs.append((node[i], node[j], arc))
            was = shop.standing[place] if i == NOTHING else shop.setup[i]
            if j != NOTHING and was != shop.setup[j]:
                self.changes.append(arc)
                setting[j].append(change[was][shop.setup[j]] * arc)
            if NOTHING not in (i, j):
                model.add(self.setup[j] >= self.end[i] + shop.runs[i]).only_enforce_if(arc)
        if turns:
            model.add_circuit(arcs)
        for i in turns:
            model.add(self.start[i] - self.setup[i] == sum(setting[i]))

    def add_hands(self) -> None:
        """Each pair one thing at a time, inside hours; of breakable work its setting up and its first minute."""
        shop, model, hours = self.shop, self.model, self.shop.hours
        rows = list(zip(self.setup, self.start, self.end, self.planned, shop.breakable, strict=True))
        if any(shop.breakable):
            self.by_hands([], [self.stretch(setup, end, p.end - p.setup) for setup, _, end, p, _ in rows])
        gaps = [(shop.start, hours.opens[0]), *self.closed(), (hours.closes[-1], self.horizon + 1)]
        outside = [model.new_fixed_size_interval_var(a, b - a, "") for a, b in gaps if a < b]
        unbroken = [
            self.stretch(setup, start + 1, p.start + 1 - p.setup)
            if breakable
            else self.stretch(setup, end, p.end - p.setup)
            for setup, start, end, p, breakable in rows
        ]
        self.by_hands(outside, unbroken)

    def by_hands(self, closed: "list[IntervalVar]", work: "list[IntervalVar]") -> None:
        """No more at once than there are hands, and nothing in closed time."""
        hands = self.crew.hands
        if hands == 1:
            self.model.add_no_overlap([*closed, *work])
        else:
            self.model.add_cumulative([*closed, *work], [*(hands for _ in closed), *(1 for _ in work)], hands)

    def add_order(self) -> None:
        """What comes before, with its wait; what is ready when; what is in hand is taken up before all else."""
        floor = self.end if self.crew.hands == 1 else self.setup
        for i, befores in enumerate(self.shop.befores):
            self.model.add(self.start[i] >= self.shop.ready[i])
            for before, gap in befores:
                self.model.add(self.start[i] >= self.end[before] + gap)
            for begun in self.crew.begun:
                if i not in self.crew.first:
                    self.model.add(self.setup[i] >= floor[begun])

    def add_clamps(self) -> None:
        """Of each kind never more in use than there are."""
        number = {id: n for n, id in enumerate(self.shop.ids)}
        for kind in {hold.kind for hold in self.problem.holds}:
            holds = [hold for hold in self.problem.holds if hold.kind == kind]
            spans = [self.span(hold, number) for hold in holds]
            self.model.add_cumulative(spans, [hold.count for hold in holds], self.problem.clamps.get(kind, 0))

    def span(self, hold: Hold, number: dict[str, int]) -> "IntervalVar":
        """While the clamps are in use."""
        shop = self.shop
        taken, given = number.get(hold.take, NOTHING), number.get(hold.give, NOTHING)
        begin, planned = (self.start[taken], self.planned[taken].start) if hold.take else (shop.start, shop.start)
        end, over = (self.end[given], self.planned[given].end) if hold.give else (self.horizon + 1, self.horizon + 1)
        return self.stretch(begin, end, over - planned)

    def add_aims(self) -> "IntVar":
        """Least overrun, then late, then finish, then changes; none of the first two worse than planned."""
        shop, model = self.shop, self.model
        finish = self.moment(self.plan.finish)
        model.add_max_equality(finish, [end + run for end, run in zip(self.end, shop.runs, strict=True)])
        model.add(finish >= self.plan.bound)
        start, planned = self.start, self.planned
        overruns = [
            self.past(start[x.after] - self.end[x.before], x.most, planned[x.after].start - planned[x.before].end)
            for x in shop.limits
        ]
        overruns += [self.past(start[i], by, planned[i].start) for i, by in shop.by.items()]
        lates = [self.late(piece) for piece in shop.pieces]
        model.add(sum(overruns) <= self.plan.overrun)
        model.add(sum(lates) <= self.plan.late)
        of_late = TIDY * (self.horizon + 1)
        of_overrun = of_late * (self.plan.late + 1)
        model.minimize(of_overrun * sum(overruns) + of_late * sum(lates) + TIDY * finish + sum(self.changes))
        return finish

    def past(self, at: "LinearExpr", most: int, hint: int) -> "IntVar":
        """Minutes past a limit, 0 before it; hint: where the plan is."""
        over = self.amount(max(0, hint - most))
        self.model.add(over >= at - most)
        return over

    def late(self, piece: Piece) -> "LinearExpr":
        """Weighted minutes past a piece's due time."""
        late = self.amount(max(0, max(self.planned[i].free for i in piece.ops) - piece.due))
        for i in piece.ops:
            self.model.add(late >= self.end[i] + self.shop.runs[i] - piece.due)
        return piece.weight * late

    def walk(self, solver: "CpSolver") -> Walk:
        """The solution as a walk."""
        setup, start, end = ([solver.value(moment) for moment in row] for row in (self.setup, self.start, self.end))
        order = sorted(range(len(start)), key=lambda i: (setup[i], i not in self.crew.first, end[i]))
        return Walk(order, start, end, solver.value(self.finish), sum(map(solver.value, self.changes)), 0, 0)
