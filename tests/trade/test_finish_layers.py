"""Which finish goes over which. All of it common practice, no source."""

import pytest
from benchbell.trade.finish import finish_named, finishes
from benchbell.trade.finish_layers import LACQUER_OVER_OIL, OIL_OVER_FILM, WATER_OVER_OIL, layering

AGAINST = {
    ("waterborne", "linseed-oil"): WATER_OVER_OIL,
    ("waterborne", "oil-varnish"): WATER_OVER_OIL,
    ("lacquer", "oil-varnish"): LACQUER_OVER_OIL,
    ("lacquer", "hardwax-oil"): LACQUER_OVER_OIL,
    ("hardwax-oil", "waterborne"): OIL_OVER_FILM,
    ("penetrating-oil", "oil-varnish"): OIL_OVER_FILM,
    ("linseed-oil", "lacquer"): OIL_OVER_FILM,
    ("oil-varnish", "linseed-oil"): None,
    ("oil-varnish", "lacquer"): None,
    ("penetrating-oil", "linseed-oil"): None,
    ("lacquer", "waterborne"): None,
}


@pytest.mark.parametrize(("over", "under"), AGAINST)
def test_what_speaks_against_one_over_another(over, under):
    assert layering(finish_named(over), finish_named(under)) == AGAINST[over, under]


@pytest.mark.parametrize("name", sorted(finishes()))
def test_every_finish_goes_over_itself_and_over_and_under_shellac(name):
    finish, shellac = finish_named(name), finish_named("shellac")

    assert layering(finish, finish) is layering(finish, shellac) is layering(shellac, finish) is None
