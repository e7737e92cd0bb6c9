"""What scripts share: solids, turns and the writing of vector files.

A solid is a dict as it stands in the vector file: shape "cuboid" with size, "cylinder" with radius and length
(centred, along z), or "plate" with outer, holes (round: x, y, diameter), windows (lists of corners) and thickness
(from z = 0 up); at = x, y, z in mm; turn = yaw, pitch, roll in degrees: R = Z(yaw)·Y(-pitch)·X(roll), so that positive
pitch lifts the nose.

Run by itself with --check it tests that its turns are turns.
"""

import importlib.metadata
import math
import pathlib
import sys
import tomllib

import numpy as np


def rotation(turn):
    yaw, pitch, roll = (math.radians(t) for t in turn)
    z = np.array([[math.cos(yaw), -math.sin(yaw), 0], [math.sin(yaw), math.cos(yaw), 0], [0, 0, 1]])
    y = np.array([[math.cos(pitch), 0, -math.sin(pitch)], [0, 1, 0], [math.sin(pitch), 0, math.cos(pitch)]])
    x = np.array([[1, 0, 0], [0, math.cos(roll), -math.sin(roll)], [0, math.sin(roll), math.cos(roll)]])
    return z @ y @ x


def cuboid(size, at=(0, 0, 0), turn=(0, 0, 0)):
    return {"shape": "cuboid", "size": floats(size), "at": floats(at), "turn": floats(turn)}


def cylinder(radius, length, at=(0, 0, 0), turn=(0, 0, 0)):
    return {"shape": "cylinder", "radius": float(radius), "length": float(length), "at": floats(at), "turn": floats(turn)}


def plate(outer, thickness, holes=(), windows=(), slots=(), at=(0, 0, 0), turn=(0, 0, 0)):
    return {"shape": "plate", "outer": [floats(p) for p in outer], "thickness": float(thickness), "holes": [floats(h) for h in holes],
            "windows": [[floats(p) for p in w] for w in windows], "slots": [floats(s) for s in slots], "at": floats(at), "turn": floats(turn)}


def rectangle(x, y):
    return [(-x / 2, -y / 2), (x / 2, -y / 2), (x / 2, y / 2), (-x / 2, y / 2)]


def floats(values):
    return [float(v) for v in values]


def circle(x, y, radius, corners):
    """A polygon of the circle's own area, so that half of it lies outside and half inside."""
    step = 2 * math.pi / corners
    reach = radius * math.sqrt(step / math.sin(step))
    return [(x + reach * math.cos(k * step), y + reach * math.sin(k * step)) for k in range(corners)]


def stadium(x0, y0, x1, y1, width, corners):
    half = math.atan2(y1 - y0, x1 - x0)
    ends = [(x1, y1, half - math.pi / 2), (x0, y0, half + math.pi / 2)]
    return [(x + width / 2 * math.cos(start + math.pi * k / corners), y + width / 2 * math.sin(start + math.pi * k / corners))
            for x, y, start in ends for k in range(corners + 1)]


def toml_value(value):
    if isinstance(value, dict):
        return inline(value)
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(toml_value(v) for v in value) + "]"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{value}"'
    return repr(value)


def inline(table):
    return "{ " + ", ".join(f"{key} = {toml_value(value)}" for key, value in table.items()) + " }"


def row(kind, asks, given, expect, within, because, place):
    """One check. Expected values are rounded to a hundredth of what is allowed."""
    def rounded(key, value):
        return float(round(value, max(0, 2 - math.floor(math.log10(within[key])))))
    return {"kind": kind, "asks": asks, "given": given, "expect": {k: rounded(k, v) for k, v in expect.items()},
            "within": {**within, "because": because}, "source": {"place": place}}


def text(script, packages, rows):
    versions = ", ".join(f"{name} {importlib.metadata.version(name)}" for name in packages)
    lines = [f"# Made by {script}; edit that.", "", "[source]", f'title = "{versions}"', 'place = "see each row"', 'grade = "reference program"', "",
             "[made_by]", f'script = "{script}"', f'versions = "{versions}"']
    for check in rows:
        lines += ["", "[[check]]"]
        lines += [f"{key} = {toml_value(value)}" for key, value in check.items()]
    return "\n".join(lines) + "\n"


def differences(old, new):
    if len(old["check"]) != len(new["check"]):
        yield f"{len(old['check'])} rows in the file, {len(new['check'])} afresh"
    for was, now in zip(old["check"], new["check"]):
        if (was["kind"], was["asks"], was["given"]) != (now["kind"], now["asks"], now["given"]):
            yield f"{was['asks']}: asked otherwise"
            continue
        for key, value in now["expect"].items():
            if abs(was["expect"][key] - value) > was["within"][key]:
                yield f"{was['asks']}: {key} is {was['expect'][key]} in the file, {value} afresh"


def main(script, packages, rows):
    """Writes the vector file beside the script, or with --check holds it against fresh values."""
    script = pathlib.Path(script)
    file = script.with_suffix(".toml")
    made = text(script.name, packages, list(rows()))
    if sys.argv[1:] == ["--check"]:
        found = list(differences(tomllib.loads(file.read_text(encoding="utf-8")), tomllib.loads(made)))
        print("\n".join(found) if found else f"{file.name}: as computed afresh")
        sys.exit(1 if found else 0)
    file.write_text(made, encoding="utf-8")


if __name__ == "__main__":
    nose = rotation((0, 90, 0)) @ [1, 0, 0]
    assert np.allclose(nose, [0, 0, 1]), "positive pitch lifts the nose"
    for turn in [(10, 20, 30), (-170, 80, 45)]:
        r = rotation(turn)
        assert np.allclose(r @ r.T, np.eye(3)) and np.isclose(np.linalg.det(r), 1)
    print("turns are turns")
