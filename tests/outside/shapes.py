"""Areas and distances of random shapes by shapely, the outside judge of tests/geometry.rs."""

import json
import sys

from shapely import LineString, Point, Polygon


def left_of(shape, start, end):
    """The part of a shape on the left of a directed line, by a half plane much larger than the shape."""
    (ax, ay), (bx, by) = start, end
    length = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
    dx, dy = (bx - ax) / length, (by - ay) / length
    far = 1e5
    corners = [
        (ax - dx * far, ay - dy * far),
        (ax + dx * far, ay + dy * far),
        (ax + dx * far - dy * far, ay + dy * far + dx * far),
        (ax - dx * far - dy * far, ay - dy * far + dx * far),
    ]
    return shape.intersection(Polygon(corners))


out = []
for case in json.load(sys.stdin):
    a, b = Polygon(case["a"]), Polygon(case["b"])
    line = LineString(case["line"])
    out.append(
        [
            a.area,
            a.union(b).area,
            a.intersection(b).area,
            a.difference(b).area,
            a.distance(b),
            a.distance(line),
            a.distance(Point(case["line"][0])),
            a.intersection(line).length,
            left_of(a, *case["line"]).area,
            a.buffer(case["grow"], quad_segs=32).area,
            1.0 if a.contains(b) else 0.0,
        ]
    )
json.dump(out, sys.stdout)
