"""Outlines and beds against GEOS, closed forms and quadrature; and what must not change when an outline is turned,
mirrored, moved or listed otherwise. The shapes go through /v1/quote; the figures are those of its take-off, which are
kept to 1e-6 of their unit."""
import itertools
import math
import random

from shapely.geometry import Polygon

import shapes
from program import Service, config_copy, sample
from record import Record

KEPT = 5.1e-7      # half of the last kept digit, and its own rounding
GEOS = "GEOS 3.11.1 negative buffers, 512 segments a quadrant, by Shapely 1.8.5"
SCIPY = "scipy.special 1.10.1, ellipe and ellipeinc, on the parallel curve of an ellipse (Steiner's formula)"
CLOSED = "closed form, elementary geometry"
OUR_TABLE = "worked out twice for this project, by ray quadrature and by GEOS buffers, agreeing within 3e-5; no publication"
FRUSTA = "closed form, frusta of cones (Bronshtein and Semendyayev, Handbook of Mathematics, from memory)"
MEASURES = ("water_volume_m3", "wetted_area_m2", "floor_area_m2", "depth_reached_m")
SPREAD = 0.0005    # volume, surface and wetted area against a polygon of GEOS
POLYNOMIAL = 1e-6

record = Record("geometry")


def sheet_to_the_centimetre(practice):
    practice["practice"]["sheet_step_m"]["value"] = 0.01
    practice["practice"]["sheet_fold_share"]["value"] = 0


service = Service(config_copy(("practice.json", sheet_to_the_centimetre)))


def enquiry(outline, profile, depth):
    return {"region": "demo-north", "issued_on": "2026-11-25", "shell": "epdm-liner",
            "pond": {"outline": outline, "depth_m": depth, "profile": profile, "freeboard_m": 0}}


def takeoffs(cases):
    """Take-off of each (outline, profile, depth)."""
    return service.ask_all("/v1/quote", (enquiry(*case) for case in cases), take=lambda answer: answer["takeoff"])


# ---- shapes ----

def rectangle(length, width, corner=0):
    return {"kind": "rectangle", "length_m": length, "width_m": width, "corner_radius_m": corner}


def circle(diameter):
    return {"kind": "circle", "diameter_m": diameter}


def oval(length, width):
    return {"kind": "ellipse", "length_m": length, "width_m": width}


def stadium(length, width):
    return {"kind": "stadium", "length_m": length, "width_m": width}


def polygon(*points):
    return {"kind": "polygon", "points_m": [list(point) for point in points]}


def kidney():
    turns = [2 * math.pi * i / 60 for i in range(60)]
    return polygon(*((3.2 * math.cos(t) + 0.9 * math.cos(2 * t), 2.1 * math.sin(t)) for t in turns))


def star(points, outer, inner):
    return polygon(*((radius * math.cos(math.pi * i / points), radius * math.sin(math.pi * i / points))
                     for i, radius in enumerate([outer, inner] * points)))


ELL = polygon((0, 0), (6, 0), (6, 3), (3, 3), (3, 6), (0, 6))
CROSS = polygon((2, 0), (4, 0), (4, 2), (6, 2), (6, 4), (4, 4), (4, 6), (2, 6), (2, 4), (0, 4), (0, 2), (2, 2))
TRIANGLE = polygon((0, 0), (3, 0), (0, 4))
DUMBBELL = polygon((0, 0), (4, 0), (4, 1.6), (7, 1.6), (7, 0), (11, 0), (11, 4), (7, 4), (7, 2.4), (4, 2.4), (4, 4), (0, 4))
COMB = polygon((0, 0), (9, 0), (9, 5), (8, 5), (8, 1), (7, 1), (7, 5), (5.5, 5), (5.5, 1), (4, 1), (4, 5), (2, 5), (2, 1),
               (1.2, 1), (1.2, 5), (0, 5))
HORSESHOE = polygon((0, 0), (8, 0), (8, 7), (5.5, 7), (5.5, 2), (2.5, 2), (2.5, 7), (0, 7))
SLIVER = polygon((0, 0), (12, 0.2), (24, 0), (12, 0.9))
SKEW = polygon((0.56, 2.44), (1.32, 1.03), (2.82, 0.28), (4.61, 0.47), (5.92, 1.22), (7.15, 1.6), (8.37, 1.13), (9.69, 0.75),
               (10.81, 1.5), (11.28, 3.01), (9.5, 5.55), (5.27, 5.74), (1.22, 4.23))

VERTICAL = {"kind": "vertical"}
DISH = {"kind": "dish"}


def battered(slope, width=0, shelf=0):
    return {"kind": "battered", "side_slope": slope, "shelf_width_m": width, "shelf_depth_m": shelf}


def stepped(*steps):
    return {"kind": "stepped", "steps": [{"inset_m": s, "depth_m": z} for s, z in steps]}


# ---- figures against figures ----

def compare_shapes():
    """Outlines x beds. The closed forms are polynomials of the inset, so nearly every digit must be theirs."""
    exact = {"rectangle 6 x 4": rectangle(6, 4), "round rectangle 6 x 4, 0.8": rectangle(6, 4, 0.8), "circle 5": circle(5),
             "stadium 7 x 3": stadium(7, 3), "tiny rectangle 0.3 x 0.2": rectangle(0.3, 0.2), "huge square 220": rectangle(220, 220),
             "sharp strip 30 x 0.5": rectangle(30, 0.5), "nearly a stadium": rectangle(5, 2, 0.999)}
    ovals = {"ellipse 6 x 4": oval(6, 4), "ellipse 8 x 3": oval(8, 3), "ellipse 20 x 1": oval(20, 1)}
    cut = {"L 6 x 6": ELL, "cross 6 x 6": CROSS, "triangle 3-4-5": TRIANGLE, "dumbbell that splits": DUMBBELL, "comb": COMB,
           "horseshoe": HORSESHOE, "sliver": SLIVER, "kidney of 60 points": kidney(), "star of 5": star(5, 3, 1.2),
           "star of 9": star(9, 40, 25), "skew polygon": SKEW}
    beds = [("vertical 1.0", VERTICAL, 1.0), ("1:1 to 0.6", battered(1), 0.6), ("shelf, 0.5:1 to 0.9", battered(0.5, 0.3, 0.25), 0.9),
            ("2:1, eaten by the inset", battered(2), 1.5), ("dish 1.1", DISH, 1.1),
            ("steps", stepped((0, 0.2), (0.3, 0.2), (0.35, 0.7), (0.35, 0.95), (0.5, 1.0)), 1.0)]
    _compare("closed", exact, beds, shapes.closed, CLOSED, POLYNOMIAL)
    _compare("ellipse", ovals, beds, lambda o: shapes.ellipse(o["length_m"], o["width_m"]), SCIPY, 2e-5)
    _compare("GEOS", {"circle 5": circle(5), "round rectangle 6 x 4, 0.8": rectangle(6, 4, 0.8), "ellipse 8 x 3": oval(8, 3), **cut}, beds, shapes.Eroded, GEOS, SPREAD)


def bends(outline):
    """Insets at which A(s) bends: where quadrature must stop and start again."""
    if outline["kind"] == "rectangle":
        return (outline.get("corner_radius_m", 0),)
    if outline["kind"] == "ellipse":
        return (outline["width_m"] ** 2 / outline["length_m"] / 2,)
    return ()


def _compare(kind, outlines, beds, eroded_of, source, relative):
    eroded = {name: eroded_of(outline) for name, outline in outlines.items()}
    names = [(name, bed) for name in outlines for bed in beds]
    found = takeoffs([(outlines[name], profile, depth) for name, (_, profile, depth) in names])
    rows = {key: [] for key in ("water_surface_m2", "perimeter_m", "inradius_m") + MEASURES}
    for (name, (bed_name, profile, depth)), ours in zip(names, found):
        left, label = eroded[name], f"{name}, {bed_name}"
        if profile is DISH:
            theirs = shapes.measure_dish(left, depth, bends(outlines[name]))
        else:
            theirs = shapes.measure(left, shapes.bed_points(profile, depth), bends(outlines[name]))
        theirs.update(water_surface_m2=left.area(0), perimeter_m=left.perimeter(0), inradius_m=left.inradius)
        for key in rows:
            rows[key].append((label, ours[key], theirs[key]))
    for key, triples in rows.items():
        allowed = {"perimeter_m": 1e-5, "inradius_m": 1e-5}.get(key, relative)
        record.numbers(f"{key}, {len(outlines)} outlines x {len(beds)} beds, {kind}", source, triples,
                       min(allowed, relative) if kind == "closed" else allowed, KEPT)


def table_of_check_values():
    """Twenty basins, worked out before the program was written."""
    circle_cap = lambda n: [(3 * i / n, 0) for i in range(1, n + 1)]
    l_shape, cross = ELL, CROSS
    rows = [
        (1, rectangle(6, 4), [(0, 1.2)], 24, 20, 28.8, 48, 24),
        (2, rectangle(8, 5), [(.9, .9)], 40, 26, 26.442, 48.35055, 19.84),
        (3, rectangle(8, 5), [(0, .3), (.4, .3), (.9, 1.2)], 40, 26, 34.386, 58.81491, 19.84),
        (4, rectangle(4, 4), [(2, 1)], 16, 16, 5.33333, 17.88854, 0),
        (5, circle(5), [(0, .8)], 19.63495, 15.70796, 15.70796, 32.20132, 19.63495),
        (6, circle(6), [(1.2, .9)], 28.27433, 18.84956, 16.62531, 32.79823, 10.17876),
        (7, circle(3), [(2, 1)], 7.06858, 9.42478, 1.76715, 7.90292, 0),
        (8, circle(6), [(.3 * i, 1.2 * (1 - (1 - .1 * i) ** 2)) for i in range(1, 11)], 28.27433, 18.84956, 16.90805, 32.38590, 0),
        (9, oval(6, 4), [(0, 1)], 18.84956, 15.86544, 18.84956, 34.71500, 18.84956),
        (10, oval(6, 4), [(1, 1)], 18.84956, 15.86544, 11.96403, 24.11995, 6.12571),
        (11, oval(8, 3), [(1, 1)], 18.84956, 18.18343, 10.81188, 25.05069, 3.87871),
        (12, stadium(7, 3), [(.6, .8)], 19.06858, 17.42478, 11.37451, 25.28451, 9.74469),
        (13, rectangle(6, 4, .8), [(.5, .5)], 23.45062, 18.62655, 9.52789, 26.98298, 14.92274),
        (14, rectangle(6, 4, .8), [(1.2, .9)], 23.45062, 18.62655, 12.41812, 27.87327, 5.76),
        (15, l_shape, [(.7, .7)], 27, 24, 13.50187, 33.10337, 12.26515),
        (16, l_shape, [(.4, .2), (.4, .9)], 27, 24, 17.13699, 42.49335, 18.07434),
        (17, TRIANGLE, [(.5, .5)], 6, 12, 1.75, 7.86396, 1.5),
        (18, cross, [(.5, .5)], 20, 24, 7.20243, 24.46746, 9.21460),
        ("18, second bed", cross, [(1.2, 1.2)], 20, 24, 9.71371, 28.20294, 0.19636),
    ]
    found = takeoffs([(outline, stepped(*steps), steps[-1][1]) for _, outline, steps, *_ in rows])
    keys = ("water_surface_m2", "perimeter_m", "water_volume_m3", "wetted_area_m2", "floor_area_m2")
    for (number, _, _, *theirs), ours in zip(rows, found):
        spread = 1e-6 if number in (1, 2, 3, 4, 5, 6, 7, 12, 13, 14, 17) else 3e-5
        record.numbers(f"check basin {number}: surface, perimeter, volume, wetted area, floor", OUR_TABLE,
                       [(key, ours[key], value) for key, value in zip(keys, theirs)], spread, 5.1e-6)
    record.number("check basin 7: depth that is reached, 2:1 in a circle of 3 m", CLOSED, found[6]["depth_reached_m"], 0.75, 0, KEPT)


def smooth_bowls():
    """A dish on a circle is a paraboloid. A spherical cap is no bed of ours: it is approached by frusta, which have a
    closed form of their own, and Richardson's step from 8 to 16 of them lands on the cap."""
    radius, depth = 3, 1.2
    bowl = takeoffs([(circle(6), DISH, depth)])[0]
    record.number("check basin 19: paraboloid, volume", FRUSTA, bowl["water_volume_m3"], math.pi * radius ** 2 * depth / 2, 1e-6, KEPT)
    curved = math.pi * radius * ((radius ** 2 + 4 * depth ** 2) ** 1.5 - radius ** 3) / (6 * depth ** 2)
    record.number("check basin 19: paraboloid, curved area", FRUSTA, bowl["wetted_area_m2"], curved, 1e-6, KEPT)
    ball = (radius ** 2 + depth ** 2) / (2 * depth)

    def ring(n):
        half = math.asin(radius / ball)
        turns = [half * (n - i) / n for i in range(n + 1)]
        return [(radius - ball * math.sin(t), ball * math.cos(t) - ball * math.cos(half)) for t in turns]

    rings = {n: ring(n) for n in (8, 16)}
    found = takeoffs([(circle(6), stepped(*points[1:]), depth) for points in rings.values()])
    frusta, areas = [], []
    for points, ours in zip(rings.values(), found):
        volume = area = 0
        for (s1, z1), (s2, z2) in zip(points, points[1:]):
            r1, r2 = radius - s1, radius - s2
            volume += math.pi * (z2 - z1) * (r1 * r1 + r1 * r2 + r2 * r2) / 3
            area += math.pi * (r1 + r2) * math.hypot(r1 - r2, z2 - z1)
        frusta.append((f"{len(points) - 1} frusta, volume", ours["water_volume_m3"], volume))
        areas.append((f"{len(points) - 1} frusta, area", ours["wetted_area_m2"], area))
    record.numbers("cone frusta inscribed in a spherical cap", FRUSTA, frusta + areas, 1e-6, KEPT)
    volume = (4 * found[1]["water_volume_m3"] - found[0]["water_volume_m3"]) / 3
    area = (4 * found[1]["wetted_area_m2"] - found[0]["wetted_area_m2"]) / 3
    cap = math.pi * depth * (3 * radius ** 2 + depth ** 2) / 6
    record.number("check basin 20: spherical cap, volume, Richardson from 8 and 16 frusta", FRUSTA, volume, cap, 2e-5)
    record.number("check basin 20: spherical cap, area, Richardson from 8 and 16 frusta", FRUSTA, area,
                  math.pi * (radius ** 2 + depth ** 2), 2e-5)


# ---- sheets ----

def sheets():
    """The sheet by girth on straight sides, and the trade's rule; flaps of 0.3 m lie on the ground on every side."""
    beds = [("vertical", VERTICAL, 1.0), ("shelf", stepped((.05, .25), (.35, .25), (.85, 1.0)), 1.0), ("45 deg", battered(1), 1.0),
            ("1 in 2", battered(2), 1.0), ("shelf, 0.5:1", battered(.5, .3, .25), 1.0)]
    outlines = {"rectangle 9 x 6": rectangle(9, 6), "circle 7": circle(7), "stadium 12 x 6": stadium(12, 6)}
    names = [(name, bed) for name in outlines for bed in beds]
    found = takeoffs([(outlines[name], profile, depth) for name, (_, profile, depth) in names])
    by_girth, by_rule = [], []
    for (name, (bed_name, profile, depth)), ours in zip(names, found):
        outline = outlines[name]
        sides = [outline.get("length_m", outline.get("diameter_m")), outline.get("width_m", outline.get("diameter_m"))]
        points = shapes.bed_points(profile, depth)
        for side, member in zip(sides, ("length", "width")):
            by_girth.append((f"{name}, {bed_name}, {member}", ours[f"sheet_{member}_m"] - 0.6, shapes.girth(points, side / 2)))
            by_rule.append((f"{name}, {bed_name}, {member}", ours[f"sheet_by_rule_{member}_m"], side + 2 * depth + 0.6))
    record.numbers("girth of a sheet without its flaps", "section walked in 20 000 steps, elementary geometry", by_girth, 0.005, 0,
                   "ours is rounded up to a centimetre")
    record.numbers("sheet by the trade's rule: length + 2 x depth + 2 x flap", "a landscaper's note on everything2.com; flap 0.3 m "
                   "common practice, no source", by_rule, 0, 2e-6)
    table = [("vertical", 8.000), ("shelf", 7.213), ("45 deg", 6.828), ("1 in 2", 6.472)]
    ours = {bed[0]: takeoff["sheet_width_m"] - 0.6 for (name, bed), takeoff in zip(names, found) if name == "rectangle 9 x 6"}
    record.numbers("true girth of a section 6 m wide and 1 m deep", "worked out by hand, no publication",
                   [(name, ours[name], value) for name, value in table], 0, 0.0106, "ours is rounded up to a centimetre")
    boxes = [(name, Polygon(outline["points_m"])) for name, outline in (("L", ELL), ("skew", SKEW), ("sliver", SLIVER), ("triangle", TRIANGLE))]
    found = takeoffs([(polygon(*list(shape.exterior.coords)[:-1]), VERTICAL, 0.5) for _, shape in boxes])
    triples = []
    for (name, shape), ours in zip(boxes, found):
        box = shape.minimum_rotated_rectangle
        triples.append((name, ours["bound_length_m"] * ours["bound_width_m"], box.area))
    record.numbers("area of the smallest rectangle around an outline", "Shapely 1.8.5, minimum_rotated_rectangle", triples, 1e-6, 1e-5)


def digs():
    """A shell of thickness t, measured square to the faces, makes the hole larger. Worked basins of 6 x 4 m; the sand
    bed of a sheet is 50 mm."""
    cases = [(rectangle(6, 4), VERTICAL, 1.0), (rectangle(6, 4), battered(1), 1.0)]
    concrete = [dict(enquiry(*case), shell="plain-concrete") for case in cases]
    found = service.ask_all("/v1/quote", concrete, take=lambda answer: answer["takeoff"])
    triples = []
    for (outline, profile, depth), ours in zip(cases, found):
        thick = ours["shell_thickness_m"]
        slope = profile.get("side_slope", 0)
        out = thick * math.hypot(1, slope)
        grown = shapes.closed(rectangle(6 + 2 * out, 4 + 2 * out))
        points = [(0, 0), (slope * (depth + thick), depth + thick)]
        triples.append((profile["kind"], ours["dig_m3"], shapes.measure(grown, points)["water_volume_m3"]))
    record.numbers("hole for a shell: outline out by t / sin(slope), same slopes, floor down by t", CLOSED, triples, 1e-6, KEPT)


# ---- what must not change ----

def random_polygon(chance):
    """To the millimetre: an enquiry keeps twelve significant digits, so at grid coordinates anything finer than a
    micrometre would be lost before it is measured."""
    points = starlike(chance) if chance.random() < 0.5 else untangled(chance)
    return [(round(x, 3), round(y, 3)) for x, y in points]


def untangled(chance):
    """Corners anywhere, joined by a tour in which no two edges cross: as long as turning a stretch of it round makes it
    shorter, that is done. Bays, necks and spurs that no centre sees all of."""
    size = 10 ** chance.uniform(0.3, 1.3)
    points = [(chance.uniform(0, size), chance.uniform(0, size)) for _ in range(chance.randint(5, 20))]
    shorter = True
    while shorter:
        shorter = False
        for i, j in itertools.combinations(range(len(points)), 2):
            a, b, c, d = points[i], points[i + 1], points[j], points[(j + 1) % len(points)]
            if d != a and math.dist(a, c) + math.dist(b, d) < math.dist(a, b) + math.dist(c, d) - 1e-9:
                points[i + 1:j + 1] = points[i + 1:j + 1][::-1]
                shorter = True
    return points


def starlike(chance):
    """Corners by rising angle around a centre that sees them all."""
    corners = chance.randint(3, 14)
    turns = sorted(chance.uniform(0, 2 * math.pi) for _ in range(corners))
    gaps = [b - a for a, b in zip(turns, turns[1:] + [turns[0] + 2 * math.pi])]
    if min(gaps) < 0.05 or max(gaps) > math.pi - 0.1:
        return starlike(chance)
    size = 10 ** chance.uniform(0, 1.2)
    reach = [size * chance.uniform(0.25, 1) for _ in turns]
    return [(r * math.cos(t), r * math.sin(t)) for r, t in zip(reach, turns)]


def simple_polygon(chance):
    while True:
        points = random_polygon(chance)
        shape = Polygon(points)
        if shape.is_valid and shape.area > 1:
            return points


def random_bed(chance):
    return chance.choice([battered(round(chance.uniform(0.2, 1.5), 3)), battered(round(chance.uniform(0.2, 1), 3), 0.3, 0.2), DISH, VERTICAL])


def turned(points, angle):
    cos, sin = math.cos(angle), math.sin(angle)
    return [(x * cos - y * sin, x * sin + y * cos) for x, y in points]


def relisted(points, chance):
    start = chance.randrange(len(points))
    points = points[start:] + points[:start]
    return points[::-1] + ([points[-1]] if chance.random() < 0.5 else [])


def scaled_bed(profile, k):
    if "shelf_width_m" in profile:
        return dict(profile, shelf_width_m=profile["shelf_width_m"] * k, shelf_depth_m=profile["shelf_depth_m"] * k)
    return profile


KEPT_MEMBERS = ("water_surface_m2", "perimeter_m", "inradius_m", "depth_reached_m", "water_volume_m3", "wetted_area_m2",
                "floor_area_m2", "dig_m3", "sheet_by_rule_length_m")
COUNT = sample(2000)


def properties():
    chance = random.Random(20261125)
    cases, scales = [], []
    for _ in range(COUNT):
        points, profile, depth = simple_polygon(chance), random_bed(chance), round(chance.uniform(0.4, 1.5), 3)
        k = chance.uniform(1.1, 1.6)
        east, north = 430000 + chance.randrange(100000), 560000 + chance.randrange(100000)
        scales.append(k)
        cases += [(polygon(*points), profile, depth), (polygon(*turned(points, chance.uniform(0, 6))), profile, depth),
                  (polygon(*((-x, y) for x, y in points)), profile, depth),
                  (polygon(*((round(x + east, 3), round(y + north, 3)) for x, y in points)), profile, depth),
                  (polygon(*relisted(points, chance)), profile, depth),
                  (polygon(*((k * x, k * y) for x, y in points)), scaled_bed(profile, k), k * depth),
                  (polygon(*points), profile, depth * 1.2)]
    found = takeoffs(cases)
    groups = [found[i:i + 7] for i in range(0, len(found), 7)]
    for place, what in ((1, "turning"), (2, "mirroring"), (3, "moving by grid coordinates"), (4, "listing the points otherwise")):
        record.numbers(f"{what} an outline changes nothing, {COUNT} polygons", "property of the plane, no source",
                       [(f"polygon {i} {key}", group[place][key], group[0][key]) for i, group in enumerate(groups) for key in KEPT_MEMBERS],
                       1e-9, 2.1e-6)
    record.numbers(f"scaled by k: areas by k^2, volume by k^3, {COUNT} polygons", "property of space, no source",
                   [(f"polygon {i} {key}", group[5][key], group[0][key] * k ** power) for i, (group, k) in enumerate(zip(groups, scales))
                    for key, power in (("water_surface_m2", 2), ("wetted_area_m2", 2), ("floor_area_m2", 2), ("water_volume_m3", 3), ("perimeter_m", 1))],
                   1e-9, 4e-6)
    record.holds(f"deeper is never less: volume, wetted area, depth, hole, {COUNT} polygons", "property of space, no source",
                 [(f"polygon {i} {key}: {group[6][key]} < {group[0][key]}", group[6][key] >= group[0][key] - 1e-6)
                  for i, group in enumerate(groups) for key in ("water_volume_m3", "wetted_area_m2", "depth_reached_m", "dig_m3")])
    shapes_of = [Polygon(case[0]["points_m"]) for case in cases[::7]]
    record.numbers(f"surface and perimeter of {COUNT} polygons", "GEOS 3.11.1 area and length, by Shapely 1.8.5",
                   [(f"polygon {i} {key}", group[0][key], value) for i, (group, shape) in enumerate(zip(groups, shapes_of))
                    for key, value in (("water_surface_m2", shape.area), ("perimeter_m", shape.length))], 1e-9, KEPT)


def main():
    for part in (table_of_check_values, smooth_bowls, compare_shapes, sheets, digs, properties):
        part()
    service.close()
    record.finish()


if __name__ == "__main__":
    main()
