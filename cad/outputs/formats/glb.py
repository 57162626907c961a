"""GLB (glTF 2.0, binary): the plane in metres, +Y up, one named and coloured node for each part.

Written by hand for the reason given in `stl`: a header, two chunks and no options.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cad.kernel.mesh import Mesh
from cad.outputs.files import Corner, Measure, OutFile
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.parts import Colour

# Numbers and names of the glTF 2.0 specification.
MAGIC, VERSION, JSON_CHUNK, BIN_CHUNK = 0x46546C67, 2, 0x4E4F534A, 0x004E4942
FLOAT, UNSIGNED_INT, ARRAY_BUFFER, ELEMENT_ARRAY_BUFFER, TRIANGLES = 5126, 5125, 34962, 34963, 4


def files(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield plane.glb."""
    parts = product.assembly
    if parts:
        named = [(part.name, meshes.of(part.solid), part.colour) for part in parts]
        measure = meshes.measure(*(part.solid for part in parts))
        yield OutFile("plane.glb", glb_bytes(named), measure=_in_metres(measure))


def glb_bytes(parts: Sequence[tuple[str, Mesh, Colour]]) -> bytes:
    """Return a GLB of named meshes, given in mm with z up; colours are red, green, blue as on a screen."""
    document: dict[str, Any] = {
        "asset": {"version": "2.0", "generator": "planewright"},
        "scene": 0,
        "scenes": [{"nodes": list(range(len(parts)))}],
        "nodes": [{"name": name, "mesh": i} for i, (name, _, _) in enumerate(parts)],
        "meshes": [_mesh(name, i) for i, (name, _, _) in enumerate(parts)],
        "materials": [_material(name, colour) for name, _, colour in parts],
        "accessors": [],
        "bufferViews": [],
        "buffers": [],
    }
    blobs: list[bytes] = []
    for _, mesh, _ in parts:
        points = _y_up(mesh.points / 1000).astype("<f4") + np.float32(0)
        indices = mesh.triangles.astype("<u4").reshape(-1)
        reach = {"min": points.min(axis=0).tolist(), "max": points.max(axis=0).tolist()}
        for array, kind, count, target, more in (
            (points, (FLOAT, "VEC3"), len(points), ARRAY_BUFFER, reach),
            (indices, (UNSIGNED_INT, "SCALAR"), len(indices), ELEMENT_ARRAY_BUFFER, {}),
        ):
            view, start = len(document["bufferViews"]), sum(map(len, blobs))
            data = array.tobytes()
            document["bufferViews"].append(
                {"buffer": 0, "byteOffset": start, "byteLength": len(data), "target": target}
            )
            document["accessors"].append(
                {"bufferView": view, "componentType": kind[0], "type": kind[1], "count": count, **more}
            )
            blobs.append(data)  # floats and unsigned ints: every view ends on a multiple of four bytes
    binary = b"".join(blobs)
    document["buffers"].append({"byteLength": len(binary)})
    return _container(json.dumps(document, separators=(",", ":"), sort_keys=True).encode("ascii"), binary)


def _container(words: bytes, binary: bytes) -> bytes:
    words += b" " * (-len(words) % 4)
    binary += b"\0" * (-len(binary) % 4)
    chunks = struct.pack("<II", len(words), JSON_CHUNK) + words
    chunks += struct.pack("<II", len(binary), BIN_CHUNK) + binary
    return struct.pack("<III", MAGIC, VERSION, 12 + len(chunks)) + chunks


def _mesh(name: str, i: int) -> dict[str, Any]:
    # Without normals a viewer shades each triangle flat, as the specification asks: edges stay crisp.
    primitive = {"attributes": {"POSITION": 2 * i}, "indices": 2 * i + 1, "material": i, "mode": TRIANGLES}
    return {"name": name, "primitives": [primitive]}


def _material(name: str, colour: Colour) -> dict[str, Any]:
    factor = [round(linear(c), 6) for c in colour]
    return {
        "name": name,
        "pbrMetallicRoughness": {
            "baseColorFactor": [*factor, 1.0],
            "metallicFactor": 0.0,
            "roughnessFactor": 0.8,
        },
    }


def linear(value: float) -> float:
    """Return a screen's colour value (sRGB, 0 to 1) as the linear one glTF asks for (IEC 61966-2-1)."""
    return value / 12.92 if value <= 0.04045 else float(((value + 0.055) / 1.055) ** 2.4)


def _y_up(points: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.stack([points[:, 0], points[:, 2], -points[:, 1]], axis=1)


def _in_metres(measure: Measure) -> Measure:
    (x0, y0, z0), (x1, y1, z1) = measure.low, measure.high

    def metres(x: float, y: float, z: float) -> Corner:
        return (round(x / 1000, 9) + 0.0, round(y / 1000, 9) + 0.0, round(z / 1000, 9) + 0.0)

    return Measure(measure.volume_mm3, metres(x0, z0, -y1), metres(x1, z1, -y0), "m")
