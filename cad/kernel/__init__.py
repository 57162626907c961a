"""The CAD kernel behind one door: its quirks are met here, and its faults become errors that name the part.

Importing any module of this package but `lettering` and `loading` loads the kernel: two seconds, or one when
`loading` is asked first, as every command does. Nothing below this package does.
"""
