"""Programs for the router, run on paper: G-code in, what it takes off the stock out, and all that is wrong.

Knows nothing of how a program was written: `cad.routing` and this package never import each other.
"""
