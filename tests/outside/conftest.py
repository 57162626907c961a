"""Gives every check of the suite the files that one `make` wrote."""

from tests.outside.reading import output

__all__ = ["output"]
