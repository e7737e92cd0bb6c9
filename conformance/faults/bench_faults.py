"""How long does a general-purpose library take for the chances of all causes of the whole knowledge base?

Reads the scenes that the program's own bench wrote (layout: crates/faults/examples/time_faults.rs), builds each as a Bayesian network
with noisy-ORs as chains of small tables, asks pgmpy's variable elimination for every cause, and writes its timings and how far its
chances lie from ours.

    bench_faults.py FAULTS.json ANSWERS.json
    bench_faults.py --check

The time is that of the queries alone, in one round; building the network is left out.
"""

import json
import sys
import time
import tomllib

import graphs


def answers(told):
    base = tomllib.loads(graphs.BASE.read_text())
    timings, differences = [], []
    for scene in told["scenes"]:
        net, on, _ = graphs.whole_net(base, scene["about"], {fact: True for fact in scene["facts"]}, scene["seen"], scene["tried"])
        begun = time.perf_counter()
        found = net.posteriors(on)
        seconds = time.perf_counter() - begun
        timings.append({"scene": scene["name"], "what": "chances of all causes", "seconds": seconds})
        worst = max(abs(found[cause] - scene["chances"][cause]) for cause in on)
        differences.append({"scene": scene["name"], "greatest": worst})
    return {"library": graphs.VERSIONS, "timings": timings, "differences": differences}


if __name__ == "__main__":
    if sys.argv[1:] == ["--check"]:
        wrong = graphs.differs(graphs.knowledge_rows()[:1], graphs.HERE / "graphs.toml", first=graphs.ROWS)
        print("\n".join(wrong) or "one scene as computed afresh")
        sys.exit(1 if wrong else 0)
    with open(sys.argv[1], encoding="utf-8") as file:
        told = json.load(file)
    with open(sys.argv[2], "w", encoding="utf-8") as file:
        json.dump(answers(told), file, indent=1)
