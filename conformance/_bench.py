"""What every script that times a reference does alike: it reads what the program's own bench wrote, keeps the best of several
rounds, names its library, and writes its timings and how far the answers lie apart (layout: xtask/src/bench.rs).

A script stands one folder down and begins with `sys.path.insert(0, str(Path(__file__).resolve().parent.parent))`.
"""

import importlib.metadata
import json
import math
import sys
import time


def best_of(rounds, work):
    """The shortest of several rounds in seconds, and what the last one gave."""
    best, given = math.inf, None
    for _ in range(rounds):
        start = time.perf_counter()
        given = work()
        best = min(best, time.perf_counter() - start)
    return best, given


def library(*packages, note=""):
    """The packages with their versions: `scipy 1.2.3 (its solver)`."""
    named = ", ".join(f"{package} {importlib.metadata.version(package)}" for package in packages)
    return f"{named} ({note})" if note else named


def told(name, measured, scenes):
    """What is written for all scenes together, each measured as a list of timings and a list of differences."""
    timings, differences = [], []
    for scene in scenes:
        more_timings, more_differences = measured(scene)
        timings += more_timings
        differences += more_differences
    return {"library": name, "timings": timings, "differences": differences}


def run(doc, answers, check):
    """As a program: `SCENES.json ANSWERS.json`, or `--check`, which raises or ends with another status where something is wrong."""
    match sys.argv[1:]:
        case ["--check"]:
            check()
        case [source, target]:
            with open(source, encoding="utf-8") as file:
                scenes = json.load(file)["scenes"]
            with open(target, "w", encoding="utf-8") as file:
                json.dump(answers(scenes), file, indent=1)
        case _:
            raise SystemExit(doc)
