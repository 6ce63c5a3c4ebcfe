from math import ceil, floor

import msgspec
import pytest
from benchbell.findings import TooCold
from benchbell.trade.figure_grid import figure_grid
from benchbell.trade.glue import (
    assembly_minutes,
    clamp_minutes,
    glue_named,
    glues,
    machine_minutes,
    open_minutes,
    pot_minutes,
)
from hypothesis import given
from hypothesis import strategies as st


def looked_up(grid, rows, whole_celsius, humidity):
    """As the phone does it: a row by degree, a column by the first band that is not below."""
    column = next(i for i, edge in enumerate(grid.bands) if humidity <= edge)
    return rows[whole_celsius - grid.celsius_from][column]


@given(st.sampled_from(sorted(glues())), st.floats(0, 45), st.floats(0, 100))
def test_the_phone_looks_up_what_the_server_reckons_to_the_millisecond(name, celsius, humidity):
    glue = glue_named(name)
    grid = figure_grid(glue)
    cold, warm = floor(celsius), ceil(celsius)
    clamped = looked_up(grid, grid.clamp_ms, cold, humidity)
    if clamped is None:
        with pytest.raises(TooCold):
            clamp_minutes(glue, celsius, humidity, stressed=False)
        return

    assert clamped == round(clamp_minutes(glue, celsius, humidity, stressed=False) * 60_000)
    assert looked_up(grid, grid.stressed_clamp_ms, cold, humidity) == round(
        clamp_minutes(glue, celsius, humidity, stressed=True) * 60_000
    )
    assert looked_up(grid, grid.machine_ms, cold, humidity) == round(machine_minutes(glue, celsius, humidity) * 60_000)
    assert looked_up(grid, grid.open_ms, warm, humidity) == round(open_minutes(glue, celsius, humidity) * 60_000)
    assert looked_up(grid, grid.assembly_ms, warm, humidity) == round(
        assembly_minutes(glue, celsius, humidity) * 60_000
    )
    if grid.pot_ms is not None:
        assert looked_up(grid, grid.pot_ms, warm, humidity) == round(pot_minutes(glue, celsius, humidity) * 60_000)


@pytest.mark.parametrize("name", sorted(glues()))
def test_a_grid_is_small_enough_to_travel_with_every_sheet(name):
    assert len(msgspec.json.encode(figure_grid(glue_named(name)))) < 10_000


def test_colder_than_the_least_every_cell_is_empty():
    grid = figure_grid(glue_named("urea-formaldehyde"))

    assert all(cell is None for row in grid.clamp_ms[:21] + grid.open_ms[:21] for cell in row)
    assert all(cell is not None for row in grid.clamp_ms[21:] for cell in row)
