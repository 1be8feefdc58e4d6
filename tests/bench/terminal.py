"""A program in a pseudo terminal, and how soon it writes what."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import signal
import struct
import sys
import termios
from collections.abc import Sequence
from pathlib import Path
from time import perf_counter, sleep

ESCAPES = re.compile(rb"\x1b(?:\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)|[@-Z\\-_])")
PATIENCE = 30.0
"""Seconds after which something never comes."""
KEYS = {
    "down": "\x1b[B",
    "up": "\x1b[A",
    "pagedown": "\x1b[6~",
    "pageup": "\x1b[5~",
    "end": "\x1b[F",
    "home": "\x1b[H",
    "enter": "\r",
    "escape": "\x1b",
    "quit": "\x11",
}
"""What a terminal sends for keys that are no letters."""


class Terminal:
    """A Python program on a terminal of its own; times are seconds."""

    def __init__(self, arguments: Sequence[str], size: tuple[int, int] = (120, 40)) -> None:
        self.began = perf_counter()
        self.process, self.master = pty.fork()
        if not self.process:
            kept = {key: os.environ[key] for key in ("PATH", "HOME", "LANG") if key in os.environ}
            here = str(Path(__file__).parents[2])
            environment = {**kept, "TERM": "xterm-256color", "PYTHONPATH": here}
            width, height = size
            fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))
            os.execve(sys.executable, [sys.executable, *arguments], environment)
        self.written = b""

    def read(self, patience: float) -> bool:
        """Take what is written within so many seconds; whether anything was."""
        ready, _, _ = select.select([self.master], [], [], patience)
        if not ready:
            return False
        try:
            self.written += os.read(self.master, 1 << 16)
        except OSError:  # it has ended
            return False
        return True

    def wait_for(self, text: str) -> float:
        """Seconds from the beginning till a text is drawn."""
        wanted = text.encode()
        while wanted not in ESCAPES.sub(b"", self.written):
            late = perf_counter() - self.began > PATIENCE
            if late or (not self.read(1.0) and not self.alive):
                shown = ESCAPES.sub(b"", self.written).decode(errors="replace")
                raise TimeoutError(f"“{text}” was never drawn; there was: {shown[-2000:]}")
        return perf_counter() - self.began

    def rest(self, silence: float) -> None:
        """Wait till nothing has been written for so many seconds."""
        while self.read(silence):
            pass

    def press(self, key: str, silence: float) -> float | None:
        """Seconds from a key to the last thing written for it; None where nothing was."""
        self.written = b""
        began = perf_counter()
        last: float | None = None
        os.write(self.master, KEYS.get(key, key).encode())
        while self.read(silence):
            last = perf_counter() - began
        if not self.alive:
            shown = ESCAPES.sub(b"", self.written).decode(errors="replace")
            raise RuntimeError(f"the program ended at “{key}”: {shown[-2000:]}")
        return last

    @property
    def spent(self) -> float:
        """Processor seconds it has spent: on a machine that others load, they tell more."""
        try:
            told = Path(f"/proc/{self.process}/stat").read_text(encoding="utf-8")
        except OSError:
            return 0.0  # only Linux says
        user, system = told.rsplit(")", 1)[1].split()[11:13]
        return (int(user) + int(system)) / os.sysconf("SC_CLK_TCK")

    @property
    def alive(self) -> bool:
        """Whether the program still runs."""
        return os.waitpid(self.process, os.WNOHANG) == (0, 0)

    def close(self) -> None:
        """End the program, as a maker would; if need be, otherwise."""
        try:
            os.write(self.master, KEYS["quit"].encode())
            for _ in range(100):
                self.read(0.02)
                if not self.alive:
                    return
                sleep(0.01)
            os.kill(self.process, signal.SIGKILL)
            os.waitpid(self.process, 0)
        except (OSError, ChildProcessError):
            pass
        finally:
            os.close(self.master)
