"""Which network addresses are counted as one client."""

from ipaddress import IPv6Address, IPv6Network, ip_address


def address_group(host: str) -> str:
    """An IPv4 address, or the /64 network of an IPv6 address, because one client has all addresses of its network.

    An IPv4 address that a socket for both versions shows as IPv6 stays that IPv4 address. Any other text is unchanged.
    """
    try:
        address = ip_address(host)
    except ValueError:
        return host
    if not isinstance(address, IPv6Address):
        return str(address)
    return str(address.ipv4_mapped or IPv6Network((int(address), 64), strict=False))
