"""The same threaded, bored body by a general CAD kernel and by coaxtell. Run: python -m benchmarks.cad_kernel

The kernel (Open CASCADE, through the cadquery-ocp and build123d wheels) is installed into a virtual environment of
its own, in --folder DIR or a temporary folder; it is a bench partner, never a dependency. Both build a tube with the
basic 60 degree form of ISO 68-1 wound round it, cut square at both ends, and both give it as one closed solid.
Figures to reach: at least 100 times faster, volumes within 0.2 %.
"""

from __future__ import annotations

import json
import math
import statistics
import subprocess
import sys
import tempfile
import time
import venv
from pathlib import Path

from coaxtell.models.half import Step, Thread, Turned
from coaxtell.models.measure import Grade, Measure
from coaxtell.models.solids.turned import turned

MAJOR, PITCH, LENGTH, BORE = 6.35, 25.4 / 36, 8.0, 4.13
"""A 1/4-36 thread, eight millimetres long, over the bore of an SMA line [mm]."""
NOSE = 1.0
"""Plain length before and behind the thread, at the root's diameter less a little [mm]."""
RUNS = 15

KERNEL = """
import json, sys, time
from build123d import *
major, pitch, length, bore, nose, root = json.loads(sys.argv[1])
def build():
    # the ridge of the basic form, wound past both ends and cut off square; its flanks run on into the core,
    # since the kernel cannot join two surfaces that touch along a helix
    deep, inside = (major - root) / 2, 0.1
    crest, foot = pitch / 16, 3 * pitch / 8
    wide = foot + inside * (foot - crest) / deep
    path = Helix(pitch, length + 2 * pitch, root / 2, center=(0, 0, -pitch - length / 2))
    with BuildSketch(Plane(origin=path @ 0, x_dir=(1, 0, 0), z_dir=(0, -1, 0))) as form:
        with BuildLine():
            Polyline((-inside, -wide), (deep, -crest), (deep, crest), (-inside, wide), close=True)
        make_face()
    ridge = sweep(form.sketch, path=path, is_frenet=True) & Box(3 * major, 3 * major, length)
    body = Cylinder(root / 2, length) + ridge
    for side in (-1, 1):
        body += Pos(0, 0, side * (length + nose) / 2) * Cylinder(root / 2 - 0.1, nose)
    return body - Cylinder(bore / 2, length + 2 * nose + 2)
times = []
for _ in range(3):
    start = time.perf_counter()
    body = build()
    times.append(time.perf_counter() - start)
print(json.dumps([min(times), body.volume, len(body.solids()), bool(body.is_valid)]))
"""


def root_diameter() -> float:
    """Basic minor diameter (ISO 68-1): 5/4 of the height of the sharp triangle less than the major [mm]."""
    return MAJOR - 2 * 5 / 8 * math.sqrt(3) / 2 * PITCH


def measure(value: float) -> Measure:
    """A plain number [mm]."""
    return Measure(mm=value, grade=Grade.DERIVED, source=["geometry"])


def ours() -> tuple[float, float]:
    """Median time of one build [s] and the volume [mm3]."""
    thread = Thread(size="1/4-36", major=measure(MAJOR), tolerance="drawn-outside", pitch=measure(PITCH))
    plain = measure(root_diameter() - 0.2)
    half = LENGTH / 2
    body = Turned(
        rim=measure(half + NOSE),
        inside=[Step(name="bore", d=measure(BORE), to=measure(-half - NOSE))],
        outside=[
            Step(name="nose", d=plain, to=measure(half)),
            Step(name="thread", thread=True, to=measure(-half)),
            Step(name="tail", d=plain, to=measure(-half - NOSE)),
        ],
    )
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        points, faces = turned(body, thread, "fine")
        times.append(time.perf_counter() - start)
    from coaxtell.models.solids.lathe import volume

    return statistics.median(times), volume(points, faces)


def chamfers() -> float:
    """What the 45 degree chamfers of our two thread ends take off the square-ended thread [mm3].

    Mean over a turn of pi r^2 of the form without and with the chamfer, by the midpoint rule.
    """
    deep = (MAJOR - root_diameter()) / 2
    total, rows, phases = 0.0, 200, 200
    for i in range(rows):
        limit = (i + 0.5) / rows * deep
        for k in range(phases):
            away = abs((k + 0.5) / phases - 0.5) * PITCH
            height = min(deep, max(0.0, deep - max(0.0, away - PITCH / 16) * math.tan(math.radians(60))))
            full, cut = root_diameter() / 2 + height, root_diameter() / 2 + min(height, limit)
            total += math.pi * (full**2 - cut**2)
    return 2 * total / rows / phases * deep


def kernel(folder: Path) -> tuple[float, float, int, bool]:
    """Best time of three builds [s], volume [mm3], number of solids and validity, by the CAD kernel."""
    python = folder / "bin" / "python"
    if not python.exists():
        venv.create(folder, with_pip=True)
        subprocess.run([str(python), "-m", "pip", "install", "-q", "build123d"], check=True)
    numbers = json.dumps([MAJOR, PITCH, LENGTH, BORE, NOSE, root_diameter()])
    done = subprocess.run([str(python), "-c", KERNEL, numbers], capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(f"the CAD kernel failed: {done.stderr.strip().splitlines()[-1]}")
    seconds, size, solids, valid = json.loads(done.stdout.strip().splitlines()[-1])
    return seconds, size, solids, valid


def main() -> None:
    """Print both and their ratio."""
    with tempfile.TemporaryDirectory() as temporary:
        chosen = sys.argv[sys.argv.index("--folder") + 1] if "--folder" in sys.argv else temporary
        their_time, their_volume, solids, valid = kernel(Path(chosen))
    our_time, our_volume = ours()
    square = our_volume + chamfers()
    print(f"CAD kernel  {their_time * 1000:10.1f} ms  {their_volume:9.3f} mm3  {solids} solid, valid: {valid}")
    print(f"coaxtell    {our_time * 1000:10.2f} ms  {square:9.3f} mm3  ({our_volume:.3f} with chamfered ends)")
    print(f"ratio       {their_time / our_time:10.0f} times faster, volumes differ by "
          f"{100 * abs(square / their_volume - 1):.3f} %")  # fmt: skip


if __name__ == "__main__":
    main()
