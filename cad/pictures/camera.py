"""The camera: triangles and true edges to a PNG, by VTK, with no display."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from typing import Any

import numpy as np
from cadquery import Solid
from numpy.typing import NDArray
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.GCPnts import GCPnts_TangentialDeflection
from vtkmodules.util import numpy_support
from vtkmodules.vtkCommonCore import vtkPoints
from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkPolyData
from vtkmodules.vtkFiltersCore import vtkPolyDataNormals
from vtkmodules.vtkIOImage import vtkPNGWriter
from vtkmodules.vtkRenderingCore import (
    vtkActor,
    vtkLight,
    vtkPolyDataMapper,
    vtkRenderer,
    vtkRenderWindow,
    vtkWindowToImageFilter,
)

from cad.errors import OutputError
from cad.kernel.mesh import Mesh
from cad.kernel.shapes import Triple
from cad.pictures.scene import Picture, Shown
from cad.pictures.window import window_class

SIZE = (880, 660)
EDGE_BEND_RAD = 0.15  # how far an edge may turn between two points of its line
EDGE_CHORD_MM = 0.05
SMOOTH_DEG = 15.0  # facets that meet more flatly are shaded as one surface
ROOM = 1.08  # what is shown, over what would just fit
PAPER = (1.0, 1.0, 1.0)
INK = (0.13, 0.12, 0.11)

MeshOf = Callable[[Solid], Mesh]


class Camera:
    """Takes pictures, one after another, with one window that no one sees.

    `mesh_of` gives a solid's triangles, so that a solid meshed for another format is not meshed again.
    """

    def __init__(self, mesh_of: MeshOf) -> None:
        self._mesh_of = mesh_of
        os.environ.setdefault("VTK_DEFAULT_OPENGL_WINDOW", window_class())
        self._surfaces: dict[int, tuple[Solid, vtkPolyData, vtkPolyData]] = {}
        self._window = vtkRenderWindow()
        self._window.SetOffScreenRendering(1)
        self._window.SetMultiSamples(4)
        self._window.SetSize(*SIZE)

    def take(self, picture: Picture) -> bytes:
        """Return the picture as PNG. Raises OutputError when the machine has nothing to draw with."""
        renderer = vtkRenderer()
        renderer.SetBackground(*PAPER)
        for shown in picture.shown:
            for actor in self._actors(shown):
                renderer.AddActor(actor)
        _light(renderer)
        _aim(renderer, picture, np.concatenate([self._points(shown) for shown in picture.shown]))
        self._window.AddRenderer(renderer)
        self._window.Render()
        grab = vtkWindowToImageFilter()
        grab.SetInput(self._window)
        grab.ReadFrontBufferOff()
        grab.ShouldRerenderOff()
        grab.Update()
        self._window.RemoveRenderer(renderer)
        if grab.GetOutput().GetScalarRange()[0] > 250:
            raise OutputError(
                f"{picture.name}: the picture came out blank: this machine has no OpenGL to draw with. "
                "On Debian: apt-get install libosmesa6; or leave pictures out with --formats"
            )
        writer = vtkPNGWriter()
        writer.SetInputData(grab.GetOutput())
        writer.WriteToMemoryOn()
        writer.SetCompressionLevel(4)  # a third of the time for a tenth more bytes
        writer.Write()
        return bytes(memoryview(writer.GetResult()))

    def _actors(self, shown: Shown) -> Iterable[vtkActor]:
        surface, lines = self._drawn(shown.solid)
        faces = _actor(surface)
        look = faces.GetProperty()
        look.SetColor(*shown.tone)
        look.SetInterpolationToPhong()
        look.SetAmbient(0.28)
        look.SetDiffuse(0.78)
        look.SetSpecular(0.06)
        edges = _actor(lines)
        edges.GetProperty().SetColor(*INK)
        edges.GetProperty().SetLineWidth(1.4)
        edges.GetProperty().LightingOff()
        for actor in (faces, edges):
            actor.SetPosition(*shown.shift)
            yield actor

    def _points(self, shown: Shown) -> NDArray[np.float64]:
        return np.asarray(self._mesh_of(shown.solid).points + np.array(shown.shift))

    def _drawn(self, solid: Solid) -> tuple[vtkPolyData, vtkPolyData]:
        """Return the solid's triangles and its true edges as the renderer takes them, made once."""
        # The solid is kept beside them so that its identity is not used again for another.
        if id(solid) not in self._surfaces:
            self._surfaces[id(solid)] = (solid, _surface(self._mesh_of(solid)), _edges(solid))
        _, surface, lines = self._surfaces[id(solid)]
        return surface, lines


def _actor(data: vtkPolyData) -> vtkActor:
    mapper = vtkPolyDataMapper()
    mapper.SetInputData(data)
    # Lines are drawn a hair nearer to the eye than the faces they bound.
    mapper.SetResolveCoincidentTopologyToPolygonOffset()
    actor = vtkActor()
    actor.SetMapper(mapper)
    return actor


def _surface(mesh: Mesh) -> vtkPolyData:
    count = len(mesh.triangles)
    cells = np.column_stack((np.full(count, 3), mesh.triangles)).astype(np.int64)
    data = vtkPolyData()
    data.SetPoints(_points(mesh.points))
    data.SetPolys(_cells(cells.ravel()))
    normals = vtkPolyDataNormals()
    normals.SetInputData(data)
    normals.SetFeatureAngle(SMOOTH_DEG)
    normals.ConsistencyOff()
    normals.Update()
    smooth: vtkPolyData = normals.GetOutput()
    return smooth


def _edges(solid: Solid) -> vtkPolyData:
    """Return the kernel's own edges as polylines."""
    points: list[Triple] = []
    cells: list[int] = []
    for edge in solid.Edges():
        line = GCPnts_TangentialDeflection(BRepAdaptor_Curve(edge.wrapped), EDGE_BEND_RAD, EDGE_CHORD_MM)
        size = line.NbPoints()
        cells += [size, *range(len(points), len(points) + size)]
        points += [line.Value(i).Coord() for i in range(1, size + 1)]
    data = vtkPolyData()
    data.SetPoints(_points(np.array(points)))
    data.SetLines(_cells(np.array(cells, dtype=np.int64)))
    return data


def _points(points: NDArray[np.float64]) -> vtkPoints:
    held = vtkPoints()
    held.SetData(numpy_support.numpy_to_vtk(np.ascontiguousarray(points), deep=True))
    return held


def _cells(flat: NDArray[np.int64]) -> vtkCellArray:
    held = vtkCellArray()
    held.ImportLegacyFormat(numpy_support.numpy_to_vtkIdTypeArray(flat, deep=True))
    return held


def _light(renderer: Any) -> None:
    """Light from over the left shoulder and, fainter, from the right, both carried by the viewer."""
    for place, strength in (((-0.6, 0.9, 1.0), 0.85), ((0.9, 0.1, 0.6), 0.4)):
        light = vtkLight()
        light.SetLightTypeToCameraLight()
        light.SetPosition(*place)
        light.SetFocalPoint(0, 0, 0)
        light.SetIntensity(strength)
        renderer.AddLight(light)


def _aim(renderer: Any, picture: Picture, points: NDArray[np.float64]) -> None:
    """Look square on, so that parallel lines stay so, and as near as shows every point (n, 3)."""
    away = np.array(picture.eye) / np.linalg.norm(picture.eye)
    right = np.cross(picture.up, away)
    right /= np.linalg.norm(right)
    seen = np.column_stack((points @ right, points @ np.cross(away, right), points @ away))
    low, high = seen.min(axis=0), seen.max(axis=0)
    middle, size = (low + high) / 2, high - low
    focus = middle @ np.array((right, np.cross(away, right), away))
    camera = renderer.GetActiveCamera()
    camera.ParallelProjectionOn()
    camera.SetFocalPoint(*focus)
    camera.SetPosition(*(focus + away * (size[2] + 1)))
    camera.SetViewUp(*picture.up)
    # The scale is half the height shown, in mm.
    camera.SetParallelScale(max(size[1], size[0] * SIZE[1] / SIZE[0]) / 2 * ROOM)
    renderer.ResetCameraClippingRange()
