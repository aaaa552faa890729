from __future__ import annotations

from pathlib import Path

from cringle.web.site import DEFAULT_PORT, Site, WebSettings


def test_only_this_machine_is_asked_for_by_name(folder: Path) -> None:
    assert WebSettings(folder).hosts == {
        f"127.0.0.1:{DEFAULT_PORT}",
        f"localhost:{DEFAULT_PORT}",
        f"[::1]:{DEFAULT_PORT}",
    }


def test_addresses_of_the_network_are_added_with_their_port(folder: Path) -> None:
    settings = WebSettings(folder, 9000, ("192.168.4.20",))
    assert "192.168.4.20:9000" in settings.hosts
    assert "192.168.4.20:8040" not in settings.hosts


def test_a_site_serves_the_book_it_was_given(folder: Path) -> None:
    site = Site.of(WebSettings(folder))
    assert site.settings.folder == folder
    assert site.served.files().boat_file.boat.name == "Brindle"
    site.served.close()
