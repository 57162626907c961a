"""Checks against something outside the project: standards, handbooks, textbooks and general libraries.

Each module names its sources. The table in DEVELOPERS.md lists them with the tolerance each check allows, and
test_table.py holds that table to what is here.
"""
