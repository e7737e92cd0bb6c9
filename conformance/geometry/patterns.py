"""The best way to lay a board's holes on a frame's, by general optimisers of scipy.

For a given pairing of holes the float left at the worst hole is maximised over the turn and the shift by Nelder and Mead's
search from many starts, with no knowledge of the geometry.
"""

import math

import numpy as np
from scipy.optimize import minimize

import vectors as v


def left(x, board, frame, pairs, screw):
    c, s = math.cos(x[0]), math.sin(x[0])
    worst = math.inf
    for i, k in pairs:
        bx, by, bd = board[i]
        fx, fy, fd = frame[k]
        off = math.hypot(c * bx - s * by + x[1] - fx, s * bx + c * by + x[2] - fy)
        worst = min(worst, (bd - screw) / 2 + (fd - screw) / 2 - off)
    return worst


def best_left(board, frame, pairs, screw, turn, generator):
    best = -math.inf
    for _ in range(40):
        c, s = math.cos(turn), math.sin(turn)
        i, k = pairs[generator.integers(len(pairs))]
        start = [turn + generator.uniform(-0.02, 0.02), frame[k][0] - (c * board[i][0] - s * board[i][1]) + generator.uniform(-0.2, 0.2),
                 frame[k][1] - (s * board[i][0] + c * board[i][1]) + generator.uniform(-0.2, 0.2)]
        found = minimize(lambda x: -left(x, board, frame, pairs, screw), start, method="Nelder-Mead",
                         options={"xatol": 1e-10, "fatol": 1e-12, "maxiter": 20000, "maxfev": 20000, "initial_simplex": [start] + [[a + (0.05 if n == d else 0) for n, a in enumerate(start)] for d in range(3)]})
        best = max(best, -found.fun)
    return best


def match_row(asks, board, frame, screw, turn, generator):
    pairs = [(i, i) for i in range(len(board))]
    found = best_left(board, frame, pairs, screw, math.radians(turn), generator)
    given = {"board": [v.floats(h) for h in board], "frame": [v.floats(h) for h in frame], "screw_mm": float(screw)}
    return v.row("pattern_match", asks, given, {"float_left_mm": found, "matched": float(len(pairs))}, {"float_left_mm": 5e-5, "matched": 0.5},
                 "the search there has no derivatives and stops near the sharp top", "optimize.minimize, Nelder-Mead, best of 40 starts")


def jolted(holes, turn, shift, by, generator):
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return [tuple(np.round([c * x - s * y + shift[0] + generator.uniform(-by, by), s * x + c * y + shift[1] + generator.uniform(-by, by), d], 3)) for x, y, d in holes]


def square(pitch, hole):
    h = pitch / 2
    return [(h, h, hole), (-h, h, hole), (-h, -h, hole), (h, -h, hole)]


def rows():
    generator = np.random.default_rng(31)
    board = square(25.5, 2.2)
    yield match_row("square board on a frame drilled unevenly", board, jolted(square(25.5, 2.5), 0, (0, 0), 0.12, generator), 2.0, 0, generator)
    yield match_row("square board of one pitch on a frame of another", square(26, 2.5), square(25.5, 2.4), 2.0, 0, generator)
    five = [(0, 0, 2.3), (18, 1, 2.4), (21, 13, 2.2), (4, 16, 2.6), (-7, 7, 2.2)]
    yield match_row("five holes, none alike, turned by 73 degrees", five, jolted(five, 73, (40, -12), 0.1, generator), 2.0, 73, generator)
    three = [(0, 0, 3.4), (30, 2, 3.2), (11, 19, 3.6)]
    yield match_row("three holes of three sizes", three, jolted(three, -20, (3, 3), 0.15, generator), 3.0, -20, generator)
    yield match_row("a frame on which the screws do not all go through", board, jolted(square(25.5, 2.2), 10, (5, 5), 0.35, generator), 2.0, 10, generator)


if __name__ == "__main__":
    v.main(__file__, ["scipy", "numpy"], rows)
