"""Boards that must be dry before they are cut, for tests of sizes with bounds: the moisture is measured until it is."""

DRY = """
title = "Shelf"

[size]
moisture = { plan = "8 %", measure = "With the meter, in three places.", most = "9 %" }

[[part]]
id = "board"
count = 2
stock = "white ash"
size = ["800 mm", "200 mm", "20 mm"]

[[operation]]
id = "measure"
title = "Measure the moisture"
parts = ["board"]
do = "Measure it."
measure = ["moisture"]
minutes = 5

[[operation]]
id = "cut"
title = "Cut to length"
parts = ["board"]
do = "Cut them to length."
minutes = 20

[[operation]]
id = "plane"
title = "Plane"
parts = ["board"]
do = "Plane them."
minutes = 30
"""
"""A board of each piece is measured, then cut, then planed."""
