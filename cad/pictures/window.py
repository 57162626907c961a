"""What this machine can draw with, when there is no display."""

from __future__ import annotations

from ctypes.util import find_library

# Software rendering first: it gives the same picture on every machine.
_WINDOWS = (("OSMesa", "vtkOSOpenGLRenderWindow"), ("EGL", "vtkEGLRenderWindow"))


def window_class() -> str:
    """Return the name of the renderer's window class to use, or nothing when the machine has none."""
    return next((window for library, window in _WINDOWS if find_library(library)), "")
