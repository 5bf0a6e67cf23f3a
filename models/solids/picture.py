"""Pictures of halves: the solids in the light of the bench, off screen, at one common scale.

The only module that touches pyvista. The camera has no perspective, so a millimetre is as long everywhere in a
picture and the scale bar holds for every part in it. The light stands with the camera.
"""

from __future__ import annotations

import math
from types import TracebackType
from typing import Any, Literal, NamedTuple

import msgspec
import numpy as np
import pyvista
from numpy.typing import NDArray
from PIL import Image

from coaxtell.models import plastics
from coaxtell.models.cuts import quarter_away
from coaxtell.models.half import Half
from coaxtell.models.helix import Array, Index
from coaxtell.models.solids import bench
from coaxtell.models.solids.light import panorama
from coaxtell.models.solids.part import Part
from coaxtell.models.solids.solid import solid

View = Literal["three-quarter", "face", "side", "cut"]
VIEWS: tuple[View, ...] = ("three-quarter", "face", "side", "cut")

EXPOSURE = 0.8
SHARP = 24.0
"""Edges that turn by more than this stay edges [deg]."""
OVERSAMPLE = 2
FAR = 4.0
"""Distance of the eye in reaches of the part; it only turns the reflections a little across a flat."""
MIRROR_SAMPLES = 256
"""Samples of the mirrored surroundings: enough for brushed metal, a quarter of the time of more."""


SLEEVE_TURN = np.array([[0.5, math.sqrt(0.75), 0.0], [-math.sqrt(0.75), 0.5, 0.0], [0.0, 0.0, 1.0]])
"""A bayonet sleeve lies turned by 60 degrees counter-clockwise, so that one ramped slot faces the camera."""


class Look(NamedTuple):
    """How a material takes the light."""

    colour: tuple[float, float, float]
    metallic: float
    roughness: float


LOOKS: dict[str, Look] = {
    "gold": Look((1.00, 0.64, 0.21), 1.0, 0.20),
    "steel": Look((0.66, 0.65, 0.63), 1.0, 0.25),
    "nickel": Look((0.74, 0.71, 0.65), 1.0, 0.21),
    "brass": Look((0.86, 0.62, 0.28), 1.0, 0.26),
    "ptfe": Look((1.22, 1.22, 1.19), 0.0, 0.42),
}
CUT_COLOURS: dict[str, tuple[float, float, float]] = {
    "outer": (0.36, 0.50, 0.58),
    "nut": (0.55, 0.62, 0.66),
    "lug": (0.36, 0.50, 0.58),
    "tooth": (0.36, 0.50, 0.58),
    "insulator": (0.96, 0.94, 0.88),
    "pin": (0.87, 0.60, 0.16),
    "socket": (0.87, 0.60, 0.16),
    "housing": (0.54, 0.57, 0.60),
}
"""Colour of a cut face by role, the same as in the drawings."""


CLAY = Look((0.13, 0.135, 0.14), 0.0, 0.7)
"""How the parts look that a picture leaves in the background: matt and without a colour of their own."""


SHADE = Look((0.030, 0.022, 0.010), 0.0, 0.9)
"""The inside of a socket: hardly any light comes back out of so narrow a hole, whatever the mirrored walls would do."""
SHADED_FROM = 0.1
"""Depth behind the tip from which a socket's inside lies in its own shade, in widths of the hole."""


def look(part: Part, lit: frozenset[str] | None = None) -> Look:
    """How a part takes the light: by its material, plastic by its colour; as clay where only others are lit."""
    if lit is not None and part.role not in lit:
        return CLAY
    if part.material == "plastic":
        return Look(plastics.linear(part.colour), 0.0, 0.45)
    return LOOKS[part.material]


class Camera(NamedTuple):
    """Where the person looks from: right, up and towards-the-eye directions in the half's axes."""

    right: Array
    up: Array
    eye: Array


def camera(view: View) -> Camera:
    """The camera of a view, the same for every half."""
    if view == "face":
        return Camera(np.array([1.0, 0, 0]), np.array([0, 1.0, 0]), np.array([0, 0, 1.0]))
    if view == "side":
        # the mating face looks to the right
        return Camera(np.array([0, 0, 1.0]), np.array([0, 1.0, 0]), np.array([-1.0, 0, 0]))
    turn, lift = math.radians(35), math.radians(24)
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


class Placed(NamedTuple):
    """A part moved to its place on the bench: points [mm], triangles, how it looks, whether light falls on it."""

    points: Array
    faces: Index
    look: Look
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
        self, parts: list[Placed], eye: Camera, centre: Array, px_per_mm: float, size: tuple[int, int]
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

    def _corner_radius(self, parts: list[Placed]) -> float:
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

    def _actor(self, part: Placed) -> Any:
        shape = pyvista.PolyData.from_regular_faces(part.points, part.faces.astype(int))
        shape = shape.compute_normals(
            cell_normals=False, split_vertices=True, feature_angle=SHARP,
            consistent_normals=False, auto_orient_normals=False,
        )  # fmt: skip
        if not part.lit:
            actor = pyvista.Actor(mapper=pyvista.DataSetMapper(shape))
            actor.GetProperty().LightingOff()
            actor.GetProperty().SetColor(*part.look.colour)
        else:
            actor = pyvista.Actor(mapper=pyvista.DataSetMapper(shape))
            surface = actor.GetProperty()
            surface.SetInterpolationToPBR()
            surface.SetColor(*part.look.colour)
            surface.SetMetallic(part.look.metallic)
            surface.SetRoughness(part.look.roughness)
        self._renderer.AddActor(actor)
        return actor


def _split_cut(part: Part, lit: frozenset[str] | None) -> list[Placed]:
    """A part with its quarter cut away: the outside as it is, the cut faces in their section colour."""
    points, faces = quarter_away((part.points, part.faces))
    if not len(faces):
        return []
    corners = points[faces]
    cut = np.zeros(len(faces), dtype=bool)
    for axis, other in ((0, 1), (1, 0)):
        cut |= (np.abs(corners[:, :, axis]).max(axis=1) < 1e-7) & (corners[:, :, other].min(axis=1) > -1e-7)
    own = look(part, lit)
    found = [Placed(points, faces[~cut], own, True)]
    if cut.any():
        face = own if own is CLAY else Look(CUT_COLOURS[part.role], 0.0, 1.0)
        found.append(Placed(points, faces[cut], face, own is CLAY))
    return found


def shaded_hole(half: Half, part: Part, own: Look) -> list[Placed]:
    """A socket with its hole in the shade: face on, a hole must not shine like the end of a pin."""
    socket = half.centre.socket
    assert socket is not None
    middles = part.points[part.faces].mean(axis=1)
    width = socket.hole.nominal
    inside = (np.hypot(middles[:, 0], middles[:, 1]) <= 0.515 * width) & (
        middles[:, 2] <= socket.tip.nominal - SHADED_FROM * width
    )
    found = [Placed(part.points, part.faces[~inside], own, True)]
    if inside.any():
        found.append(Placed(part.points, part.faces[inside], SHADE, True))
    return found


def lying(half: Half, view: View, lit: frozenset[str] | None = None) -> list[Placed]:
    """The parts of a half lying with its front edge on z = 0 and its lowest point on y = 0; those not `lit` as clay."""
    parts = solid(half)
    everything = np.concatenate([part.points for part in parts])
    move = np.array([0.0, -everything[:, 1].min(), -everything[:, 2].max()])
    placed: list[Placed] = []
    for part in parts:
        if part.moving and half.nut is not None and half.nut.ramps is not None:
            part = msgspec.structs.replace(part, points=part.points @ SLEEVE_TURN)
        if view == "cut":
            placed += _split_cut(part, lit)
        elif part.role == "socket" and half.centre.socket is not None:
            placed += shaded_hole(half, part, look(part, lit))
        else:
            placed.append(Placed(part.points, part.faces, look(part, lit), True))
    return [p._replace(points=p.points + move) for p in placed]


def picture(
    halves: list[Half],
    view: View = "three-quarter",
    width: int = 1280,
    height: int = 800,
    *,
    studio: Studio | None = None,
    theme: bench.Theme = bench.LIGHT,
    names: bool = True,
) -> Image.Image:
    """The halves side by side on the bench at one common scale, with scale bar and names.

    `width` and `height` in pixels. Raises RuntimeError where no picture can be drawn on this machine.
    """
    if studio is None:
        with Studio() as own:
            return picture(halves, view, width, height, studio=own, theme=theme, names=names)
    eye = camera(view)
    groups = [lying(half, view) for half in halves]
    layout = bench.lay_out(
        [np.concatenate([p.points for p in group]) for group in groups],
        eye.right, eye.up, (width, height), names,
    )  # fmt: skip
    colour = np.zeros((height, width, 3))
    cover = np.zeros((height, width))
    # each half in its own frame, so that equal halves take the light equally wherever they lie
    for group, shift, points in zip(groups, layout.shifts, layout.points, strict=True):
        left, top, right, bottom = bench.frame(layout, (width, height), points @ eye.right, points @ eye.up)
        middle = bench.place(layout, (width, height), (left + right) / 2, (top + bottom) / 2)
        centre = eye.right * middle[0] + eye.up * middle[1]
        moved = [p._replace(points=p.points + eye.right * shift) for p in group]
        tile = studio.render(moved, eye, centre, layout.px_per_mm, (right - left, bottom - top))
        colour[top:bottom, left:right] = tile[0] - (1 - tile[1])[..., None] * tile[0][0, 0]
        cover[top:bottom, left:right] = tile[1]
    ground = eye if view in ("three-quarter", "cut") else None
    return bench.compose(
        colour, cover, layout, theme,
        names=[half.name for half in halves] if names else [],
        ground=None if ground is None else (ground.right, ground.up),
    )  # fmt: skip
