"""The whole demonstration, made once: how long it takes, and whether everything in it opens.

Run: python -m benchmarks.demonstration FOLDER, a folder that is new or empty
"""

from __future__ import annotations

import json
import os
import re
import resource
import subprocess
import sys
import time
from pathlib import Path

from benchmarks.study import dated
from coaxtell.demo.page import INVENTED

RESULT = Path(__file__).parent / "results" / "demonstration.json"


def faults(folder: Path) -> list[str]:
    """What is wrong with a demonstration's pages; the page for a phone, which holds nothing invented, has a script."""
    found = []
    for page in sorted(folder.glob("*.html")):
        if page.name == "phone.html":
            continue
        text = page.read_text(encoding="utf-8")
        for link in re.findall(r'(?:href|src)="([^"#]+)"', text):
            if re.match(r"\w+:", link):
                found.append(f"{page.name}: {link} lies outside")
            elif not (folder / link).is_file():
                found.append(f"{page.name}: {link} is not there")
        if INVENTED not in text:
            found.append(f"{page.name}: does not say that it is invented")
        if "<script" in text:
            found.append(f"{page.name}: has a script")
    return found


def run(folder: Path) -> dict[str, object]:
    """Make it and say what came of it."""
    began = time.perf_counter()
    status = subprocess.run([sys.executable, "-m", "coaxtell", "demo", str(folder)], check=False).returncode
    wall = time.perf_counter() - began
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return {
        "status": status,
        "seconds": round(wall, 1),
        "processor seconds": round(used.ru_utime + used.ru_stime, 1),
        "load average": round(os.getloadavg()[0], 1),
        "files": sum(1 for path in folder.rglob("*") if path.is_file()),
        "faults": faults(folder),
    }


if __name__ == "__main__":
    found = run(Path(sys.argv[1]))
    RESULT.write_text(json.dumps(dated(found), indent=1) + "\n", encoding="utf-8")
    print(json.dumps(found, indent=1))
