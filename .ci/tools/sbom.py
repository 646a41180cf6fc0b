#!/usr/bin/env python3
"""What the program is made of, as a bill of materials (CycloneDX 1.6, JSON) on standard output.

usage: cargo metadata --format-version 1 --locked --filter-platform TARGET | sbom.py Cargo.lock

Crates of the program itself: no development and no build dependencies. Procedural macros run
while it is built and are not in it; their scope says so. The same lock file gives the same bytes.
"""

import hashlib
import json
import pathlib
import sys
import tomllib
import uuid


def purl(package):
    return f"pkg:cargo/{package['name']}@{package['version']}"


def linked(nodes, root):
    """Ids of what is reached from the root by ordinary dependencies, and the edges between."""
    edges, open_ids = {}, [root]
    while open_ids:
        current = open_ids.pop()
        if current in edges:
            continue
        edges[current] = sorted(
            dependency["pkg"] for dependency in nodes[current]["deps"]
            if any(kind["kind"] is None for kind in dependency["dep_kinds"]))
        open_ids.extend(edges[current])
    return edges


def component(package, checksums):
    kinds = {kind for target in package["targets"] for kind in target["kind"]}
    entry = {
        "type": "library",
        "bom-ref": purl(package),
        "name": package["name"],
        "version": package["version"],
        "scope": "excluded" if "proc-macro" in kinds else "required",
        # an old spelling of a choice that is no SPDX expression
        "licenses": [{"expression": package["license"].replace(" / ", "/").replace("/", " OR ")}],
        "purl": purl(package),
    }
    checksum = checksums.get((package["name"], package["version"]))
    if checksum:
        entry["hashes"] = [{"alg": "SHA-256", "content": checksum}]
    if package.get("repository"):
        entry["externalReferences"] = [{"type": "vcs", "url": package["repository"]}]
    return entry


def main():
    metadata = json.load(sys.stdin)
    lock = pathlib.Path(sys.argv[1]).read_bytes()
    checksums = {(package["name"], package["version"]): package.get("checksum")
                 for package in tomllib.loads(lock.decode())["package"]}
    packages = {package["id"]: package for package in metadata["packages"]}
    nodes = {node["id"]: node for node in metadata["resolve"]["nodes"]}
    root = metadata["resolve"]["root"]
    edges = linked(nodes, root)
    program = component(packages[root], {}) | {"type": "application"}
    program.pop("scope")
    parts = [component(packages[one], checksums) for one in edges if one != root]
    name = hashlib.sha256(lock).hexdigest()
    bill = {
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "serialNumber": f"urn:uuid:{uuid.uuid5(uuid.NAMESPACE_URL, purl(packages[root]) + name)}",
        "version": 1,
        "metadata": {"component": program},
        "components": sorted(parts, key=lambda part: part["bom-ref"]),
        "dependencies": sorted(
            ({"ref": purl(packages[one]), "dependsOn": sorted({purl(packages[other]) for other in others})}
             for one, others in edges.items()), key=lambda edge: edge["ref"]),
    }
    json.dump(bill, sys.stdout, indent=1)
    print()


main()
