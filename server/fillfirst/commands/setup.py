"""init, unit: setting a server up for the phones of a house."""

from __future__ import annotations

import argparse
import getpass
import shlex
import socket
import sys
from pathlib import Path
from urllib.parse import urlsplit

from fillfirst.commands.flags import Commands, Options, add_command, add_data
from fillfirst.errors import SettingsError
from fillfirst.settings import FILE, bracket, read_file, read_settings, write_file
from fillfirst.web.server import read_clock

PORT, SETUP_PORT = 8765, 8764
# What is decided anew each time; whatever else a keeper wrote into the file stays.
OWN = ("origin", "names", "host", "port", "setup_port", "tls_cert", "tls_key", "behind_proxy")
ADVICE = """\
Phones keep what they record under the server's name. Choose one that will stay: with another name, or another
port, every phone begins anew with nothing in it. Good names are, the best first:
  a name of your own domain, if the network at home answers for it;
  a name that your router gives, such as garage.home.arpa;
  the name of this machine with .local, which some Android phones do not find;
  an address that your router keeps for this machine, such as 192.168.1.5."""


def init(options: Options) -> int:
    """Choose the one name, make or take what https needs, and write it all down."""
    from fillfirst.access.authority import read_name

    anew = bool(options.pop("new_authority"))
    given: list[str] = options.pop("names") or []
    data = read_settings(**options).data
    names = [read_name(name) for name in given or [_ask_name()]]
    chosen: dict[str, object] = {}
    if options["tls_key"] and not options["tls_cert"]:
        raise SettingsError("--tls-key", "a key without its certificate", "--tls-cert beside it")
    is_own = not options["behind_proxy"] and not options["tls_cert"]
    port = options["port"] or PORT
    if options["behind_proxy"]:
        chosen |= {"behind_proxy": True, "origin": f"https://{bracket(names[0])}"}
    else:
        chosen |= {"origin": f"https://{bracket(names[0])}" + ("" if port == 443 else f":{port}")}
    if options["origin"]:
        chosen["origin"] = options["origin"]
        names = list(dict.fromkeys([read_name(urlsplit(str(chosen["origin"])).hostname or ""), *names]))
    chosen |= {
        "host": options["host"] or ("127.0.0.1" if options["behind_proxy"] else "0.0.0.0"),
        "port": port,
    }
    if is_own:
        from fillfirst.access.certificate import found_authority

        names = list(dict.fromkeys([*names, *_find_addresses()]))
        certificate = found_authority(data, names, anew=anew, now_ms=read_clock())
        setup_port = SETUP_PORT if options["setup_port"] is None else options["setup_port"]
        chosen |= {"tls_cert": str(certificate.relative_to(data)), "setup_port": setup_port}
    elif options["tls_cert"]:
        chosen |= {"tls_cert": str(options["tls_cert"].absolute())}
        chosen |= {"tls_key": str(options["tls_key"].absolute())} if options["tls_key"] else {}
        _check_certificate(chosen, data, names)
    chosen["names"] = names
    kept = {name: value for name, value in read_file(data / FILE).items() if name not in OWN}
    write_file(data / FILE, kept | chosen)
    settings = read_settings({}, data=data)
    print("\n".join(_say_done(data, settings.address, is_own, settings.setup_port, names)))
    return 0


def _ask_name() -> str:
    suggested = f"{socket.gethostname().partition('.')[0].lower()}.local"
    if not sys.stdin.isatty():
        raise SettingsError("--name", "no name, and nobody to ask", "the one name that phones will use")
    print(ADVICE)
    return input(f"The name that phones will use [{suggested}]: ").strip() or suggested


def _find_addresses() -> list[str]:
    """This machine's own address inside the house, if it has one. Nothing is sent."""
    from fillfirst.access.authority import is_inside, read_address

    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            # Connecting such a socket only chooses the way out.
            probe.connect(("10.255.255.255", 9))
            found = read_address(probe.getsockname()[0])
        except OSError:
            return []
    return [str(found)] if found is not None and is_inside(found) and not found.is_loopback else []


def _check_certificate(chosen: dict[str, object], data: Path, names: list[str]) -> None:
    from fillfirst.access.certificate import ServedCertificate

    key = chosen.get("tls_key")
    ServedCertificate(Path(str(chosen["tls_cert"])), Path(str(key)) if key else None, data=data, names=names)


def _say_done(data: Path, address: str, is_own: bool, setup_port: int, names: list[str]) -> list[str]:
    lines = [f"Phones will use {address}", f"Written to {data / FILE}"]
    if is_own:
        from fillfirst.access.authority import write_fingerprint
        from fillfirst.access.certificate import FOLDER, read_authority

        authority = read_authority(data)
        assert authority is not None
        lines += [
            "The authority of this house has the fingerprint (SHA-256)",
            f"  {write_fingerprint(authority)}",
            f"Seal your backups, or keep a copy of {data / FOLDER}: without it every phone has to trust",
            "another authority. Whoever has it can pose as this server, and as no other.",
        ]
    lines += ["", f"Start it with         fillfirst serve{_name_data(data)}"]
    lines += [f"or at every start     fillfirst unit{_name_data(data)}"]
    if setup_port:
        lines += ["then, on each phone, open one of"]
        lines += [f"  http://{bracket(name)}:{setup_port}/setup" for name in names]
    else:
        lines += [f"then, on each phone, open {address}/setup"]
    return lines


def _name_data(data: Path) -> str:
    return "" if data == read_settings({}).data else f" --data {shlex.quote(str(data.absolute()))}"


UNIT = """\
# Put this into /etc/systemd/system/fillfirst.service, then: systemctl enable --now fillfirst
[Unit]
Description=fillfirst
After=network-online.target
Wants=network-online.target

[Service]
Type=notify
WatchdogSec=60
User={user}
ExecStart={command} serve --data {data}
ExecReload=/bin/kill -HUP $MAINPID
Restart=on-failure
RestartSec=2
TimeoutStopSec=20
UMask=0077
NoNewPrivileges=yes
ProtectSystem=strict
ProtectHome=read-only
ReadWritePaths={data}
PrivateTmp=yes
PrivateDevices=yes
ProtectKernelTunables=yes
ProtectKernelModules=yes
ProtectControlGroups=yes
RestrictAddressFamilies=AF_INET AF_INET6 AF_UNIX
RestrictNamespaces=yes
LockPersonality=yes
SystemCallArchitectures=native
CapabilityBoundingSet={capabilities}
AmbientCapabilities={capabilities}

[Install]
WantedBy=multi-user.target
"""
LOW_PORT = 1024


def unit(options: Options) -> int:
    """Print a unit for the service manager; where it goes is said in its first line."""
    user: str = options.pop("user") or getpass.getuser()
    settings = read_settings(**options)
    ports = (settings.port, settings.setup_port)
    capabilities = "CAP_NET_BIND_SERVICE" if any(0 < port < LOW_PORT for port in ports) else ""
    print(
        UNIT.format(
            user=user,
            command=f"{_quote(sys.executable)} -m fillfirst",
            data=_quote(str(settings.data.absolute())),
            capabilities=capabilities,
        ),
        end="",
    )
    return 0


def _quote(path: str) -> str:
    """A path as a unit file has it: in quotes where it has blanks, and its own signs told apart."""
    path = path.replace("\\", "\\\\").replace('"', '\\"').replace("%", "%%").replace("$", "$$")
    return f'"{path}"' if " " in path or '"' in path else path


def add(commands: Commands) -> None:
    one = add_command(commands, "init", init, help="set this server up for the phones of a house")
    add_data(one)
    one.add_argument(
        "--name", dest="names", action="append", help="the one name phones will use; repeated: others it has"
    )
    add_https(one)
    one.add_argument("--host", help="the address to listen on (0.0.0.0, behind a proxy 127.0.0.1)")
    one.add_argument("--port", type=int, help=f"the port to listen on ({PORT})")
    one.add_argument(
        "--new-authority", action="store_true", help="make another authority for phones to trust"
    )

    one = add_command(commands, "unit", unit, help="print a unit file for the system's service manager")
    add_data(one)
    one.add_argument("--user", help="whom the server runs as (you)")


def add_https(parser: argparse.ArgumentParser) -> None:
    """How browsers reach the server over https."""
    parser.add_argument("--origin", metavar="URL", help="the one address that phones use")
    parser.add_argument("--tls-cert", metavar="FILE", type=Path, help="a certificate of your own, as PEM")
    parser.add_argument("--tls-key", metavar="FILE", type=Path, help="its key, if that is in another file")
    parser.add_argument(
        "--behind-proxy",
        action="store_true",
        default=None,
        help="a proxy in front of this server has the certificate",
    )
    parser.add_argument(
        "--setup-port", type=int, help="the port of the plain page from which phones take the authority"
    )
