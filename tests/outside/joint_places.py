"""Distances of fasteners by shapely and scipy, the outside judge of tests/joints: to edges, to bends, to each other."""

import json
import sys

from scipy.spatial import cKDTree
from shapely import LineString, Point, Polygon

out = []
for case in json.load(sys.stdin):
    rings = [LineString(ring) for ring in case["rings"]]
    inside = Polygon()
    for ring in case["rings"]:  # even-odd: several pieces, holes
        inside = inside.symmetric_difference(Polygon(ring))
    bends = [LineString(line) for line in case["bends"]]
    edge, bend, within = [], [], []
    for place in case["places"]:
        point = Point(place)
        edge.append(min(ring.distance(point) for ring in rings))
        bend.append(min((line.distance(point) for line in bends), default=None) if bends else None)
        within.append(inside.contains(point))
    apart = None
    if len(case["places"]) > 1:
        nearest, _ = cKDTree(case["places"]).query(case["places"], k=2)
        apart = float(nearest[:, 1].min())
    out.append({"edge": edge, "bend": bend, "inside": within, "apart": apart})
json.dump(out, sys.stdout)
