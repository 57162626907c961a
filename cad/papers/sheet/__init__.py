"""Sheets to read at the bench: a document as data, and one renderer each for PDF and for HTML.

`document` says what a sheet holds, `as_pdf` and `as_html` draw the same content; neither knows of planes.
"""
