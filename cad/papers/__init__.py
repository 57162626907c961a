"""The papers: true-size templates, drawings and sheets as pages, one file for each kind.

A paper is reached through its thin module in `cad.outputs.formats`, which yields its files.
"""
