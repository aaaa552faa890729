"""Run a program under ptrace(2) and list the system calls that decide what survives a power cut.

Python has no hook for ``fsync`` and SQLite calls it from C, so the calls are looked at where they meet the
kernel. Linux on x86-64 only. System call numbers: Linux, arch/x86/entry/syscalls/syscall_64.tbl.
"""

from __future__ import annotations

import ctypes
import os
import platform
import signal
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

TRACE_ME, PEEK_USER, SYSCALL, SET_OPTIONS = 0, 3, 24, 0x4200
MARK_SYSCALLS = 1
AT_CALL = signal.SIGTRAP | 0x80
WORD = 8
RDI, RSI, R10, RAX_BEFORE = 14 * WORD, 13 * WORD, 7 * WORD, 15 * WORD

CALLS = {
    1: "write",
    18: "pwrite64",
    74: "fsync",
    75: "fdatasync",
    82: "rename",
    264: "renameat",
    316: "renameat2",
    86: "link",
    265: "linkat",
}

AVAILABLE = sys.platform == "linux" and platform.machine() == "x86_64"


@dataclass(frozen=True)
class Call:
    """One system call: its name, and the file it is about (for renames the new name)."""

    name: str
    path: str


def _library() -> ctypes.CDLL:
    library = ctypes.CDLL(None, use_errno=True)
    library.ptrace.restype = ctypes.c_long
    library.ptrace.argtypes = [ctypes.c_long, ctypes.c_long, ctypes.c_void_p, ctypes.c_void_p]
    return library


def traced(act: Callable[[], None]) -> list[Call]:
    """Run something in a forked child and return its writes, syncs, links and renames in order."""
    library = _library()
    child = os.fork()
    if child == 0:
        library.ptrace(TRACE_ME, 0, None, None)
        os.kill(os.getpid(), signal.SIGSTOP)
        try:
            act()
        finally:
            os._exit(0)
    os.waitpid(child, 0)
    if library.ptrace(SET_OPTIONS, child, None, MARK_SYSCALLS) != 0:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        raise PermissionError("ptrace is not allowed here")
    return _follow(library, child)


def _follow(library: ctypes.CDLL, child: int) -> list[Call]:
    calls: list[Call] = []
    entering, deliver = True, 0
    while True:
        library.ptrace(SYSCALL, child, None, deliver or None)
        _, status = os.waitpid(child, 0)
        if os.WIFEXITED(status) or os.WIFSIGNALED(status):
            return calls
        stopped = os.WSTOPSIG(status)
        deliver = 0 if stopped == AT_CALL else stopped
        if stopped != AT_CALL:
            continue
        if entering:
            number = library.ptrace(PEEK_USER, child, RAX_BEFORE, None)
            if number in CALLS:
                calls.append(Call(CALLS[number], _about(library, child, CALLS[number])))
        entering = not entering


def _about(library: ctypes.CDLL, child: int, name: str) -> str:
    if name in ("write", "pwrite64", "fsync", "fdatasync"):
        handle = library.ptrace(PEEK_USER, child, RDI, None)
        try:
            return str(Path(f"/proc/{child}/fd/{handle}").readlink())
        except OSError:
            return "?"
    place = RSI if name in ("rename", "link") else R10
    return _text(child, library.ptrace(PEEK_USER, child, place, None))


def _text(child: int, address: int) -> str:
    with Path(f"/proc/{child}/mem").open("rb", buffering=0) as memory:
        memory.seek(address & (1 << 64) - 1)
        return memory.read(512).split(b"\0", 1)[0].decode()
