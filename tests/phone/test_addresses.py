"""Where the page answers, and which printed tags carry another address."""

from __future__ import annotations

import ipaddress
from datetime import UTC, datetime

import pytest

from labels.symbols.payload import payload
from tagbench.errors import BadInput
from tagbench.phone.addresses import (
    HOME_NETWORK,
    THIS_COMPUTER,
    address_in_tags,
    check_port,
    dead_tags,
    home_addresses,
    hosts_answered,
    local_name,
    spell_host,
    split_host,
    url,
)
from tagbench.phone.connections import is_at_home
from tagbench.records import Tables, Tag

MORNING = datetime(2026, 3, 7, 9, 0, tzinfo=UTC)


@pytest.mark.parametrize("text", ["", "localhost", "127.0.0.1", " LOCALHOST "])
def test_this_computer_only(text: str) -> None:
    assert spell_host(text) == THIS_COMPUTER


@pytest.mark.parametrize("text", ["home", "Home", "0.0.0.0", "::"])
def test_the_home_network_is_chosen_by_name(text: str) -> None:
    assert spell_host(text) == HOME_NETWORK


def test_a_host_of_its_own_is_kept() -> None:
    assert spell_host("192.168.1.20") == "192.168.1.20"
    assert spell_host("Garage.local") == "garage.local"
    assert spell_host("[fd00::1]") == "fd00::1"


@pytest.mark.parametrize("text", ["a b", "http://x", "x/y", "-x", "x" * 70, "gar\u00e4ge", "a:b"])
def test_what_is_no_host_is_refused(text: str) -> None:
    with pytest.raises(BadInput, match="home for the home network"):
        spell_host(text)


@pytest.mark.parametrize("port", [-1, 0, 80, 1023, 65536])
def test_ports_that_are_refused(port: int) -> None:
    with pytest.raises(BadInput, match="from 1024 to 65535"):
        check_port(port)


def test_home_addresses_are_ipv4_and_not_loopback() -> None:
    for address in home_addresses():
        found = ipaddress.ip_address(address)
        assert found.version == 4
        assert not found.is_loopback


def test_local_name_can_stand_in_an_address() -> None:
    assert payload("TP-017-7", f"{local_name()}.local:8017").endswith(".LOCAL:8017/TP-017-7")


def test_urls() -> None:
    assert url("garage.local", 8017) == "http://garage.local:8017/"
    assert url("fd00::1", 8017) == "http://[fd00::1]:8017/"


@pytest.mark.parametrize(
    ("header", "found"),
    [
        ("GARAGE.LOCAL:8017", ("garage.local", 8017)),
        ("garage.local.", ("garage.local", 80)),
        ("[::1]:8017", ("::1", 8017)),
        ("127.0.0.1:8017", ("127.0.0.1", 8017)),
        ("", ("", 0)),
        ("a b", ("", 0)),
        ("evil.example@garage.local", ("", 0)),
        ("garage.local:8017/x", ("", 0)),
        ("garage.local:", ("", 0)),
        ("garage.local\x00", ("", 0)),
        ("garage.local:123456", ("", 0)),
    ],
)
def test_host_headers(header: str, found: tuple[str, int]) -> None:
    assert split_host(header) == found


def test_only_own_names_are_answered() -> None:
    own = hosts_answered(THIS_COMPUTER)
    assert own == {"localhost", "127.0.0.1", "::1"}
    at_home = hosts_answered(HOME_NETWORK, ["Garage.Local"])
    assert own | {"garage.local", f"{local_name()}.local"} <= at_home
    assert "evil.example" not in at_home


def test_tags_carry_no_address_that_only_this_computer_knows() -> None:
    assert address_in_tags(THIS_COMPUTER, 8017) == ""
    assert address_in_tags("127.0.0.2", 8017) == ""
    assert address_in_tags("192.168.1.20", 8017) == "192.168.1.20:8017"
    assert address_in_tags(HOME_NETWORK, 8017, "garage") == "garage.local:8017"


def test_printed_tags_that_a_camera_cannot_open_are_counted() -> None:
    tags = [
        Tag(code="TP-001-L", printed=MORNING, address="garage.local:8017"),
        Tag(code="TP-002-J", printed=MORNING, address="OLD.local:8017"),
        Tag(code="TP-003-H", printed=MORNING),
        Tag(code="TP-004-F", address="old.local:8017"),
        Tag(code="TP-005-D", kind="gone", printed=MORNING, address="old.local:8017"),
        Tag(code="TP-006-B", kind="spare", printed=MORNING, address="old.local:8017"),
    ]
    tables = Tables(tags={tag.code: tag for tag in tags})
    dead = dead_tags(tables, "Garage.local:8017")
    assert [tag.code for tag in dead] == ["TP-002-J", "TP-003-H", "TP-006-B"]
    # Without an address the bare code is what is printed, and only the others are old.
    assert [tag.code for tag in dead_tags(tables, "")] == ["TP-001-L", "TP-002-J", "TP-006-B"]


@pytest.mark.parametrize(
    ("address", "inside"),
    [
        # RFC 1918, RFC 3927, RFC 4193, RFC 4291 and RFC 6598 (from memory).
        ("192.168.1.7", True),
        ("10.0.0.4", True),
        ("172.31.255.1", True),
        ("169.254.3.4", True),
        ("100.64.0.1", True),
        ("127.0.0.1", True),
        ("::1", True),
        ("fe80::1%wlan0", True),
        ("fd12::1", True),
        ("::ffff:192.168.1.7", True),
        ("11.12.13.14", False),
        ("172.32.0.1", False),
        ("2a00::1", False),
        ("::ffff:11.12.13.14", False),
        ("", False),
        ("garage", False),
    ],
)
def test_only_addresses_of_a_home_network_are_let_in(address: str, inside: bool) -> None:
    assert is_at_home(address) is inside
