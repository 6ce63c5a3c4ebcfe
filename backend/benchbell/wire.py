"""What goes over the wire: the structs from which the page's types are generated."""

from benchbell.bench.happenings import Happening
from benchbell.recipe.sheet import Sheet

SHARED: tuple[type, ...] = (Sheet, Happening)
