"""What every DXF written here has in common: the same document gives the same bytes. Loads no kernel."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from io import StringIO

import ezdxf
from ezdxf.document import Drawing


@contextmanager
def fixed_dates() -> Iterator[None]:
    """Have ezdxf write fixed dates and ids in place of the clock and random ones."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def dxf_bytes(document: Drawing) -> bytes:
    """Return a document as the bytes of its file."""
    # Left to itself ezdxf adds these in the order of a set, which is another in every process.
    for kind in sorted(document.entitydb.dxf_types_in_use()):
        document.classes.add_class(kind)
    stream = StringIO()
    with fixed_dates():
        document.write(stream)
    return stream.getvalue().encode(document.output_encoding)
