"""Holds feeds in JSON-LD to the rules of JSON-LD and to schema.org's vocabulary.

PyLD expands each document; every type must be one of schema.org's, and every property one that the type has there, as
the package msgspec-schemaorg generates them from the published vocabulary. schema.org's context is taken for
`{"@vocab": "https://schema.org/"}`, as nothing is fetched.

Usage: json_ld.py FILE...
"""

import json
import pathlib
import sys

import msgspec_schemaorg.models as vocabulary
from pyld import jsonld

SCHEMA = "https://schema.org/"


def context(url, options):
    assert url.rstrip("/") == SCHEMA.rstrip("/"), url
    document = {"@context": {"@vocab": SCHEMA}}
    return {"contextUrl": None, "documentUrl": url, "document": document, "contentType": "application/ld+json"}


def hold(node, path, counts):
    """Every object of an expanded document."""
    if isinstance(node, list):
        for one in node:
            hold(one, path, counts)
        return
    if not isinstance(node, dict) or "@value" in node:
        return
    types = node.get("@type", [])
    assert len(types) == 1, f"{path}: {types}"
    name = types[0].removeprefix(SCHEMA)
    kind = getattr(vocabulary, name)
    known = set(kind.__struct_fields__)
    for key, value in node.items():
        if key.startswith("@"):
            continue
        assert key.startswith(SCHEMA), f"{path}: {key}"
        assert key.removeprefix(SCHEMA) in known, f"{path}: {name} has no {key}"
        hold(value, f"{path}/{key.removeprefix(SCHEMA)}", counts)
    counts[name] = counts.get(name, 0) + 1


def main():
    jsonld.set_document_loader(context)
    for file in sys.argv[1:]:
        text = pathlib.Path(file).read_text(encoding="utf-8")
        counts = {}
        hold(jsonld.expand(json.loads(text)), pathlib.Path(file).name, counts)
        assert counts.get("Product", 0) > 0 and counts.get("PropertyValue", 0) > 0, f"{file}: {counts}"
        print(f"{file}: {counts}")


main()
