"""What `look` shows: every dimension with where it comes from, and every check, as text and as JSON."""

from cad.report.collect import dimensions
from cad.report.data import look_json
from cad.report.dimension import Dimension
from cad.report.text import look_text

__all__ = ["Dimension", "dimensions", "look_json", "look_text"]
