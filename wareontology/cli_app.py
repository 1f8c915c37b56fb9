"""The commands about the browser's app and what is kept; `cli` adds them to its group."""

import socket
from typing import Any, Final

import click

from wareontology.errors import NotKept

PORT: Final = 8642
LOOPBACK: Final = "127.0.0.1"
NOWHERE: Final = ("192.0.2.1", 9)
"""An address for documentation (RFC 5737, TEST-NET-1): asking which way it would go sends nothing."""

records_option = click.option(
    "--records", metavar="FOLDER", default="records", show_default=True, help="Where your records are kept."
)


@click.command()
@click.option(
    "--port", type=click.IntRange(0, 65_535), default=PORT, show_default=True, help="0 takes a free one.",
)  # fmt: skip
@records_option
@click.option("--phone", is_flag=True, help="Let a phone on the same local net use it, after pairing.")
@click.option("--address", metavar="IP", help="With --phone: this machine's address on the local net.")
def serve(port: int, records: str, phone: bool, address: str | None) -> None:
    """Open the bench and the collection in a browser of this machine.

    Nothing leaves this machine. With --phone it is also reached from the local net: scan the code that is
    shown and type the six digits. Ctrl-C stops it; what was saved is on the disk.

    \b
    Example:
      wareontology serve
      wareontology serve --phone
    """
    if address is not None and not phone:
        raise click.UsageError("--address without --phone; would do: both")
    from wareontology.app import create_app

    _check_records(records)
    hosts = [LOOPBACK, *([_local_address(address)] if phone else [])]
    sockets = _sockets(hosts, port)
    number = sockets[0].getsockname()[1]
    config: dict[str, object] = {"RECORDS": records, "PHONE": phone}
    config["TRUSTED_HOSTS"] = ["localhost", LOOPBACK, "[::1]", *hosts[1:]]
    app = create_app(config)
    click.echo(f"http://{LOOPBACK}:{number}/  (records in {records}; Ctrl-C stops it)")
    if phone:
        _show_phone(app, hosts[1], number)
    _run(app, sockets)
    click.echo("Stopped. What was saved is on the disk.")


@click.command()
@click.argument("target")
@records_option
def backup(target: str, records: str) -> None:
    """Copy all records and photos to a new folder TARGET, also while they are in use.

    \b
    Example:
      wareontology backup records-2026-01-05
    """
    from wareontology.records.backup import backup as copied
    from wareontology.records.store import Store

    number = copied(Store(records, create=False), target)
    click.echo(
        f"{target}: {number:,} changes and their photos, checked. `wareontology restore` brings it back."
    )


@click.command()
@click.argument("source")
@records_option
def restore(source: str, records: str) -> None:
    """Put a backup, the folder SOURCE, in the place of the records, also while they are in use.

    What was there is kept beside, and said where.

    \b
    Example:
      wareontology restore records-2026-01-05
    """
    from wareontology.records.backup import restore as brought

    before = brought(records, source)
    click.echo(f"{records}: as {source} has it.")
    if before is not None:
        click.echo(f"What was there before is kept in {before}.")


def _check_records(folder: str) -> None:
    """Say now, not at the first save, where records cannot be used; a folder not there yet is made later."""
    from pathlib import Path

    from wareontology.records import database
    from wareontology.records.store import Store

    if (Path(folder) / database.FILE).exists():
        Store(folder)


def _local_address(given: str | None) -> str:
    """This machine's address on the local net. Raises UsageError for one that all the world may reach."""
    from ipaddress import IPv4Address, ip_address

    if given is None:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
            try:
                probe.connect(NOWHERE)
                given = str(probe.getsockname()[0])
            except OSError:
                raise NotKept(
                    "--phone: found no local net; would do: both on one net, or --address"
                ) from None
    try:
        address = ip_address(given)
    except ValueError:
        raise click.UsageError(f"--address {given}; would do: an address such as 192.168.1.20") from None
    if not isinstance(address, IPv4Address) or not address.is_private or address.is_unspecified:
        raise click.UsageError(
            f"{given} is no address of a local net; would do: --address with one such as 192.168.1.20"
        )
    return given


def _sockets(hosts: list[str], port: int) -> list[socket.socket]:
    sockets: list[socket.socket] = []
    for host in dict.fromkeys(hosts):
        try:
            sockets.append(_bound(host, port))
        except OSError as error:
            for other in sockets:
                other.close()
            with _bound(LOOPBACK, 0) as free:
                other_port = free.getsockname()[1]
            found = f"{host}, port {port}: found {error.strerror or error}"
            raise NotKept(f"{found}; would do: a free one, such as --port {other_port}") from None
        port = sockets[0].getsockname()[1]
    return sockets


def _bound(host: str, port: int) -> socket.socket:
    found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        found.bind((host, port))
        found.listen(64)
    except BaseException:
        found.close()
        raise
    return found


def _show_phone(app: Any, host: str, port: int) -> None:
    import sys

    from wareontology.app.phone import address_code, code

    address = f"http://{host}:{port}/phone/pair"
    click.echo("\nOn the phone, on the same net, scan this or open", nl=False)
    click.echo(f" {address}\n")
    address_code(address).terminal(out=sys.stdout, compact=True)
    click.echo(f"\nThen type  {code(app)[:3]} {code(app)[3:]}\n")
    click.echo(
        "Caution: what goes between the phone and this machine can be read by others on the same net."
        "\nUse a net of your own. The digits hold until this is stopped."
    )


def _run(app: Any, sockets: list[socket.socket]) -> None:
    import logging

    from waitress import serve as waitress_serve

    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # a page waits its turn: no news

    from wareontology.app.collection import MOST_IMPORTED

    cap = MOST_IMPORTED + 2**20  # the app holds all else to its own, smaller cap
    try:
        waitress_serve(app, sockets=sockets, threads=8, ident=None, max_request_body_size=cap, _quiet=True)
    except KeyboardInterrupt:
        pass
    finally:
        for each in sockets:
            each.close()
