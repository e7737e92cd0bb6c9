"""Allotment of peripherals to serial ports by the CP-SAT solver of OR-Tools, on seeded random instances.

The model: one variable a pair of want and suiting port; each want gets exactly one port; a line of a port goes to at most one want;
wants on one port agree in rate and idle level. The least cost is minimised. Where there is no allotment, the most wants that
can be had are maximised, and the smallest set that cannot be had together is found by asking subsets by size.

A port is lines (1 send, 2 receive, 3 both), inverts, stands (V), highest rate; a want is the lines it takes of the controller,
inverted, level (V), rate, the last 0 where none is said. Controllers drive 3.3 V, peripherals stand 5.5 V.
"""

import itertools
import pathlib
import random
import sys

from ortools.sat.python import cp_model

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "geometry"))
import vectors as v

EXACT = "whole numbers"
CALL = "cp_model.CpSolver, one worker"


def suits(port, want):
    lines, inverts, stands, fastest = port
    takes, inverted, level, rate = want
    return takes & ~lines == 0 and (not inverted or inverts) and (not takes & 2 or level <= stands) and rate <= fastest


def cost(port, want):
    half = lambda lines: lines != 3
    return 2 * (half(want[0]) and not half(port[0])) + (port[1] and not want[1])


def model_of(ports, wants):
    model = cp_model.CpModel()
    on = {(w, p): model.NewBoolVar(f"{w} on {p}") for w, want in enumerate(wants) for p, port in enumerate(ports) if suits(port, want)}
    for p in range(len(ports)):
        for line in (1, 2):
            model.AddAtMostOne(on[w, p] for w, want in enumerate(wants) if (w, p) in on and want[0] & line)
        for a, b in itertools.combinations(range(len(wants)), 2):
            alike = wants[a][1] == wants[b][1] and wants[a][3] == wants[b][3] and wants[a][3] > 0
            if (a, p) in on and (b, p) in on and not alike:
                model.AddAtMostOne([on[a, p], on[b, p]])
    return model, on


def solved(model):
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    status = solver.Solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE, cp_model.INFEASIBLE), status
    return None if status == cp_model.INFEASIBLE else round(solver.ObjectiveValue())


def least(ports, wants):
    model, on = model_of(ports, wants)
    for w in range(len(wants)):
        model.AddExactlyOne(on[w, p] for p in range(len(ports)) if (w, p) in on)
    model.Minimize(sum(cost(ports[p], wants[w]) * x for (w, p), x in on.items()))
    return solved(model)


def most(ports, wants):
    model, on = model_of(ports, wants)
    for w in range(len(wants)):
        model.AddAtMostOne(on[w, p] for p in range(len(ports)) if (w, p) in on)
    model.Maximize(sum(on.values()))
    return solved(model)


def core(ports, wants):
    for size in range(1, len(wants) + 1):
        if any(least(ports, [wants[w] for w in chosen]) is None for chosen in itertools.combinations(range(len(wants)), size)):
            return size
    return 0


def instance(seed):
    draw = random.Random(seed)
    port = lambda: [draw.choice((3, 3, 3, 2, 1)), draw.choice((0, 0, 1)), draw.choice((3.6, 3.6, 5.5)), draw.choice((115200.0, 1e6))]
    want = lambda: [draw.choice((3, 3, 2, 1)), draw.choice((0, 0, 0, 1)), draw.choice((3.3, 3.3, 3.3, 5.0)), draw.choice((0.0, 9600.0, 115200.0, 420000.0))]
    return [port() for _ in range(draw.randint(2, 8))], [want() for _ in range(draw.randint(2, 7))]


def rows():
    for seed in range(24):
        ports, wants = instance(seed)
        cheapest = least(ports, wants)
        expect = {"met": float(cheapest is not None)}
        if cheapest is None:
            expect |= {"core": float(core(ports, wants)), "most": float(most(ports, wants))}
        else:
            expect["cost"] = float(cheapest)
        given = {"ports": [v.floats(port) for port in ports], "wants": [v.floats(want) for want in wants]}
        yield v.row("allotment", f"instance {seed}: {len(wants)} wants on {len(ports)} ports", given, expect, dict.fromkeys(expect, 1e-6), EXACT, CALL)


if __name__ == "__main__":
    v.main(__file__, ["ortools"], rows)
