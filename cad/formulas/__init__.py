"""Closed forms in plain numbers, mm and degrees. Nothing here knows of specs, files or the CAD kernel."""
