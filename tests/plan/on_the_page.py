"""What Python's half of the planner has, in the shape in which the page's half answers."""

import msgspec
from benchbell.plan.model.clamps import GUARD, WIDTH


def told(function, *given):
    """What a function of Python's half says, as the page answers."""
    return {"answer": on_the_page(function(*given))}


def on_the_page(value):
    """Any value; a struct of the planner's own gets the page's names, one of the wire keeps Python's."""
    if isinstance(value, msgspec.Struct):
        is_shared = type(value).__module__ == "benchbell.plan.model.problem"
        fields = ((name, on_the_page(getattr(value, name))) for name in value.__struct_fields__)
        return {name if is_shared else camel(name): field for name, field in fields}
    if isinstance(value, dict):
        return {str(key): on_the_page(one) for key, one in value.items()}
    if isinstance(value, (set, frozenset)):
        return sorted(value)
    return [on_the_page(one) for one in value] if isinstance(value, (list, tuple)) else value


def camel(name):
    """A field's name on the page."""
    first, *rest = name.split("_")
    return first + "".join(word.title() for word in rest)


def compiled_on_the_page(compiled):
    """A compiled problem: no guards, nothing packed, and no column or place for what is none."""
    found = on_the_page(compiled)
    del found["guards"]
    found["takes"], found["gives"] = ([counts_in(one) for one in found[name]] for name in ("takes", "gives"))
    found["free"] = free_in(compiled.free)
    found["setupMinutes"] = [[row[:-1] for row in matrix] for matrix in found["setupMinutes"]]
    if found["craft"]:
        found["craft"]["visits"] = found["craft"]["visits"][:-1]
    return found


def counts_in(packed):
    """The pairs of kind and count in what an operation takes or gives back."""
    return [[kind, count] for kind, count in enumerate(fields_in(packed)) if count]


def free_in(packed):
    """By kind, how many are free in a packed number that has all its guards."""
    return [count - GUARD for count in fields_in(packed)]


def fields_in(packed):
    """The fields of a packed number."""
    return [packed >> shift & (1 << WIDTH) - 1 for shift in range(0, packed.bit_length(), WIDTH)]
