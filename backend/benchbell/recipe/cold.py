"""Whether the shop is too cold for what an operation glues or coats, and the sentence that says so."""

from benchbell.recipe.sheet import Operation
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.trade.air import degrees
from benchbell.trade.finish import finish_named
from benchbell.trade.glue import glue_named


def too_cold(op: Operation, shop: ShopProfile) -> str:
    """Why an operation is not done at the shop's usual temperature: a sentence; "" when it is warm enough.

    Below a glue's least temperature no time in clamps proves anything, so none may be told as if it did.
    """
    if op.glue:
        stuff, least = op.glue, glue_named(op.glue, shop.labels.get(op.glue)).least_celsius
    elif op.finish:
        stuff, least = op.finish, finish_named(op.finish).least_celsius
    else:
        return ""
    if shop.celsius >= least:
        return ""
    return f"Not at this temperature: {degrees(shop.celsius)} in the shop, {stuff} needs at least {degrees(least)}."
