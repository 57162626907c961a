"""Dimensions worked out from a plan, one file per part: each offers `dimensions(plan)`."""
