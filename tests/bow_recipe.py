"""A bow bent in a form, for tests of fixtures: the form is sawn once for all pieces, or the shop owns it."""

START = """
title = "Bow"

[[part]]
id = "form"
stock = "birch plywood"
material = "sheet"
size = ["600 mm", "100 mm", "54 mm"]
once = true

[[part]]
id = "bundle"
stock = "white ash"
size = ["560 mm", "50 mm", "24 mm"]

[[operation]]
id = "saw-form"
once = true
parts = ["form"]
do = "Saw it to the line, tape and wax it."
minutes = 10
"""

MADE = """
[[fixture]]
id = "bow-form"
title = "Bow form"
about = "For bows."
made = ["form"]
"""

OWNED = """
[[fixture]]
id = "bow-form"
title = "Bow form"
owned = "vacuum press"
"""

REHEARSE = """
[[operation]]
id = "rehearse"
parts = ["bundle"]
dry_fit = true
do = "Bend it dry."
minutes = 5
"""

GLUE_UP = """
[[operation]]
id = "laminate"
parts = ["bundle"]
makes = "bow"
fixtures = { bow-form = 1 }
do = "Glue, stack, clamp from the middle."
minutes = 20
glue = { with = "epoxy-slow", spread = "16 min", stressed = true, joints = [{ area = "560 mm * 50 mm", count = 6 }] }
"""

LAMINATE = REHEARSE + GLUE_UP

RELEASE = """
[[operation]]
id = "release"
parts = ["bow"]
do = "Take it off."
minutes = 15
"""

BORE = """
[[operation]]
id = "bore"
parts = ["bow"]
fixtures = { bow-form = 1 }
do = "Bore it on the form."
minutes = 10
"""

UNTIL = LAMINATE.replace('do = "Glue', 'held_until = "release"\ndo = "Glue')
"""The lamination that holds the form until the bow is taken off."""
