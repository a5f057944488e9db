"""The same plan as a model for OR-Tools' CP-SAT: an independent search with a proof of its own."""

from ortools.sat.python import cp_model

DAY = 1440


def shortest(tasks, evening=None, hint=None, seconds=20.0):
    """The shortest length found and the bound proved for it, minutes. Times are counted in half minutes.

    With an ``evening`` every task has to fit into one. ``hint`` is a plan to begin with: it is only told.
    """
    model = cp_model.CpModel()
    whole = 2 * round(sum(t.hands + t.wait for t in tasks))
    days = 1 if evening is None else whole // (2 * DAY) + len(tasks) + 2
    horizon = whole + 2 * DAY * (days + 1)
    starts, ends, intervals = {}, {}, []
    slots = {s.task: s for s in hint.slots} if hint else {}
    for t in tasks:
        hands = round(2 * t.hands)
        assert hands == 2 * t.hands
        if evening is None or hands == 0:
            start = model.new_int_var(0, horizon, t.name)
        else:
            assert t.hands <= evening
            windows = [[2 * DAY * d, 2 * DAY * d + round(2 * evening) - hands] for d in range(days)]
            start = model.new_int_var_from_domain(cp_model.Domain.from_intervals(windows), t.name)
        starts[t.name] = start
        ends[t.name] = start + hands + round(2 * t.wait)
        if hands:
            intervals.append(model.new_fixed_size_interval_var(start, hands, t.name))
        if t.name in slots:
            model.add_hint(start, round(2 * slots[t.name].start))
    model.add_no_overlap(intervals)
    length = model.new_int_var(0, horizon, "length")
    for t in tasks:
        model.add(length >= ends[t.name])
        for name in t.after:
            model.add(starts[t.name] >= ends[name])
    model.minimize(length)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = seconds
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return solver.objective_value / 2.0, solver.best_objective_bound / 2.0
