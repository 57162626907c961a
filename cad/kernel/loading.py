"""CadQuery loaded without what planewright never uses: half a second less at the start of every command.

`import cadquery` also loads sketches, assemblies with their solver, exporters, and the whole of VTK, of which
its shapes need six names, and those in one method. Here only its geometry and its shapes are loaded. The
package stays CadQuery's own: the first time anyone asks it for another name its `__init__` runs and the six
names are put right, so that `from cadquery import Workplane` works anywhere and gives the same classes.
"""

from __future__ import annotations

import gc
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from importlib.util import find_spec, module_from_spec
from threading import RLock
from types import ModuleType
from typing import Any

PACKAGE = "cadquery"
GEOMETRY = ("Vector", "Matrix", "Plane", "BoundBox", "Location")
SHAPES = ("Shape", "Vertex", "Edge", "Wire", "Face", "Shell", "Solid", "Compound")
DEFERRED = ("vtkmodules.vtkCommonDataModel", "vtkmodules.vtkFiltersCore", "OCP.IVtkOCC", "OCP.IVtkVTK")
_COMPLETING = RLock()


def load_cadquery() -> None:
    """Load what planewright uses of CadQuery, or all of it where its inside is not as expected.

    Does nothing when CadQuery is loaded already. Raises ImportError when it is not installed.
    """
    if PACKAGE in sys.modules:
        return
    try:
        with _no_collecting():
            _load_part()
    except (ImportError, AttributeError, TypeError):
        # Another layout than the one known here: then the whole of it, whose own errors tell best.
        for name in [name for name in sys.modules if name.split(".")[0] == PACKAGE]:
            del sys.modules[name]
        import_module(PACKAGE)


class _Partial(ModuleType):
    """CadQuery's package before its `__init__` has run; asked for a name it has not, it runs it."""

    def __getattr__(self, name: str) -> Any:
        with _COMPLETING:
            if type(self) is _Partial:
                _complete(self)
        return getattr(self, name)


class _Completing(ModuleType):
    """CadQuery's package while its `__init__` runs: other threads wait for it."""

    def __getattr__(self, name: str) -> Any:
        with _COMPLETING:
            if name in self.__dict__:
                return self.__dict__[name]
        raise AttributeError(f"module {self.__name__!r} has no attribute {name!r}")


class _Deferred:
    """A class of a module that is loaded when it is first called: used in any other way it fails at once."""

    __hash__ = None  # type: ignore[assignment]  # as a key it would be silently another than the class

    def __init__(self, module: str, name: str) -> None:
        self._module, self._name = module, name

    def __call__(self, *args: Any, **keywords: Any) -> Any:
        return self.real()(*args, **keywords)

    def real(self) -> Any:
        """Return what this stands for."""
        return getattr(import_module(self._module), self._name)


class _StandIn(ModuleType):
    """A module all of whose names are deferred."""

    def __getattr__(self, name: str) -> _Deferred:
        if name.startswith("__"):
            raise AttributeError(name)
        return _Deferred(self.__name__, name)


def _load_part() -> None:
    spec = find_spec(PACKAGE)
    if spec is None:
        raise ModuleNotFoundError(f"No module named {PACKAGE!r}", name=PACKAGE)
    package = module_from_spec(spec)
    package.__class__ = _Partial
    sys.modules[PACKAGE] = package
    with _standing_in():
        geometry, shapes = (import_module(f"{PACKAGE}.occ_impl.{name}") for name in ("geom", "shapes"))
    for module, names in ((geometry, GEOMETRY), (shapes, SHAPES)):
        for name in names:
            setattr(package, name, getattr(module, name))


@contextmanager
def _no_collecting() -> Iterator[None]:
    """Look for no rubbish meanwhile, and never in what came: tens of thousands of things, all kept."""
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        if collecting:
            gc.enable()


@contextmanager
def _standing_in() -> Iterator[None]:
    """Let stand-ins answer for the modules that are slow to load, unless they are loaded already."""
    absent = [name for name in DEFERRED if name not in sys.modules]
    sys.modules.update({name: _StandIn(name) for name in absent})
    try:
        yield
    finally:
        for name in absent:
            del sys.modules[name]


def _complete(package: ModuleType) -> None:
    """Run the package's `__init__`, and put real classes where deferred ones were."""
    package.__class__ = _Completing
    try:
        for name, module in list(sys.modules.items()):
            if name.startswith(f"{PACKAGE}."):
                _undefer(module)
        spec = package.__spec__
        assert spec is not None and spec.loader is not None  # as `_load_part` made it
        spec.loader.exec_module(package)
    except BaseException:
        package.__class__ = _Partial
        raise
    package.__class__ = ModuleType


def _undefer(module: ModuleType) -> None:
    for name, value in list(vars(module).items()):
        if isinstance(value, _Deferred):
            setattr(module, name, value.real())
