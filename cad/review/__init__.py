"""The page to look at a plane with: one file that opens anywhere, with no network and no server.

`model` says all that the page shows as one value ready for JSON; `page` makes the file of it. The markup, the
style and the scripts lie beside them, and `library` takes the 3D library out of an installed package.
"""
