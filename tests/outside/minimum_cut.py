"""Minimum cuts of random cell graphs by networkx, the outside judge of tests/sections.rs."""

import json
import sys

import networkx

out = []
for case in json.load(sys.stdin):
    graph = networkx.DiGraph()
    graph.add_nodes_from(range(case["nodes"]))
    for start, end, capacity in case["arcs"]:
        known = graph.get_edge_data(start, end, {"capacity": 0})["capacity"]
        graph.add_edge(start, end, capacity=known + capacity)
    value, (near, _) = networkx.minimum_cut(graph, case["source"], case["sink"])
    # Several cuts may be least; theirs is told only to judge that ours is one, too.
    ours = set(case["side"])
    crossing = sum(data["capacity"] for a, b, data in graph.edges(data=True) if a in ours and b not in ours)
    out.append([value, crossing, len(near)])
json.dump(out, sys.stdout)
