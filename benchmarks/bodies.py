"""Every half in every body: build time, soundness, and the files as their own tools read them.

Run: python -m benchmarks.bodies [--fine]. The glTF validator is used where node finds the npm package
gltf-validator, installed globally or in the current folder. Times depend on the machine, those of work
less on what else it does; the figure to reach is a median of 50 ms for one whole half at display level.
"""

from __future__ import annotations

import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from coaxtell.models import body, tables
from coaxtell.models.half import Half
from coaxtell.models.solids import export
from coaxtell.models.solids.part import Level, Part
from coaxtell.models.solids.solid import solid

VALIDATE = """
const validator = require('gltf-validator');
const { readFileSync, readdirSync } = require('fs');
(async () => {
    let files = 0, errors = 0, warnings = 0;
    for (const name of readdirSync(process.argv[2]).filter(n => n.endsWith('.glb'))) {
        const data = new Uint8Array(readFileSync(process.argv[2] + '/' + name));
        const issues = (await validator.validateBytes(data)).issues;
        files += 1; errors += issues.numErrors; warnings += issues.numWarnings;
    }
    console.log(JSON.stringify([files, errors, warnings]));
})();
"""


def faults(parts: list[Part]) -> list[str]:
    """Names of the parts that miss a standard for solids."""
    found = []
    for part in parts:
        mesh = part.mesh()
        pieces = 1 if part.role in ("lug", "tooth") else len(mesh.split(only_watertight=False))
        sound = mesh.is_watertight and mesh.is_winding_consistent and mesh.volume > 0
        if not sound or mesh.area_faces.min() < 1e-9 or pieces != 1:
            found.append(part.name)
    return found


def main() -> None:
    """Print the table."""
    level: Level = "fine" if "--fine" in sys.argv else "display"
    times: dict[str, list[tuple[float, float]]] = {}
    unsound: list[str] = []
    warnings = bodies = files = 0
    with tempfile.TemporaryDirectory() as folder:
        for half in tables.load().halves.values():
            styles: list[str | None] = [None, *body.STYLES]
            for style in styles:
                dressed: Half = half if style is None else body.styled(half, style)
                start, work = time.perf_counter(), time.process_time()
                parts = solid(dressed, level)
                took = time.perf_counter() - start, time.process_time() - work
                times.setdefault(style or "plain tail", []).append(took)
                bodies += len(parts)
                unsound += [f"{half.id} {style}: {name}" for name in faults(parts)]
                placed = [export.Placed(part.name, part) for part in parts]
                Path(folder, f"{half.id}-{style}.glb").write_bytes(export.glb(placed, dressed.name))
                warnings += strict_warnings(export.file("3mf", placed, dressed.name))
                files += 1
        print(f"{'body':14} {'median ms':>10} {'worst ms':>10} {'median ms of work':>18}")
        for name, each in times.items():
            wall, work_ = ([1000 * one[k] for one in each] for k in (0, 1))
            print(f"{name:14} {statistics.median(wall):10.1f} {max(wall):10.1f} {statistics.median(work_):18.1f}")
        print(f"{bodies} parts at {level} level, {len(unsound)} unsound: {unsound[:5]}")
        print(f"{files} 3MF files read strictly by lib3mf: {warnings} warnings")
        print(validated(Path(folder)))


def strict_warnings(data: bytes) -> int:
    """Warnings of lib3mf in strict mode."""
    import lib3mf

    reader = lib3mf.get_wrapper().CreateModel().QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromBuffer(data)
    return int(reader.GetWarningCount())


def validated(folder: Path) -> str:
    """What the glTF validator says of all files in a folder."""
    node, npm = shutil.which("node"), shutil.which("npm")
    if node is None or npm is None:
        return "glTF validator: not here (it needs node and npm install -g gltf-validator)"
    script = folder / "validate.cjs"
    script.write_text(VALIDATE, encoding="utf-8")
    known = subprocess.run([npm, "root", "-g"], capture_output=True, check=True, text=True).stdout.strip()
    places = os.pathsep.join([str(Path("node_modules").resolve()), known])
    done = subprocess.run(
        [node, str(script), str(folder)],
        env={**os.environ, "NODE_PATH": places}, capture_output=True, check=False, text=True,
    )  # fmt: skip
    if done.returncode:
        return "glTF validator: not here (npm install -g gltf-validator)"
    count, errors, warnings = json.loads(done.stdout)
    return f"{count} GLB files by the glTF validator: {errors} errors, {warnings} warnings"


if __name__ == "__main__":
    main()
