"""Whom an address stands for."""

import pytest
from benchbell.web.client_address import address_group


@pytest.mark.parametrize(
    ("host", "group"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("::ffff:192.0.2.7", "192.0.2.7"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"),
        ("2001:db8:1:2::9", "2001:db8:1:2::/64"),
        ("2001:db8:1:3::9", "2001:db8:1:3::/64"),
        ("2001:db8::9", "2001:db8::/64"),
        ("fe80::1", "fe80::/64"),
        ("fe80::2%eth0", "fe80::/64"),
        ("::1", "::/64"),
        ("", ""),
        ("testclient", "testclient"),
    ],
)
def test_one_client_is_an_ipv4_address_or_a_whole_ipv6_network(host, group):
    assert group == address_group(host)
