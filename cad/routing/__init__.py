"""Cutter paths: what is to be cut, as programs for a router. Needs no kernel.

Frame of every program: x along the stock and y across it from its front left corner, z up from its top, mm.
"""
