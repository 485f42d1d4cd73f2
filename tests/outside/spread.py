"""Sums of independent log-normal times by simulation.

Reads {"seed": n, "draws": n, "cases": [[[median, sigma], ...], ...]}, prints [[median, 0.8 quantile], ...].
"""

import json
import sys

import numpy

given = json.load(sys.stdin)
numbers = numpy.random.default_rng(given["seed"])
out = []
for case in given["cases"]:
    total = numpy.zeros(given["draws"])
    for median, sigma in case:
        total += median * numpy.exp(sigma * numbers.standard_normal(given["draws"]))
    out.append([float(value) for value in numpy.quantile(total, [0.5, 0.8])])
json.dump(out, sys.stdout)
