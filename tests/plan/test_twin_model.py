"""The page's twin of the planner's model, asked the same questions as the Python half."""

import msgspec
from benchbell.plan.model.clamps import GUARD, WIDTH
from benchbell.plan.model.compiled_problem import compile_problem
from hypothesis import given, settings
from plan.problems import problems
from twins import ask_the_page

often = settings(max_examples=150, deadline=None)  # the first answer waits for node to start


def camel(name):
    """The field's name on the page."""
    first, *rest = name.split("_")
    return first + "".join(word.title() for word in rest)


def on_the_page(value):
    """A compiled struct, and all in it, with the page's names."""
    if isinstance(value, msgspec.Struct):
        named = type(value).__module__.endswith(".problem")  # these have Python's names on the page too
        return {name if named else camel(name): on_the_page(getattr(value, name)) for name in value.__struct_fields__}
    if isinstance(value, dict):
        return {str(key): on_the_page(one) for key, one in value.items()}
    if isinstance(value, (set, frozenset)):
        return sorted(value)
    return [on_the_page(one) for one in value] if isinstance(value, (list, tuple)) else value


def counts_in(packed):
    """The page's pairs of kind and count for a packed number."""
    fields = enumerate(packed >> shift & (1 << WIDTH) - 1 for shift in range(0, packed.bit_length(), WIDTH))
    return [[kind, count] for kind, count in fields if count]


def compiled_for_the_page(compiled):
    """What the page makes of the same problem: no guards, no packing, and no column or place for none."""
    found = on_the_page(compiled)
    del found["guards"]
    found["takes"], found["gives"] = [[counts_in(one) for one in found[name]] for name in ("takes", "gives")]
    found["free"] = [count - GUARD for _, count in counts_in(compiled.free)]
    found["setupMinutes"] = [[row[:-1] for row in matrix] for matrix in found["setupMinutes"]]
    if found["craft"]:
        found["craft"]["visits"] = found["craft"]["visits"][:-1]
    return found


@often
@given(problems())
def test_a_problem_compiles_to_the_same_lists_on_the_page(problem):
    assert ask_the_page("plan_compiled", problem) == {"answer": compiled_for_the_page(compile_problem(problem))}
