"""Validates documents by a JSON Schema with the jsonschema package, the outside judge of tests/schema.rs.

Reads {"schema": ..., "documents": [...]} and writes, for each document, the first complaint or null.
"""

import json
import sys

from jsonschema import Draft202012Validator

given = json.load(sys.stdin)
Draft202012Validator.check_schema(given["schema"])
validator = Draft202012Validator(given["schema"])


def complaint(document):
    error = next(iter(validator.iter_errors(document)), None)
    return None if error is None else f"{error.json_path}: {error.message}"[:300]


json.dump([complaint(document) for document in given["documents"]], sys.stdout)
