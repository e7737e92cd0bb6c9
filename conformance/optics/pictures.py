"""Places in the picture and shares of it by OpenCV, and a measured map by SciPy.

The computer-vision library looks along z, with x to the right and y down; our camera frame looks along x, with y
to the left and z up. Its fisheye model with all coefficients nought is the equidistant projection; it serves for
points in front of the lens only. Shares come from the outline of a convex solid: the convex hull of its corners
where straight lines stay straight, drawn fine and bent by the library's fisheye model for the other projection.
Where solids stand before one another, the rays of all pixels are cast by NumPy and counted.
"""

import pathlib
import sys

import cv2
import numpy as np
from scipy.interpolate import PchipInterpolator

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "geometry"))
import bench_pictures
import vectors as v

RIM = 1440
NONE = np.zeros(3)
ROUND = "both round in the last places of a double"
SHARE = "the stated error of a share; the library's own areas are in single precision, good to 0.001 %"


def camera(lens, width, height, across, down):
    return np.array([[lens * across / width, 0, across / 2], [0, lens * down / height, down / 2], [0, 0, 1.0]])


def theirs(points):
    x, y, z = np.atleast_2d(np.asarray(points, float)).T
    return np.stack([-y, -z, x], axis=1).reshape(-1, 1, 3)


def seen(projection, points, matrix):
    if projection == "rectilinear":
        return cv2.projectPoints(theirs(points), NONE, NONE, matrix, None)[0].reshape(-1, 2)
    return cv2.fisheye.projectPoints(theirs(points), NONE, NONE, matrix, np.zeros(4))[0].reshape(-1, 2)


def seen_row(asks, projection, lens, size, pixels, point):
    (width, height), (across, down) = size, pixels
    [[x, y]] = seen(projection, [point], camera(lens, width, height, across, down))
    given = {"projection": projection, "focal_length_mm": lens, "width_mm": width, "height_mm": height, "across": across, "down": down, "point": v.floats(point)}
    near = {"across_px": 1e-6, "down_px": 1e-6, "back_off_deg": 1e-5}
    place = "projectPoints" if projection == "rectilinear" else "fisheye.projectPoints"
    return v.row("seen_at", asks, given, {"across_px": x, "down_px": y, "back_off_deg": 0.0}, near, ROUND + "; an angle found by its cosine is good to 1e-6 degrees", place)


def corners(solid):
    if solid["shape"] == "cuboid":
        own = np.array([[x, y, z] for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)]) * np.array(solid["size"]) / 2
    else:
        turn = np.linspace(0, 2 * np.pi, RIM, endpoint=False)
        rim = np.stack([solid["radius"] * np.cos(turn), solid["radius"] * np.sin(turn)], axis=1)
        own = np.concatenate([np.column_stack([rim, np.full(RIM, z)]) for z in (-solid["length"] / 2, solid["length"] / 2)])
    return own @ v.rotation(solid["turn"]).T + np.array(solid["at"])


def share_row(asks, projection, lens, size, solid):
    across, down = 16000.0, 16000.0 * size[1] / size[0]
    matrix = camera(lens, *size, across, down)
    points = corners(solid)
    assert (points[:, 0] > 1).all(), "only what lies in front"
    flat = cv2.convexHull(seen("rectilinear", points, np.eye(3)).astype(np.float32)).reshape(-1, 2).astype(float)
    frame = np.array([[0, 0], [across, 0], [across, down], [0, down]], np.float32)
    if projection == "rectilinear":
        hull = flat * [matrix[0, 0], matrix[1, 1]] + matrix[:2, 2]
        area, _ = cv2.intersectConvexConvex(hull.astype(np.float32), frame)
    else:
        ends = np.roll(flat, -1, axis=0)
        fine = np.concatenate([a + (b - a) * np.linspace(0, 1, 200, endpoint=False)[:, None] for a, b in zip(flat, ends)])
        bent = cv2.fisheye.distortPoints(fine.reshape(-1, 1, 2), matrix, np.zeros(4)).reshape(-1, 2)
        assert (bent >= 0).all() and (bent <= [across, down]).all(), f"{asks}: must lie in the picture"
        area = cv2.contourArea(bent.astype(np.float32))
    given = {"projection": projection, "focal_length_mm": lens, "width_mm": size[0], "height_mm": size[1], "solids": [solid]}
    place = "projectPoints, convexHull, " + ("intersectConvexConvex" if projection == "rectilinear" else "fisheye.distortPoints, contourArea")
    return v.row("share", asks, given, {"share_percent": 100 * area / (across * down)}, {"share_percent": 0.05}, SHARE, place)


def counted_row(asks, lens, size, solids):
    """What solids fill together, one before the other, by a ray for each of 1920 by 1440 pixels."""
    across, down = 1920, round(1920 * size[1] / size[0])
    view = {"across": across, "down": down, "width_mm": size[0], "height_mm": size[1], "focal_length_mm": lens, "lit_radius_mm": None}
    plain = []
    for solid in solids:
        shape = {"shape": "box", "size": solid["size"]} if solid["shape"] == "cuboid" else {key: solid[key] for key in ("shape", "radius", "length")}
        plain.append({**shape, "at": solid["at"], "turn": v.rotation(solid["turn"]).tolist()})
    seen = bench_pictures.picture({"view": view, "solids": plain})
    given = {"projection": "equidistant", "focal_length_mm": lens, "width_mm": size[0], "height_mm": size[1], "solids": solids}
    because = "the stated error of a share; pixels along the edges add less than 0.01 %"
    return v.row("share", asks, given, {"share_percent": 100.0 * float((seen >= 0).mean())}, {"share_percent": 0.06}, because, "rays of all pixels, nearest of all solids")


def map_row(asks, points, angle):
    odd = [(-a, -r) for a, r in reversed(points)] + [(0.0, 0.0)] + points
    curve = PchipInterpolator([a for a, _ in odd], [r for _, r in odd])
    given = {"map": [v.floats(p) for p in points], "angle_deg": angle}
    return v.row("image_radius", asks, given, {"radius_mm": float(curve(angle)), "back_deg": angle}, {"radius_mm": 1e-9, "back_deg": 1e-7},
                 ROUND + "; the way back is found by bisection", "PchipInterpolator over the points and their mirror images")


def rows():
    wide, tall = ((5.568, 3.132), (1920, 1080)), ((4.8, 3.6), (960, 720))
    for projection in ("rectilinear", "equidistant"):
        for asks, lens, (size, pixels), point in [
            ("straight ahead", 2.1, wide, (50, 0, 0)),
            ("ahead, left and up", 2.1, wide, (40, 12, 9)),
            ("ahead, right and down", 1.8, tall, (30, -14, -11)),
            ("just off the axis", 1.8, tall, (1000, 0.02, -0.01)),
            ("far to the left", 2.5, tall, (10, 8, 3)),
            ("down in the lower right corner", 1.7, wide, (8, -12, -6)),
        ]:
            yield seen_row(f"{asks}, {projection}", projection, lens, size, pixels, point)
    disc = v.cylinder(63.5, 7, (90, 75, -40), (0, -20, 0))
    small = v.cylinder(20, 6, (60, -10, -8), (15, 25, 10))
    beam = v.cuboid((60, 12, 5), (70, 20, -18), (35, -10, 5))
    for solid, words in ((disc, "blade disc cut by the corner"), (small, "tilted disc wholly in the picture"), (beam, "arm aslant")):
        yield share_row(f"{words}, rectilinear", "rectilinear", 2.1, wide[0], solid)
    for solid, words in ((small, "tilted disc"), (beam, "arm aslant"), (v.cylinder(30, 7, (55, 28, -20), (0, -30, 0)), "wide disc below and to the left")):
        yield share_row(f"{words}, equidistant", "equidistant", 2.1, tall[0], solid)
    for size, words in ((tall[0], "tall"), (wide[0], "wide")):
        yield counted_row(f"disc, arm and a nearer post before one another, {words} picture", 1.7, size, [disc, beam, v.cylinder(3, 40, (28, 12, -6), (0, 10, 5))])
        yield counted_row(f"two discs that cross and a beam beside the lens, {words} picture", 1.6, size, [v.cylinder(50, 7, (60, 45, -25), (0, -15, 0)), v.cylinder(50, 7, (64, -30, -30), (10, -10, 20)), v.cuboid((90, 4, 9), (20, -16, 5), (-5, 0, 0))])
    measured = [(20.0, 0.73), (40.0, 1.44), (60.0, 2.08), (75.0, 2.46), (85.0, 2.6)]
    for angle in (7.0, 33.0, 68.5, 84.0):
        yield map_row(f"measured map at {angle} degrees", measured, angle)


if __name__ == "__main__":
    v.main(__file__, ["opencv-python-headless", "scipy", "numpy"], rows)
