"""Outlines and beds measured by other means than pondwright's: GEOS buffers, closed forms, quadrature.

An outline is the enquiry's own object; a bed is a list of (inset, depth) from (0, 0) on, or a dish."""
import math

import numpy
from scipy import optimize, special
from shapely.geometry import Point, Polygon

SEGMENTS = 512  # of a quarter circle
FINE_NODES, FINE_WEIGHTS = numpy.polynomial.legendre.leggauss(40)
NODES, WEIGHTS = numpy.polynomial.legendre.leggauss(8)


def bed_points(profile, depth_m):
    """Breakpoints of a bed, by the definitions of the enquiry's documentation. A dish has none."""
    kind = profile["kind"]
    if kind == "vertical":
        return [(0, 0), (0, depth_m)]
    if kind == "battered":
        slope, width = profile["side_slope"], profile.get("shelf_width_m", 0)
        shelf = profile.get("shelf_depth_m", 0)
        if width == 0:
            return [(0, 0), (slope * depth_m, depth_m)]
        return [(0, 0), (slope * shelf, shelf), (slope * shelf + width, shelf), (slope * depth_m + width, depth_m)]
    steps = [(step["inset_m"], step["depth_m"]) for step in profile["steps"]]
    return steps if steps[0] == (0, 0) else [(0, 0)] + steps


def cut_curve(outline):
    """The outline as a polygon of GEOS, curves cut finely."""
    kind = outline["kind"]
    if kind == "polygon":
        return Polygon(outline["points_m"])
    if kind == "circle":
        return Point(0, 0).buffer(outline["diameter_m"] / 2, SEGMENTS)
    length, width = outline["length_m"], outline["width_m"]
    if kind == "ellipse":
        turns = numpy.linspace(0, 2 * math.pi, 2049)[:-1]
        return Polygon(numpy.column_stack([length / 2 * numpy.cos(turns), width / 2 * numpy.sin(turns)]))
    corner = min(length, width) / 2 if kind == "stadium" else outline.get("corner_radius_m", 0)
    box = Polygon([(-length / 2, -width / 2), (length / 2, -width / 2), (length / 2, width / 2), (-length / 2, width / 2)])
    if corner == 0:
        return box
    inner_x, inner_y = length / 2 - corner, width / 2 - corner
    parts = []
    for x, y, start in ((inner_x, inner_y, 0), (-inner_x, inner_y, 1), (-inner_x, -inner_y, 2), (inner_x, -inner_y, 3)):
        for i in range(SEGMENTS + 1):
            turn = (start + i / SEGMENTS) * math.pi / 2
            parts.append((x + corner * math.cos(turn), y + corner * math.sin(turn)))
    return Polygon(parts).buffer(0)


class Eroded:
    """What GEOS leaves of an outline when it is moved inward."""

    def __init__(self, outline):
        self.shape = cut_curve(outline)
        self.kept = {}
        self.inradius = self._inradius()

    def _inradius(self):
        """The point furthest from the outline: the best of a grid's points, each climbed from."""
        west, south, east, north = self.shape.bounds

        def nearer(place):
            point = Point(place)
            away = self.shape.exterior.distance(point)
            return -away if self.shape.contains(point) else away

        grid = [(x, y) for x in numpy.linspace(west, east, 32)[1:-1] for y in numpy.linspace(south, north, 32)[1:-1]]
        starts = sorted(grid, key=nearer)[:6]
        return max(-optimize.minimize(nearer, start, method="Nelder-Mead",
                                      options={"xatol": 1e-9, "fatol": 1e-11, "maxiter": 2000}).fun for start in starts)

    def _left(self, inset):
        if inset not in self.kept:
            left = self.shape.buffer(-inset, SEGMENTS) if inset > 0 else self.shape
            self.kept[inset] = (left.area, left.length)
        return self.kept[inset]

    def area(self, inset):
        return self._left(inset)[0] if inset < self.inradius else 0.0

    def perimeter(self, inset):
        return self._left(inset)[1] if inset < self.inradius else 0.0


class Closed:
    """The same from a closed form: A(s) and P(s) given as functions."""

    def __init__(self, area, perimeter, inradius):
        self._area, self._perimeter, self.inradius = area, perimeter, inradius

    def area(self, inset):
        return self._area(inset) if inset < self.inradius else 0.0

    def perimeter(self, inset):
        return self._perimeter(inset) if inset < self.inradius else 0.0


def closed(outline):
    """Elementary geometry: rectangle, circle, stadium, rectangle with round corners. None for other outlines."""
    kind = outline["kind"]
    if kind == "circle":
        radius = outline["diameter_m"] / 2
        return Closed(lambda s: math.pi * (radius - s) ** 2, lambda s: 2 * math.pi * (radius - s), radius)
    if kind not in ("rectangle", "stadium"):
        return None
    length, width = outline["length_m"], outline["width_m"]
    corner = min(length, width) / 2 if kind == "stadium" else outline.get("corner_radius_m", 0)

    def area(inset):
        left = max(corner - inset, 0)
        return (length - 2 * inset) * (width - 2 * inset) - (4 - math.pi) * left * left

    def perimeter(inset):
        return 2 * (length + width - 4 * inset) - (8 - 2 * math.pi) * max(corner - inset, 0)

    return Closed(area, perimeter, min(length, width) / 2)


def ellipse(length, width):
    """Parallel curves of an ellipse: exact while they do not cross themselves, up to b^2/a (Steiner's formula for a
    convex curve); beyond that trimmed on the long axis, by quadrature."""
    a, b = max(length, width) / 2, min(length, width) / 2
    perimeter = 4 * a * special.ellipe(1 - (b / a) ** 2)

    def trimmed(inset):
        start = numpy.arcsin(numpy.sqrt(((inset * a / b) ** 2 - b * b) / (a * a - b * b)))
        arc = a * special.ellipeinc(math.pi / 2 - start, 1 - (b / a) ** 2)
        return 4 * (arc - inset * (math.pi / 2 - numpy.arctan(a / b * numpy.tan(start))))

    def perimeter_at(inset):
        return perimeter - 2 * math.pi * inset if inset <= b * b / a else float(trimmed(inset))

    def area_at(inset):
        if inset <= b * b / a:
            return math.pi * a * b - perimeter * inset + math.pi * inset * inset
        half = math.sqrt(b - inset) / 2  # P vanishes as a square root at b, so in its root it is smooth
        roots = half * (1 + FINE_NODES)
        return float((FINE_WEIGHTS * trimmed(b - roots * roots) * 2 * roots).sum() * half)

    return Closed(area_at, perimeter_at, b)


PANELS = 6


def between(function, low, high, breaks=()):
    """Gauss-Legendre over panels of each stretch between breaks."""
    ends = sorted({low, high, *(x for x in breaks if low < x < high)})
    places = sorted({start + (end - start) * i / PANELS for start, end in zip(ends, ends[1:]) for i in range(PANELS)} | {high})
    total = 0.0
    for start, end in zip(places, places[1:]):
        middle, half = (start + end) / 2, (end - start) / 2
        total += half * sum(w * function(middle + half * x) for x, w in zip(NODES, WEIGHTS))
    return total


def measure(eroded, points, breaks=()):
    """Water volume, wetted area, floor area and depth reached of a bed of straight pieces: V = integral of A dz, wetted
    from |grad depth| = dz/ds (coarea formula)."""
    volume = wetted = reached = 0.0
    inradius = eroded.inradius
    for (s1, z1), (s2, z2) in zip(points, points[1:]):
        if s1 >= inradius:
            break
        if s1 == s2:
            volume += (z2 - z1) * eroded.area(s1)
            wetted += (z2 - z1) * eroded.perimeter(s1)
            reached = z2
            continue
        slope, end = (z2 - z1) / (s2 - s1), min(s2, inradius)
        if slope > 0:
            volume += slope * between(eroded.area, s1, end, breaks)
        wetted += math.hypot(1, slope) * (eroded.area(s1) - eroded.area(end))
        reached = z1 + slope * (end - s1)
    floor = eroded.area(points[-1][0])
    return {"water_volume_m3": volume, "wetted_area_m2": wetted + floor, "floor_area_m2": floor, "depth_reached_m": reached}


def measure_dish(eroded, depth, breaks=()):
    """z = D (1 - (1 - t/T)^2), T the inradius. The wetted area, integral of P sqrt(1 + z'^2), is taken by parts: P jumps
    where an outline loses an edge or splits, A does not."""
    most = eroded.inradius

    def slope(s):
        return 2 * depth / most * (1 - s / most)

    def steepening(s):
        return -slope(s) * 2 * depth / most ** 2 / math.hypot(1, slope(s))

    return {"water_volume_m3": between(lambda s: eroded.area(s) * slope(s), 0, most, breaks),
            "wetted_area_m2": eroded.area(0) * math.hypot(1, slope(0)) +
                              between(lambda s: eroded.area(s) * steepening(s), 0, most, breaks),
            "floor_area_m2": 0.0, "depth_reached_m": depth}


def girth(points, half):
    """Both sides of a straight section that crosses the basin once, walked down in small steps; walls are climbed."""
    insets = numpy.linspace(0, half, 20001)
    walls = sum(z2 - z1 for (s1, z1), (s2, z2) in zip(points, points[1:]) if s1 == s2 and s1 < half)
    sloped, lost = [], 0.0
    for (s1, z1), (s2, z2) in zip(points, points[1:]):
        lost += z2 - z1 if s1 == s2 else 0.0
        sloped.append((s2, z2 - lost))
    depths = numpy.interp(insets, [0] + [s for s, _ in sloped], [0] + [z for _, z in sloped])
    return 2 * (walls + float(numpy.hypot(numpy.diff(insets), numpy.diff(depths)).sum()))
