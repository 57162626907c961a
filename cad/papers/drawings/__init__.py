"""Measured drawings: one sheet for each part and fixture, laid out by published drawing practice.

A sheet is a value: views (lines in mm, as they are on the part) with their marks, each mark with the
dimension it prints. `layout` gives every view a scale and a place, `document` draws the sheet as a DXF
document in mm of paper, `ink` reads that document back as strokes, fills and words, and `pdf` and `svg` write
them. Sheets are found by looking into `sheets`.
"""
