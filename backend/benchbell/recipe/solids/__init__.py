"""From how parts lie, and the sizes as they are now, to solids in space and to what two parts share.

x goes to the right, y to the back, z up; x and y are 0 in the middle of the piece, z is 0 on the floor. Lengths in mm.

    vectors    arithmetic on points and directions
    solid      convex solids: boxes, prisms, what a plane leaves of them, what two of them share
    profiles   rabbets and mouldings along an edge
    shapes     a part in its place: its box, and what makes it more than a box
    layout     all parts of a piece, each kind after those whose faces its place uses
    contacts   which parts touch, and which share room
    way_out    whether two parts that share room can be drawn apart
    mitres     slanting faces that go right through a part, and how they close
    rabbets    what lies in a rabbet and goes into the wood behind it
    faults     what the contacts say: run through, weakened, loose, not standing
"""
