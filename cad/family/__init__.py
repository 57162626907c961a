"""A graded family of planes from one short file: sizes from a list or a rule, all else shared or scaled.

The file is a spec without form and radius, whose tables hold for every plane, and a table [family]:

- `forms`: the forms made in each size; round and hollow when not given
- `radii`, or `widths` where the forms are mouldings: the sizes themselves; or `first` and `step` with
  `count` or `last`
- `scale`: for any key that is a number its value at the smallest and at the largest size, straight between

`[plane.03]` changes keys for both planes of the third size, `[plane.03-round]` for one of them.
"""

from cad.family.model import Family, Member
from cad.family.reader import family_of, is_family, read_family

__all__ = ["Family", "Member", "family_of", "is_family", "read_family"]
