"""Which finish goes over which. All of it common practice, no source."""

import pytest
from benchbell.trade.finish import finish_named, finishes
from benchbell.trade.finish_layers import FILM_OVER_WAX, LACQUER_OVER_OIL, OIL_OVER_FILM, WATER_OVER_OIL, layering

AGAINST = {
    ("waterborne", "linseed-oil"): WATER_OVER_OIL,
    ("waterborne", "oil-varnish"): WATER_OVER_OIL,
    ("lacquer", "oil-varnish"): LACQUER_OVER_OIL,
    ("lacquer", "hardwax-oil"): FILM_OVER_WAX,
    ("oil-varnish", "hardwax-oil-2"): FILM_OVER_WAX,
    ("penetrating-oil", "hardwax-oil"): None,
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


def test_an_oil_goes_over_shellac_that_only_seals():
    oil, varnish, shellac = (finish_named(name) for name in ("hardwax-oil", "oil-varnish", "shellac"))

    assert [layering(oil, shellac, films) for films in (1, 2, 3)] == [None, None, OIL_OVER_FILM]
    assert layering(varnish, shellac, 6) is None
