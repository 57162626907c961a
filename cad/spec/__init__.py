"""The spec of one plane: a TOML file read, completed by the rules of the trade, and proved possible."""

from cad.fields import Origin
from cad.spec.keys import Key, keys
from cad.spec.model import Spec
from cad.spec.reader import parse_spec, read_spec
from cad.spec.starter import starter

__all__ = ["Key", "Origin", "Spec", "keys", "parse_spec", "read_spec", "starter"]
