"""The renderer from Python: compiled for the GPU where there is one, else for the processor's cores."""

from __future__ import annotations

import ctypes
import shutil
import subprocess
from pathlib import Path

import numpy as np
import numpy.typing as npt

SOURCE = Path(__file__).with_name("tracer.cu")


def built(folder: Path, gpu: bool) -> ctypes.CDLL:
    """Compile the renderer into a folder and load it. Raises CalledProcessError where no compiler takes it."""
    made = folder / ("tracer_gpu.so" if gpu else "tracer_cpu.so")
    if gpu:
        words = ["nvcc", "-O3", "--use_fast_math", "-arch=native", "-shared", "-Xcompiler", "-fPIC"]
    else:
        words = [
            shutil.which("g++") or "c++",
            "-x",
            "c++",
            "-O3",
            "-march=native",
            "-fopenmp",
            "-shared",
            "-fPIC",
        ]
    subprocess.run([*words, "-o", str(made), str(SOURCE)], check=True)
    return ctypes.CDLL(str(made))


def pictures(
    engine: ctypes.CDLL, scenes: npt.NDArray[np.float32], shapes: npt.NDArray[np.float32], size: int, samples: int
) -> tuple[npt.NDArray[np.float32], npt.NDArray[np.uint8]]:
    """Pictures in linear light (n, size, size, 3) and which part each pixel shows (n, size, size), on the processor.

    Raises RuntimeError where the renderer stops.
    """
    count = len(scenes)
    rgb = np.empty((count, size, size, 3), np.float32)
    parts = np.empty((count, size, size), np.uint8)
    scenes, shapes = np.ascontiguousarray(scenes), np.ascontiguousarray(shapes)
    status = engine.render(
        scenes.ctypes.data_as(ctypes.c_void_p), shapes.ctypes.data_as(ctypes.c_void_p), count, size, samples,
        rgb.ctypes.data_as(ctypes.c_void_p), parts.ctypes.data_as(ctypes.c_void_p),
    )  # fmt: skip
    if status:
        raise RuntimeError(f"the renderer stopped with status {status}")
    return rgb, parts
