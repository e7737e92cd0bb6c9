"""Distances of drilled plates and volumes of solids by manifold3d, inertia of drilled plates by trimesh.

Curved edges are polygons of many corners there, with the circle's own area; what that costs stands in each row.
"""

import manifold3d as m3
import numpy as np
import trimesh

import vectors as v

CORNERS = 360


def body(solid):
    if solid["shape"] == "cuboid":
        made = m3.Manifold.cube(solid["size"], center=True)
    elif solid["shape"] == "cylinder":
        ring = m3.CrossSection([v.circle(0, 0, solid["radius"], CORNERS)])
        made = ring.extrude(solid["length"]).translate([0, 0, -solid["length"] / 2])
    else:
        area = m3.CrossSection([solid["outer"]])
        for x, y, d in solid["holes"]:
            area -= m3.CrossSection([v.circle(x, y, d / 2, CORNERS)])
        for window in solid["windows"]:
            area -= m3.CrossSection([window])
        for slot in solid["slots"]:
            area -= m3.CrossSection([v.stadium(*slot, CORNERS // 2)])
        made = area.extrude(solid["thickness"])
    turn = np.hstack([v.rotation(solid["turn"]), np.array(solid["at"]).reshape(3, 1)])
    return made.transform(turn)


def distance_row(asks, a, b, within=2e-3):
    found = body(a).min_gap(body(b), 500.0)
    assert 0.01 < found < 500, f"{asks}: {found}"
    because = "our holes leave the circle by up to 0.001 mm, theirs by 0.0002 mm"
    return v.row("pair_distance", asks, {"a": a, "b": b}, {"distance_mm": found}, {"distance_mm": within}, because, "Manifold.min_gap")


def volume_row(asks, solid):
    volume = body(solid).volume()
    return v.row("volume", asks, {"solid": solid}, {"volume_mm3": volume}, {"volume_mm3": max(1e-3, 1e-6 * volume)},
                 "ours is a closed form; their polygons have the circle's area, but single precision in places", "Manifold.volume")


def slot_volume_row(asks, solid):
    volume = body(solid).volume()
    return v.row("volume", asks, {"solid": solid}, {"volume_mm3": volume}, {"volume_mm3": 2e-5 * volume},
                 "ours is a closed form; the round ends of their slots are polygons inside the circle", "Manifold.volume")


def inertia_row(asks, solid, mass):
    mesh = body(solid).to_mesh64()
    body_mesh = trimesh.Trimesh(vertices=mesh.vert_properties[:, :3], faces=mesh.tri_verts, process=False)
    assert body_mesh.is_watertight
    body_mesh.density = mass / body_mesh.volume
    centre, tensor = body_mesh.center_mass, body_mesh.moment_inertia
    expect = {"centre_x": centre[0], "centre_y": centre[1], "centre_z": centre[2], "i_xx": tensor[0][0], "i_yy": tensor[1][1],
              "i_zz": tensor[2][2], "i_xy": tensor[0][1], "i_xz": tensor[0][2], "i_yz": tensor[1][2]}
    within = {key: 2e-4 if key.startswith("centre") else float(f"{2e-5 * tensor.max():.2g}") for key in expect}
    return v.row("inertia", asks, {"solid": solid, "mass_g": mass}, expect, within,
                 "ours are closed forms; round edges are polygons in the mesh", "mass_properties of the mesh")


SQUARE_HOLES = [(x * 10, y * 10, 3.2) for x in (1, -1) for y in (1, -1)]
ARMS = [(-10, -12), (10, -12), (30, -40), (40, -32), (18, 0), (40, 32), (30, 40), (10, 12), (-10, 12), (-16, 0)]


def rows():
    deck = v.plate(v.rectangle(60, 40), 2, SQUARE_HOLES)
    yield distance_row("screw in a hole of a plate, out of the middle", deck, v.cylinder(1.5, 12, (10.06, 9.97, 1)))
    yield distance_row("tilted screw in a hole", deck, v.cylinder(1.2, 12, (10, -10, 1), (25, 3, 2)))
    yield distance_row("box over a plate, turned", deck, v.cuboid((12, 8, 5), (3, 4, 9), (20, 15, 25)))
    yield distance_row("cylinder beside a plate's edge, lying", deck, v.cylinder(4, 30, (38, 0, 6), (10, 80, 0)))
    window = v.plate(v.rectangle(50, 50), 3, [(-20, -20, 3.2)], [[(-15, -8), (12, -11), (14, 9), (-9, 13)]], at=(5, -3, 10), turn=(15, 20, -10))
    yield distance_row("camera inside a window cut askew", window, v.cuboid((14, 10, 20), (5, -3, 11.5), (10, 15, -5)))
    yield distance_row("rod through a window cut askew", window, v.cylinder(3, 60, (8, -2, 10), (40, 5, 12)))
    frame = v.plate(ARMS, 5, [(0, 8, 3.2), (0, -8, 3.2)])
    yield distance_row("motor between the arms of a frame", frame, v.cylinder(7, 18, (38, 0, 2)))
    yield distance_row("two drilled plates, one tilted", deck, v.plate(v.rectangle(30, 22), 2, [(6, 0, 6), (-6, 0, 6)], at=(12, 5, 15), turn=(30, 25, 40)))
    yield distance_row("cage cheek over the arms of a frame", frame, v.plate(v.rectangle(28, 20), 2, [(0, 0, 14)], at=(12, 3, 17), turn=(90, 0, 84)))
    slotted = v.plate(v.rectangle(40, 20), 1.5, slots=[(-9, 2, 9, -1, 4)])
    yield distance_row("pin in a slot", slotted, v.cylinder(1.4, 10, (4, 0.1, 0)))
    drilled = v.plate(v.rectangle(60, 40), 2, SQUARE_HOLES + [(0, 0, 12)])
    yield volume_row("plate with five holes", drilled)
    yield volume_row("plate with a window and a hole", window)
    yield volume_row("frame with arms and two holes", frame)
    yield volume_row("turned cylinder", v.cylinder(7.3, 22.1, (1, 2, 3), (10, 20, 30)))
    yield volume_row("turned box", v.cuboid((3.3, 14.2, 22.7), (1, 2, 3), (10, 20, 30)))
    yield slot_volume_row("plate with a slot", slotted)
    yield inertia_row("plate with five holes, turned and off the origin", {**drilled, "at": [12.0, -7.0, 30.0], "turn": [20.0, -35.0, 50.0]}, 9.5)
    yield inertia_row("plate with a window cut askew", window, 6.2)
    yield inertia_row("plate with a slot, turned", {**slotted, "turn": [0.0, 40.0, 10.0]}, 2.1)
    yield inertia_row("frame with arms", frame, 21.0)


if __name__ == "__main__":
    v.main(__file__, ["manifold3d", "trimesh", "numpy"], rows)
