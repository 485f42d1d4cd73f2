"""Where factory joints end, by shapely, the outside judge of tests/sections.rs: the strip of a part that its neighbour
covers or comes within a flange of, and how far a stated end lies from the ends of that strip."""

import json
import sys

from shapely import Point, Polygon, box

FLANGE_MM = 12.0


def area(rings):
    """Rings by the even-odd rule."""
    sum_ = Polygon()
    for ring in rings:
        sum_ = sum_.symmetric_difference(Polygon(ring).buffer(0))
    return sum_


out = []
for case in json.load(sys.stdin):
    strip = area(case["part"]).intersection(area(case["other"]).buffer(FLANGE_MM))
    place = Point(case["at"])
    # The strip may lie in several pieces; the end belongs to the nearest.
    pieces = [piece for piece in getattr(strip, "geoms", [strip]) if piece.area > 50]
    piece = min(pieces, key=place.distance)
    a0, b0, a1, b1 = piece.bounds
    along_a = a1 - a0 >= b1 - b0
    to_end = min(abs(place.x - a0), abs(place.x - a1)) if along_a else min(abs(place.y - b0), abs(place.y - b1))
    out.append([piece.distance(place), to_end, box(a0, b0, a1, b1).area])
json.dump(out, sys.stdout)
