"""The studio: solids in the light of the bench, off screen.

The only module that touches VTK, and of it only the modules that it needs: the whole takes longer to load. The camera
has no perspective, so a millimetre is as long everywhere in a picture. The light stands with the camera.
"""

from __future__ import annotations

from types import TracebackType
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray
from vtkmodules.util import numpy_support
from vtkmodules.vtkCommonCore import vtkLogger, vtkPoints, vtkUnsignedCharArray
from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkImageData, vtkPolyData
from vtkmodules.vtkFiltersCore import vtkPolyDataNormals
from vtkmodules.vtkRenderingCore import (
    vtkActor,
    vtkDataSetMapper,
    vtkLight,
    vtkRenderWindow,
    vtkTexture,
    vtkWindowToImageFilter,
)
from vtkmodules.vtkRenderingOpenGL2 import (
    vtkCameraPass,
    vtkLightsPass,
    vtkOpaquePass,
    vtkOpenGLRenderer,
    vtkRenderPassCollection,
    vtkSequencePass,
    vtkSSAOPass,
    vtkToneMappingPass,
)

from coaxtell.models.helix import Array, Index
from coaxtell.models.solids.camera import Camera
from coaxtell.models.solids.light import panorama
from coaxtell.models.solids.shine import Shine

ARRAYS: Any = numpy_support
"""Turns arrays of VTK into those of numpy and back; it has no types."""
EXPOSURE = 0.8
SHARP = 24.0
"""Edges that turn by more than this stay edges [deg]."""
OVERSAMPLE = 2
TILE_PIXELS = 700_000
"""Largest part of a picture that is rendered at once [px, supersampled]: each takes about 90 bytes of buffers."""
FAR = 4.0
"""Distance of the eye in reaches of the part; it only turns the reflections a little across a flat."""
MIRROR_SAMPLES = 256
"""Samples of the mirrored surroundings: enough for brushed metal, a quarter of the time of more."""


def _texture() -> Any:
    """The panorama as a float texture."""
    colours = panorama()
    height, width, _ = colours.shape
    image: Any = vtkImageData()
    image.SetDimensions(width, height, 1)
    image.GetPointData().SetScalars(ARRAYS.numpy_to_vtk(colours.reshape(-1, 3), deep=True))
    texture: Any = vtkTexture()
    texture.SetInputDataObject(image)
    texture.SetColorModeToDirectScalars()
    texture.MipmapOn()
    texture.InterpolateOn()
    return texture


def _passes(radius: float) -> Any:
    """Render passes: shaded corners, then filmic tones."""
    corners: Any = vtkSSAOPass()
    corners.SetDelegatePass(_bare_pass())
    corners.SetRadius(radius)
    corners.SetBias(radius / 60)
    corners.SetKernelSize(32)
    corners.BlurOn()
    return _toned(corners)


def quick_passes() -> Any:
    """Render passes of a picture that must not take long: filmic tones and nothing else."""
    return _toned(_bare_pass())


def _bare_pass() -> Any:
    order: Any = vtkRenderPassCollection()
    order.AddItem(vtkLightsPass())
    order.AddItem(vtkOpaquePass())
    sequence: Any = vtkSequencePass()
    sequence.SetPasses(order)
    view: Any = vtkCameraPass()
    view.SetDelegatePass(sequence)
    return view


def _toned(before: Any) -> Any:
    tones: Any = vtkToneMappingPass()
    tones.SetDelegatePass(before)
    tones.SetToneMappingType(vtkToneMappingPass.GenericFilmic)
    tones.SetExposure(EXPOSURE)
    return tones


class Staged(NamedTuple):
    """A part moved to its place on the bench: points [mm], triangles, how it looks, whether light falls on it."""

    points: Array
    faces: Index
    shine: Shine
    lit: bool


Rect = tuple[int, int, int, int]
"""Left, top, right and bottom [px, supersampled]."""
Tile = tuple[Rect, Rect]
"""What is rendered at once, and what of it goes into the picture."""
GRAIN = 4
"""Tiles begin at even multiples of this: the pattern by which shaded corners are sampled [px]."""


def _filled(points: Array, eye: Camera, per_mm: float, size: tuple[int, int]) -> Rect:
    """The part of a picture that points about its middle [mm] fill, with some room; all that is drawn lies there."""
    ends = []
    for along, sign, whole in ((eye.right, 1.0, size[0]), (eye.up, -1.0, size[1])):
        at = sign * (points @ along) * per_mm + OVERSAMPLE * whole / 2
        low = int(max(0.0, at.min() - GRAIN)) // GRAIN * GRAIN
        high = -(-int(min(OVERSAMPLE * whole, at.max() + GRAIN)) // GRAIN) * GRAIN
        ends.append((min(low, OVERSAMPLE * whole - GRAIN), max(low + GRAIN, min(high, OVERSAMPLE * whole))))
    (left, right), (top, bottom) = ends
    return left, top, right, bottom


def _tiles(whole: Rect, margin: int) -> list[Tile]:
    """A rectangle in strips, so few as keep within the memory meant for one; each sees so far past its edges as a
    corner throws its shade [px]."""
    left, top, right, bottom = whole
    wide, tall = right - left, bottom - top
    margin = -(-margin // GRAIN) * GRAIN
    count = 1
    while (tall / count + 2 * margin) * wide > TILE_PIXELS and tall / (count + 1) >= 2 * margin:
        count += 1
    if count == 1:
        return [(whole, whole)]
    step = -(-tall // count // GRAIN) * GRAIN
    found: list[Tile] = []
    for y0 in range(top, bottom, step):
        y1 = min(bottom, y0 + step)
        found.append(((left, max(top, y0 - margin), right, min(bottom, y1 + margin)), (left, y0, right, y1)))
    return found


class Studio:
    """One off-screen window with its light, kept for several pictures; close it, or use it as a context."""

    def __init__(self) -> None:
        """Open the window; raises RuntimeError where no picture can be drawn on this machine."""
        # VTK asks for a screen first and complains on the terminal before it draws without one
        vtkLogger.SetStderrVerbosity(vtkLogger.VERBOSITY_OFF)
        self._renderer: Any = vtkOpenGLRenderer()
        window: Any = vtkRenderWindow()
        window.OffScreenRenderingOn()
        window.SetMultiSamples(0)
        window.SetSize(64, 64)
        window.AddRenderer(self._renderer)
        self._renderer.SetEnvironmentTexture(_texture(), False)
        self._renderer.UseSphericalHarmonicsOn()
        self._renderer.GetEnvMapPrefiltered().SetPrefilterMaxSamples(MIRROR_SAMPLES)
        self._renderer.GetEnvMapLookupTable().SetLUTSize(128)
        self._renderer.GetEnvMapLookupTable().SetLUTSamples(128)
        self._window = window
        light: Any = vtkLight()
        light.SetLightTypeToCameraLight()
        light.SetIntensity(0.9)
        light.SetPosition(-0.6, 0.9, 1.0)
        self._renderer.AddLight(light)

    def __enter__(self) -> Studio:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Give the window back. A pass left in place would outlive its window, so it goes first."""
        self._renderer.SetPass(None)
        self._window.Finalize()

    def render(
        self, parts: list[Staged], eye: Camera, centre: Array, px_per_mm: float, size: tuple[int, int]
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Colour and cover (0 to 1) of each pixel; `centre` [mm] is the middle of the picture.

        Raises RuntimeError where the machine draws nothing at all.
        """
        everything = np.concatenate([part.points for part in parts]) - centre
        reach = float(np.linalg.norm(everything, axis=1).max()) + 1.0
        renderer = self._renderer
        actors = [self._actor(part) for part in parts]
        view = renderer.GetActiveCamera()
        view.ParallelProjectionOn()
        view.SetFocalPoint(*centre)
        view.SetPosition(*(centre + FAR * reach * eye.eye))
        view.SetViewUp(*eye.up)
        view.SetClippingRange((FAR - 1.5) * reach, (FAR + 1.5) * reach)
        renderer.SetEnvironmentUp(*eye.up)
        renderer.SetEnvironmentRight(*eye.right)
        renderer.UseImageBasedLightingOn()
        renderer.SetBackground(0.0, 0.0, 0.0)
        shadow = self._corner_radius(parts)
        passes = _passes(shadow)
        per_mm = OVERSAMPLE * px_per_mm
        tiles = _tiles(_filled(everything, eye, per_mm, size), int(shadow * per_mm))
        renderer.SetPass(passes)
        colour = self._tiled(tiles, size, per_mm)
        passes.ReleaseGraphicsResources(self._window)
        renderer.SetPass(None)
        renderer.UseImageBasedLightingOff()
        for actor in actors:
            surface = actor.GetProperty()
            surface.SetInterpolationToFlat()
            surface.LightingOff()
            surface.SetColor(1.0, 1.0, 1.0)
        cover = self._tiled(tiles, size, per_mm)[..., 0]
        for actor in actors:
            renderer.RemoveActor(actor)
        view.SetWindowCenter(0.0, 0.0)
        # a small picture of nothing: the buffers of the large one are given back
        self._window.SetSize(64, 64)
        self._window.Render()
        if not cover.any():
            raise RuntimeError("the window stayed empty")
        return colour, cover

    def _tiled(self, tiles: list[Tile], size: tuple[int, int], per_mm: float) -> NDArray[np.float64]:
        """The picture, 0 to 1, of what the tiles show; black beside them."""
        width, height = size
        found = np.zeros((height, width, 3))
        view = self._renderer.GetActiveCamera()
        for (left, top, right, bottom), (x0, y0, x1, y1) in tiles:
            wide, tall = right - left, bottom - top
            self._window.SetSize(wide, tall)
            view.SetParallelScale(tall / (2 * per_mm))
            # the camera stays where it is, so that metal mirrors the same in every tile
            view.SetWindowCenter((left + right) / wide - OVERSAMPLE * width / wide,
                                 OVERSAMPLE * height / tall - (top + bottom) / tall)  # fmt: skip
            part = self._read()
            rows, columns = (slice(a // OVERSAMPLE, b // OVERSAMPLE) for a, b in ((y0, y1), (x0, x1)))
            inner = part[(y0 - top) // OVERSAMPLE :, (x0 - left) // OVERSAMPLE :]
            found[rows, columns] = inner[: rows.stop - rows.start, : columns.stop - columns.start]
        return found

    def _corner_radius(self, parts: list[Staged]) -> float:
        spans = [float(np.ptp(part.points[:, :2], axis=0).max()) for part in parts]
        return max(spans) / 8

    def _read(self) -> NDArray[np.float64]:
        """The rendered frame, supersampled and halved, 0 to 1."""
        self._window.Render()
        grab: Any = vtkWindowToImageFilter()
        grab.SetInput(self._window)
        grab.ReadFrontBufferOff()
        grab.ShouldRerenderOff()
        grab.Update()
        image = grab.GetOutput()
        across, down, _ = image.GetDimensions()
        pixels = ARRAYS.vtk_to_numpy(image.GetPointData().GetScalars()).reshape(down, across, -1)
        h, w = down // OVERSAMPLE, across // OVERSAMPLE
        blocks = pixels[::-1, :, :3].reshape(h, OVERSAMPLE, w, OVERSAMPLE, 3)
        return np.asarray(blocks.sum(axis=(1, 3), dtype=np.uint16) / (255 * OVERSAMPLE**2))

    def frame(self, side: int) -> NDArray[np.uint8]:
        """The square last rendered, as it is: red, green and blue of each pixel."""
        held: Any = vtkUnsignedCharArray()
        self._window.GetPixelData(0, 0, side - 1, side - 1, 0, held, 0)
        pixels: NDArray[np.uint8] = np.asarray(ARRAYS.vtk_to_numpy(held), dtype=np.uint8)
        return pixels.reshape(side, side, 3)[::-1]

    def _actor(self, part: Staged) -> Any:
        actor: Any = vtkActor()
        actor.SetMapper(_mapper(part))
        surface = actor.GetProperty()
        surface.SetColor(*part.shine.colour)
        if part.lit:
            surface.SetInterpolationToPBR()
            surface.SetMetallic(part.shine.metallic)
            surface.SetRoughness(part.shine.roughness)
        else:
            surface.LightingOff()
        self._renderer.AddActor(actor)
        return actor


def _mapper(part: Staged) -> Any:
    """The triangles of a part with a direction at each corner, edges kept where they turn sharply."""
    points: Any = vtkPoints()
    points.SetData(ARRAYS.numpy_to_vtk(np.ascontiguousarray(part.points), deep=True))
    cells: Any = vtkCellArray()
    cells.SetData(
        3, ARRAYS.numpy_to_vtkIdTypeArray(np.ascontiguousarray(part.faces, dtype=np.int64).ravel(), deep=True)
    )
    shape: Any = vtkPolyData()
    shape.SetPoints(points)
    shape.SetPolys(cells)
    normals: Any = vtkPolyDataNormals()
    normals.SetInputData(shape)
    normals.SplittingOn()
    normals.SetFeatureAngle(SHARP)
    normals.ConsistencyOff()
    normals.AutoOrientNormalsOff()
    normals.Update()
    mapper: Any = vtkDataSetMapper()
    mapper.SetInputData(normals.GetOutput())
    return mapper
