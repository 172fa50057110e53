"""How much memory a server takes: after its start, after a thousand rounds, and at its most during a backup.

.venv/bin/python tests/bench/memory.py
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

TOP = Path(__file__).parents[2]
sys.path[:0] = [str(TOP / "server"), str(TOP / "tests" / "server"), str(TOP / "tests" / "server" / "cli")]

from running import RunningServer, let_in, make_command, make_environment, prepare  # noqa: E402
from samples import make_event, make_round  # noqa: E402

ROUNDS, EVENTS_A_ROUND = 200, 500


def read_mib(pid: int, key: str) -> float:
    lines = Path(f"/proc/{pid}/status").read_text().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith(key)) / 1024


def main() -> None:
    with tempfile.TemporaryDirectory(dir=TOP) as temporary:
        folder = Path(temporary)
        prepare(folder)
        server = RunningServer(folder)
        pid = server.process.pid
        print(f"after its start                {read_mib(pid, 'VmRSS:'):6.1f} MiB")
        with server.open_client() as client:
            let_in(client, server.code)
            epoch = client.get("/api/health").json()["epoch"]
            cursor = 0
            for turn in range(ROUNDS):
                events = [make_event(turn * EVENTS_A_ROUND + n) for n in range(1, EVENTS_A_ROUND + 1)]
                answer = client.post("/api/sync", json=make_round(*events, epoch=epoch, cursor=cursor))
                cursor = answer.json()["cursor"]
        print(
            f"after {ROUNDS * EVENTS_A_ROUND:,} entries in {ROUNDS} rounds {read_mib(pid, 'VmRSS:'):6.1f} MiB"
        )
        start = time.perf_counter()
        backup = subprocess.Popen(
            make_command(folder, "backup"), env=make_environment(), stdout=subprocess.PIPE, text=True
        )
        most = 0.0
        while backup.poll() is None:
            try:
                most = max(most, read_mib(backup.pid, "VmHWM:"))
            except (OSError, StopIteration):
                break
            time.sleep(0.02)
        said, _ = backup.communicate()
        print(f"a backup at its most           {most:6.1f} MiB, {time.perf_counter() - start:.1f} s")
        print(said.splitlines()[-1])
        server.stop()


if __name__ == "__main__":
    main()
