"""Benchbell: build recipes, parts, glue clocks and logs for a furniture maker's shop."""
