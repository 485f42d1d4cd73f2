"""Reads PDF pages and reports, for each, its size in mm and every straight stroke's length in mm.

Paths are read from the page's own drawing operators (ISO 32000-1, 8.5: m, l, re, S; 8.3: cm, q, Q) with pypdf, a reader
that shares nothing with what wrote the file. Input: {"file": path}. Output: a list of pages.
"""

import json
import sys

from pypdf import PdfReader
from pypdf.generic import ContentStream

MM = 25.4 / 72.0


def times(one, other):
    a, b, c, d, e, f = one
    g, h, i, j, k, l = other
    return (a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + l)


def at(matrix, x, y):
    a, b, c, d, e, f = matrix
    return (a * x + c * y + e, b * x + d * y + f)


def lines(stream, resources, reader, matrix):
    """Ends of every straight piece of every stroked or filled path, in points of the page."""
    stack, point, start = [], None, None
    for operands, name in ContentStream(stream, reader).operations:
        name = name.decode()
        numbers = [float(one) for one in operands] if name in ("cm", "m", "l", "re") else []
        if name == "q":
            stack.append(matrix)
        elif name == "Q":
            matrix = stack.pop()
        elif name == "cm":
            matrix = times(numbers, matrix)
        elif name == "m":
            point = start = at(matrix, *numbers)
        elif name == "l":
            there = at(matrix, *numbers)
            yield point, there
            point = there
        elif name == "h" and start is not None:
            yield point, start
        elif name == "Do":
            form = resources.get("/XObject", {}).get(operands[0])
            form = form.get_object() if form is not None else None
            if form is not None and form.get("/Subtype") == "/Form":
                own = [float(one) for one in form.get("/Matrix", [1, 0, 0, 1, 0, 0])]
                inner = form.get("/Resources", resources)
                yield from lines(form, inner.get_object() if hasattr(inner, "get_object") else inner, reader, times(own, matrix))


def main():
    asked = json.load(sys.stdin)
    reader = PdfReader(asked["file"])
    pages = []
    for page in reader.pages:
        found = []
        resources = page.get("/Resources", {})
        resources = resources.get_object() if hasattr(resources, "get_object") else resources
        for one, other in lines(page.get_contents(), resources, reader, (1, 0, 0, 1, 0, 0)):
            if one is None:
                continue
            length = ((one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2) ** 0.5 * MM
            level = abs(one[1] - other[1]) * MM < 0.01
            if level and length > 20:
                found.append(round(length, 4))
        box = page.mediabox
        pages.append({
            "width_mm": float(box.width) * MM,
            "height_mm": float(box.height) * MM,
            "level_mm": found,
            "text": page.extract_text(),
        })
    json.dump(pages, sys.stdout)


main()
