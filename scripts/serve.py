"""Sets everything up, builds the handbook, and serves it here and to the phone beside the loom.

python scripts/serve.py [--port 8000] [--dev] [--only-here] [--guild FOLDER]
"""

import argparse
import subprocess
import sys
import threading
import time
from pathlib import Path

sys.path[0] = str(Path(__file__).resolve().parent.parent)

from scripts.setting_up import environment  # noqa: E402 - found only after the line above
from scripts.setting_up.environment import ROOT, SetupError, say  # noqa: E402

SITE = ROOT / "site"
PAUSE = 0.7  # seconds between two looks at the files


def build(address: str, guild: Path | None) -> bool:
    """Build in a process of its own, so that changed code is always read anew.

    A guild's edition is made to be put on the web, wherever that may be.
    """
    made_for = ["--guild", str(guild)] if guild else ["--address", address]
    command = [sys.executable, "-m", "scripts.build", *made_for, "--site", str(SITE)]
    process = subprocess.run(
        command,
        cwd=ROOT,
        env=environment.clean_environment(),
        check=False,
        stdin=subprocess.DEVNULL,
    )
    return process.returncode == 0


def rebuild_on_change(address: str, guild: Path | None) -> None:
    """Watch the files that the site is made from and build again after every change."""
    from scripts.build import input_files  # noqa: PLC0415 - only inside the environment

    def look() -> dict[Path, int]:
        seen = {}
        for path in input_files(guild):
            try:
                seen[path] = path.stat().st_mtime_ns
            except FileNotFoundError:  # gone since it was listed
                continue
        return seen

    before = look()
    while True:
        time.sleep(PAUSE)
        now = look()
        if now != before:
            before = now
            say("Something changed: building again")
            say(
                "Reload the page."
                if build(address, guild)
                else "The last good site stays as it is."
            )


def introduce(address: str, port: int, *, only_here: bool) -> None:
    """Say where the handbook is, here and on a phone."""
    from scripts.web_server import address_in_the_network  # noqa: PLC0415

    say(f"\nThe handbook is at\n\n    {address}\n")
    network = "" if only_here else address_in_the_network(port)
    if network:
        import segno  # noqa: PLC0415 - only inside the environment

        say(f"On a phone in the same network, point the camera at this or type\n\n    {network}\n")
        segno.make(network).terminal(compact=True)
        say(
            "\nIf the phone does not find it: is it in the same wireless network, and does this\n"
            "machine's firewall let it in? Over plain http a phone reads and calculates; keeping\n"
            "the handbook for use without a signal needs https, so put the folder “site” on any\n"
            "web space for that."
        )
    elif not only_here:
        say("No network was found, so only this machine can open it.")
    say("\nStop with Ctrl+C.")


def main() -> int:
    """Set up, build, serve."""
    parser = argparse.ArgumentParser(description="Build the handbook and serve it.")
    parser.add_argument("--port", type=int, default=8000, help="the port to serve on (8000)")
    parser.add_argument("--dev", action="store_true", help="build again on every change")
    parser.add_argument(
        "--only-here", action="store_true", help="serve this machine alone, not its network"
    )
    parser.add_argument(
        "--guild",
        type=lambda folder: Path(folder).resolve(),
        metavar="FOLDER",
        help="make an edition with the examples of your guild, which lie in this folder",
    )
    options = parser.parse_args()
    environment.enter()

    from scripts.setting_up.node import install_node_packages  # noqa: PLC0415 - only inside
    from scripts.web_server import Server  # noqa: PLC0415 - the environment

    try:
        server = Server(SITE, options.port, "127.0.0.1" if options.only_here else "0.0.0.0")
    except (OSError, OverflowError) as problem:
        say(
            f"Port {options.port} cannot be used ({problem}). Perhaps the handbook is being served "
            f"already. Another port works like this: python scripts/serve.py --port 8123"
        )
        return 1
    with server:
        try:
            install_node_packages()
            if not build(server.address, options.guild):
                return 1
            introduce(server.address, server.server_port, only_here=options.only_here)
            if options.guild:
                say(
                    f"\nThe folder {SITE} is your guild's edition: put everything in it on your "
                    "web space.\nHow is told on its page “An edition of your own”."
                )
            if options.dev:
                threading.Thread(
                    target=rebuild_on_change,
                    args=(server.address, options.guild),
                    daemon=True,
                ).start()
            server.serve_forever()
        except SetupError as problem:
            say(str(problem))
            return 1
        except KeyboardInterrupt:
            say("\nStopped.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
