"""Opens backups with Python's own tarfile, hashlib and the jsonschema package, the outside reader of tests/backup.rs.

Reads {"read": path, "schema": ...} and writes what stands in the archive, after proving it; or, with {"write": path,
"entries": [[name, hex], ...]}, writes an ordinary ustar archive of these entries for the program to read.
"""

import hashlib
import io
import json
import sys
import tarfile

from jsonschema import Draft202012Validator


def read(path, schema):
    out = []
    with tarfile.open(path, mode="r:") as archive:
        for member in archive:
            assert member.isreg() and not member.name.startswith("/") and ".." not in member.name, member.name
            data = archive.extractfile(member).read()
            assert len(data) == member.size
            out.append((member, data))
    first, text = out[0]
    assert first.name == "manifest.json"
    manifest = json.loads(text)
    Draft202012Validator(schema).validate(manifest)
    listed = [(entry["name"], entry["sha256"], entry["bytes"]) for entry in manifest["entries"]]
    there = [(member.name, hashlib.sha256(data).hexdigest(), len(data)) for member, data in out[1:]]
    assert listed == there
    for name, sha, _ in there:
        assert name.rsplit("/", 1)[1].split(".")[0] == sha, name
    return {
        "at": manifest["at"],
        "by": manifest["by"],
        "entries": [[member.name, member.offset, member.offset_data, member.size] for member, _ in out],
    }


def write(path, entries):
    with tarfile.open(path, mode="w:", format=tarfile.USTAR_FORMAT) as archive:
        for name, data in entries:
            data = bytes.fromhex(data)
            member = tarfile.TarInfo(name)
            member.size = len(data)
            archive.addfile(member, io.BytesIO(data))
    return None


given = json.load(sys.stdin)
answer = read(given["read"], given["schema"]) if "read" in given else write(given["write"], given["entries"])
json.dump(answer, sys.stdout)
