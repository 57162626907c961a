"""The CAD kernel behind one door: its quirks are met here, and its faults become errors that name the part.

Importing any module of this package but `lettering` loads the kernel (about two seconds); nothing below it
does.
"""
