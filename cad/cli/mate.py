"""`planewright mate`: from the spec of a plane the spec of its mate."""

from __future__ import annotations

from pathlib import Path

from cad.cli.failing import failing
from cad.cli.pairing import text_of
from cad.cli.specs import refuse_family
from cad.cli.status import Status, say
from cad.cli.written import refuse_to_overwrite, write_text
from cad.geometry import derive
from cad.spec import read_spec
from cad.spec.mate import mate_of


def mate(file: Path, to: Path | None, force: bool) -> Status:
    """Write the mate's spec, and say what could not be kept and what must change before it is made.

    Raises SpecError for a faulty spec, CallError when it has no mate or the target exists. Fails, though the
    spec is written, when one of the mate's checks fails.
    """
    refuse_family(file)
    read_spec(file)  # what can be wrong with the file itself is told as `look` tells it
    found = mate_of(text_of(file), str(file))
    target = to or file.with_name(f"{found.spec.name}.toml")
    refuse_to_overwrite(target, force)
    write_text(target, found.text)
    for remark in found.remarks:
        say(remark)
    faults = failing(derive(found.spec))
    for line in faults:
        say(line)
    say(f"Wrote {target}, {found.spec.name}. Next: planewright look {target}")
    return Status.FAILED if faults else Status.DONE
