"""Print every package of a requirements file that is missing here or has another version."""

import importlib.metadata
import sys

for line in open(sys.argv[1], encoding="utf-8"):
    line = line.split("#")[0].strip()
    if not line:
        continue
    name, wanted = line.split("==")
    try:
        found = importlib.metadata.version(name)
    except importlib.metadata.PackageNotFoundError:
        found = "none"
    if found != wanted:
        print(f"{name} {wanted} (found: {found})")
