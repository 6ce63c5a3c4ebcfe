"""Planning: from open builds to who does what when, with reasons. This page explains the algorithm.

The problem. A resource-constrained project scheduling problem (RCPSP) with, on top of precedence and renewable
resources (hands, stations, clamps): a calendar of working hours; operations that may or may not be interrupted by
closing time; sequence-dependent setups; minimal lags (time in clamps, curing) and maximal lags (recoat windows);
clamps held from one operation to the end of another; work that is already begun. Judged lexicographically: minutes
past maximal lags (overrun), weighted tardiness of builds that are due, the day of finish, the finish and what faults of
craft cost, setup changes. `model/problem.py` has the rules, `model/check.py` judges a plan by them and shares no code
with what makes plans.

Faults of craft. Every rule allows them, and a maker would rather not: work torn into short pieces at closing time, dust
beside something wet, squeeze-out that went hard, clamps left on, a glue-up in the last minutes, coming back to a
machine again and again. Each costs minutes of finish, as many as a maker would give up to be without it (`Craft`).
Since the day of finish comes first, none avoided ever costs a day. `model/craft_faults.py` counts them in a schedule
and `model/check_craft.py` once more. Generation starts torn work where no piece is short (`search/untorn.py`) and
weighs what a choice would spoil (`search/open_craft.py`).

From builds to a problem. `tasks/from_builds.py` turns what is left of each build into operations, links, holds and
stations. `search/infeasible.py` takes out what can never be planned, each with a reason. `model/compiled_problem.py`
turns the rest into lists of numbers.

One pair of hands (`search/`).

1. `initial.py`: a first schedule by the parallel schedule generation scheme (`parallel_generation.py`) with latest
   start times as priorities (LST, the start-time form of LFT: `bound.py` computes them backward over the calendar).
   Where clamps would deadlock, a deadlock-free order (`deadlock.py`) goes through the serial scheme
   (`serial_generation.py`).
2. `local_search.py`: forward-backward improvement, with `reversed.py` as the backward pass.
3. `local_search.py`: moves on the priorities (`moves.py`), a parallel generation after each. The guide is lateness
   against the latest starts that a slightly earlier finish would need, since the finish itself moves only in steps of
   a night. Then the same with fewer faults of craft (`craft_moves.py`) and setup changes as the aim; where craft
   counts, a third of the budget is for that. Only what a move may have changed is generated again (`checkpoints.py`,
   `resumption.py`). The best plans that differ in worth are kept to go on from, and to choose from by their odds.
4. `reordering.py`: moves on the order itself, with delays, through the serial scheme; what has a fault of craft first.
   Only what a move may have changed is generated again (`serial_resumption.py`).

In 3 and 4, two runs of one setup are joined (`setup_runs.py`), as in a travelling salesman's tour of setups.

Maximal lags are respected during parallel generation by holding operations back (`max_lags.py`), and after any
generation by a right shift, the backward half of justification (`right_shift.py`).

Several pairs of hands (`crew/`). A first plan comes from a parallel scheme for the crew (`parallel_generation.py`):
event by event, whoever is free first takes up the best. The best plan for one pair is the next. Then come moves on the
priorities of that scheme, as in step 3 (`parallel_search.py`). Where anything is begun or must not wait too long, the
order that comes out is timed by a serial scheme for the crew (`crew_generation.py`). What is left of the budget goes to
orders of the problem relaxed to a plain RCPSP (`as_project.py`), solved by a genetic algorithm on activity lists with
double justification (`project_search.py`, `project_generation.py`), and to moves on the order (`order_search.py`).

Hands that differ (`model/hands.py`): who may use which station, and who is away when. Both schemes for a crew then ask
each hand by itself, and take the one that is done first; the plan says whose each operation is. Where hands do not
differ, names are given to the finished plan. One alone has fewer hours and nothing else.

Exact (`exact/`). On request, constraint programming starts from the plan, improves it, or proves that none finishes
sooner. It leaves faults of craft out: its plan counts only where it is better with them, and what it proves is true of
the finish alone, which a plan that avoids faults need not reach. Hands that differ are relaxed to hands that do not:
for them it proves a bound, and its order is timed by the serial scheme.

What is kept between plans. `kept_plan.py` takes the earlier plan from what people were told of it, as the phone must,
in minutes from now. `search/stability.py`: it is generated again for the present state, in its order or by its
priorities, and stays until a new plan is clearly better. The same seed, budget and problem give the same plan on every
machine. The earlier plan is the last that was
clearly better than the one before it, as it was made then: so a phone that was told of it long ago goes on from the
same, in the same state to the same plan.

What bounds it. `search/bound.py` gives a lower bound on the finish by preemptive one-machine relaxation, in which each
needed setup is a job of its own; for one pair of hands, `search/edge_finding.py` sharpens it after the first plans.
`crew/crew_bound.py` gives one for each set of hands to which work is confined, and `crew/project_bound.py` one for the
RCPSP. The search stops when a plan without faults of craft reaches the bound. Otherwise the budget
(`search/budget.py`) ends it, in seconds or in schedules tried.

Odds (`odds/`). Durations are lognormal; a shop's pace by kind of operation, person and build is learned from the log
with shrinkage (`pace.py`). The finish of each build is a sample: the plan's order, timed again with drawn durations
(`draws.py`, `retiming.py`, `samples.py`). The phone learns nothing: each plan tells it the pace, in the very figures
with which the server counts.

After planning. `search/early_unclamp.py` takes clamps off early at no cost, at any place in the order;
`search/slack.py` computes slack; `report/` adds reasons, forecasts and what a change would bring. A reason is never
guessed from the order: it is worked out by taking one thing away, with all else in its place (`report/earlier.py`), or
from what no order could mend (`report/no_day_to_spare.py`), and the evening's advice is timed again before it is given
(`report/evening.py`). What keeps a task (`report/what_keeps.py`) may be a rule, the hours, or a fault of craft that an
earlier start would have (`report/craft_keeps.py`); `report/kept_in_words.py` says it, `report/closed.py` has the words
for hours in which the shop is closed, and `report/too_late.py` names what waits too long. `advise.py` joins all of
this; `planner.py` is the search alone.

Imports go one way, held by a test: advise, kept_plan, planner → report → odds → exact → crew → search → model;
tasks → model.

The literature is named where it is used, from memory throughout: Kolisch 1996 (generation schemes), Li and Willis 1992
and Valls, Ballestín and Quintanilla 2005 and 2008 (forward-backward improvement, justification), Hartmann 1998 (genetic
algorithm), Carlier 1982, Carlier and Pinson 1989 and 1994, Nuijten 1994 and Klein and Scholl 1999 (bounds), Or 1976
(Or-opt).
"""
