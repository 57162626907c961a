"""One plane, worked out: the value that solids, fixtures, checks and papers are made from."""

from __future__ import annotations

from dataclasses import dataclass

from cad import soles
from cad.geometry.cheek import Escapement
from cad.geometry.iron import Iron
from cad.geometry.section import Section
from cad.geometry.sled import SledStack
from cad.geometry.sole import Sole
from cad.geometry.stages import Stages
from cad.geometry.throat import Throat
from cad.geometry.wedge import Wedge
from cad.spec import Spec
from cad.spec.bench import Work, as_built, made


@dataclass(frozen=True)
class Plan:
    """Everything that follows from a spec, for a right-hand plane; `is_left` says to mirror it in y.

    `spec` is as built: what was measured has taken the place of what was planned. `planned` is as the file
    has it, measurements beside the plan.
    """

    spec: Spec
    planned: Spec
    sole: Sole
    section: Section
    throat: Throat
    iron: Iron
    wedge: Wedge
    escapement: Escapement
    stages: Stages

    @property
    def is_left(self) -> bool:
        return self.spec.body.hand == "left"

    @property
    def made(self) -> frozenset[Work]:
        """What is made already, going by what was measured on it."""
        return made(self.planned.measured)

    @property
    def behind_throat(self) -> float:
        """Wood between throat and blind face, mm: the blind wall, but for a throat sawn otherwise."""
        return self.section.blind_face - self.throat.depth

    @property
    def sled(self) -> SledStack:
        """What stands on the table of a saw while the throat is cut."""
        return SledStack(self.spec.shop.router.sheet[2], self.section.plate, self.throat.depth)


def derive(spec: Spec) -> Plan:
    """Return the plan of a spec, as built where it was measured.

    A spec that exists is valid, so nothing here can fail.
    """
    return _plan(as_built(spec), spec)


def _plan(spec: Spec, planned: Spec) -> Plan:
    names = tuple(member.name for member in soles.sole_members(spec.sole))
    sole = Sole(spec.sole.form, soles.sole_path(spec.sole), spec.sole.relief, names, spec.sole.spring)
    section = Section(sole, spec.body.height, spec.body.thickness, spec.cheek.thickness, spec.body.shoulder)
    throat = Throat(
        spec.throat.mouth_at,
        spec.throat.mouth,
        spec.throat.bed,
        spec.throat.front,
        planned.measured.throat_depth or sole.width,
        spec.iron.thickness,
    )
    wedge = Wedge(
        throat,
        spec.body.height,
        spec.wedge.side_clearance,
        spec.wedge.tip_height,
        spec.wedge.head_height,
    )
    return Plan(
        spec=spec,
        planned=planned,
        sole=sole,
        section=section,
        throat=throat,
        iron=Iron(sole, throat, spec.iron.bevel, spec.iron.length, _iron_width(throat, sole, planned)),
        wedge=wedge,
        escapement=Escapement(wedge, section),
        stages=Stages(section, spec.body.length, spec.body.spare, spec.body.build == "laminated"),
    )


def _iron_width(throat: Throat, sole: Sole, planned: Spec) -> float:
    # One that is wider than the throat must be ground to it; one that is narrower stands by the cheek plate.
    return min(throat.depth, sole.width, planned.measured.iron_width or sole.width)
