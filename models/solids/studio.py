"""The studio: solids in the light of the bench, off screen.

The only module that touches pyvista. The camera has no perspective, so a millimetre is as long everywhere in a
picture. The light stands with the camera.
"""

from __future__ import annotations

import math
from types import TracebackType
from typing import Any, NamedTuple

import numpy as np
import pyvista
from numpy.typing import NDArray

from coaxtell.models.helix import Array, Index
from coaxtell.models.solids.light import panorama
from coaxtell.models.solids.shine import Shine

EXPOSURE = 0.8
SHARP = 24.0
"""Edges that turn by more than this stay edges [deg]."""
OVERSAMPLE = 2
FAR = 4.0
"""Distance of the eye in reaches of the part; it only turns the reflections a little across a flat."""
MIRROR_SAMPLES = 256
"""Samples of the mirrored surroundings: enough for brushed metal, a quarter of the time of more."""


class Camera(NamedTuple):
    """Where the person looks from: right, up and towards-the-eye directions in the half's axes."""

    right: Array
    up: Array
    eye: Array


def camera_at(azimuth: float, elevation: float) -> Camera:
    """The camera that stands `azimuth` to the right of the mating face and `elevation` above it [deg]."""
    turn, lift = math.radians(azimuth), math.radians(elevation)
    eye = np.array([math.sin(turn) * math.cos(lift), math.sin(lift), math.cos(turn) * math.cos(lift)])
    right = np.array([math.cos(turn), 0.0, -math.sin(turn)])
    return Camera(right, np.cross(eye, right), eye)


def _texture() -> Any:
    """The panorama as a float texture."""
    colours = panorama()
    height, width, _ = colours.shape
    image = pyvista.ImageData(dimensions=(width, height, 1))
    image.point_data["radiance"] = colours.reshape(-1, 3)
    make: Any = pyvista.Texture
    texture = make(image)
    texture.SetColorModeToDirectScalars()
    texture.MipmapOn()
    texture.InterpolateOn()
    return texture


def _passes(radius: float) -> Any:
    """Render passes: shaded corners, then filmic tones."""
    from vtkmodules.vtkRenderingOpenGL2 import vtkSSAOPass

    corners = vtkSSAOPass()
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
    from vtkmodules.vtkRenderingOpenGL2 import (
        vtkCameraPass,
        vtkLightsPass,
        vtkOpaquePass,
        vtkRenderPassCollection,
        vtkSequencePass,
    )

    order = vtkRenderPassCollection()
    order.AddItem(vtkLightsPass())
    order.AddItem(vtkOpaquePass())
    sequence = vtkSequencePass()
    sequence.SetPasses(order)
    view = vtkCameraPass()
    view.SetDelegatePass(sequence)
    return view


def _toned(before: Any) -> Any:
    from vtkmodules.vtkRenderingOpenGL2 import vtkToneMappingPass

    tones = vtkToneMappingPass()
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


class Studio:
    """One off-screen window with its light, kept for several pictures; close it, or use it as a context."""

    def __init__(self) -> None:
        """Open the window; raises RuntimeError where no picture can be drawn on this machine."""
        from vtkmodules.vtkCommonCore import vtkLogger

        # VTK asks for a screen first and complains on the terminal before it draws without one
        vtkLogger.SetStderrVerbosity(vtkLogger.VERBOSITY_OFF)
        self._plotter: Any = pyvista.Plotter(off_screen=True, lighting="none", window_size=[64, 64])
        self._renderer: Any = self._plotter.renderer
        self._renderer.SetEnvironmentTexture(_texture(), False)
        self._renderer.UseSphericalHarmonicsOn()
        self._renderer.GetEnvMapPrefiltered().SetPrefilterMaxSamples(MIRROR_SAMPLES)
        self._renderer.GetEnvMapLookupTable().SetLUTSize(128)
        self._renderer.GetEnvMapLookupTable().SetLUTSamples(128)
        window: Any = self._plotter.render_window
        window.SetMultiSamples(0)
        self._window = window
        self._light = pyvista.Light(light_type="camera light", intensity=0.9, position=(-0.6, 0.9, 1.0))
        self._plotter.add_light(self._light)

    def __enter__(self) -> Studio:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Give the window back. A pass left in place would outlive its window, so it goes first."""
        self._renderer.SetPass(None)
        self._plotter.close()

    def render(
        self, parts: list[Staged], eye: Camera, centre: Array, px_per_mm: float, size: tuple[int, int]
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Colour and cover (0 to 1) of each pixel; `centre` [mm] is the middle of the picture.

        Raises RuntimeError where the machine draws nothing at all.
        """
        width, height = size
        everything = np.concatenate([part.points for part in parts])
        reach = float(np.linalg.norm(everything - centre, axis=1).max()) + 1.0
        renderer = self._renderer
        self._window.SetSize(width * OVERSAMPLE, height * OVERSAMPLE)
        actors = [self._actor(part) for part in parts]
        view = renderer.GetActiveCamera()
        view.ParallelProjectionOn()
        view.SetFocalPoint(*centre)
        view.SetPosition(*(centre + FAR * reach * eye.eye))
        view.SetViewUp(*eye.up)
        view.SetParallelScale(height / (2 * px_per_mm))
        view.SetClippingRange((FAR - 1.5) * reach, (FAR + 1.5) * reach)
        renderer.SetEnvironmentUp(*eye.up)
        renderer.SetEnvironmentRight(*eye.right)
        renderer.UseImageBasedLightingOn()
        renderer.SetBackground(0.0, 0.0, 0.0)
        passes = _passes(self._corner_radius(parts))
        renderer.SetPass(passes)
        colour = self._read()
        passes.ReleaseGraphicsResources(self._window)
        renderer.SetPass(None)
        renderer.UseImageBasedLightingOff()
        renderer.SetBackground(0.0, 0.0, 0.0)
        for actor in actors:
            surface = actor.GetProperty()
            surface.SetInterpolationToFlat()
            surface.LightingOff()
            surface.SetColor(1.0, 1.0, 1.0)
        cover = self._read()[..., 0]
        for actor in actors:
            renderer.RemoveActor(actor)
        if not cover.any():
            raise RuntimeError("the window stayed empty")
        return colour, cover

    def _corner_radius(self, parts: list[Staged]) -> float:
        spans = [float(np.ptp(part.points[:, :2], axis=0).max()) for part in parts]
        return max(spans) / 8

    def _read(self) -> NDArray[np.float64]:
        """The rendered frame, supersampled and halved, 0 to 1."""
        from vtkmodules.vtkRenderingCore import vtkWindowToImageFilter

        self._window.Render()
        grab = vtkWindowToImageFilter()
        grab.SetInput(self._window)
        grab.ReadFrontBufferOff()
        grab.ShouldRerenderOff()
        grab.Update()
        image: Any = pyvista.wrap(grab.GetOutput())
        across, down, _ = image.dimensions
        pixels = np.asarray(image.point_data.active_scalars).reshape(down, across, -1)
        frame = pixels[::-1, :, :3].astype(np.float64) / 255
        h, w = frame.shape[0] // OVERSAMPLE, frame.shape[1] // OVERSAMPLE
        return np.asarray(frame.reshape(h, OVERSAMPLE, w, OVERSAMPLE, 3).mean(axis=(1, 3)))

    def frame(self, side: int) -> NDArray[np.uint8]:
        """The square last rendered, as it is: red, green and blue of each pixel."""
        from vtkmodules.vtkCommonCore import vtkUnsignedCharArray

        held = vtkUnsignedCharArray()
        self._window.GetPixelData(0, 0, side - 1, side - 1, 0, held, 0)
        pixels: NDArray[np.uint8] = np.asarray(pyvista.convert_array(held), dtype=np.uint8)
        return pixels.reshape(side, side, 3)[::-1]

    def _actor(self, part: Staged) -> Any:
        shape = pyvista.PolyData.from_regular_faces(part.points, part.faces.astype(int))
        shape = shape.compute_normals(
            cell_normals=False, split_vertices=True, feature_angle=SHARP,
            consistent_normals=False, auto_orient_normals=False,
        )  # fmt: skip
        if not part.lit:
            actor = pyvista.Actor(mapper=pyvista.DataSetMapper(shape))
            actor.GetProperty().LightingOff()
            actor.GetProperty().SetColor(*part.shine.colour)
        else:
            actor = pyvista.Actor(mapper=pyvista.DataSetMapper(shape))
            surface = actor.GetProperty()
            surface.SetInterpolationToPBR()
            surface.SetColor(*part.shine.colour)
            surface.SetMetallic(part.shine.metallic)
            surface.SetRoughness(part.shine.roughness)
        self._renderer.AddActor(actor)
        return actor
