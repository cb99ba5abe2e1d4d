"""A person at a terminal, by Python's own pseudo-terminals.

Reads {"run": [program, ...], "folder": path, "environment": {...}, "talk":
[[what is waited for, what is typed then], ...]} from standard input. Runs the
program in a terminal of 80 columns, types each answer once its question has
come, and writes {"text": all that stood on the screen, "code": exit code, or
minus the signal that ended it}. What has not come within ten minutes never will,
however busy the machine is, and fails.
"""

import fcntl
import json
import os
import pty
import select
import signal
import struct
import sys
import termios
import time

PATIENCE = 600


def start(asked):
    child, screen = pty.fork()
    if child == 0:
        # Whoever started the tests may ignore what Ctrl-C sends; a person's
        # terminal does not.
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        os.chdir(asked["folder"])
        os.execve(asked["run"][0], asked["run"], {**os.environ, **asked["environment"]})
    fcntl.ioctl(screen, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    return child, screen


def read(screen, until):
    """The next bytes on the screen; none once the program has ended."""
    ready, _, _ = select.select([screen], [], [], max(0, until - time.monotonic()))
    if not ready:
        raise TimeoutError
    try:
        return os.read(screen, 4096)
    except OSError:
        return b""


def main():
    asked = json.load(sys.stdin)
    child, screen = start(asked)
    shown, seen = b"", 0
    for awaited, typed in asked["talk"]:
        awaited, until = awaited.encode(), time.monotonic() + PATIENCE
        while (at := shown.find(awaited, seen)) < 0:
            more = read(screen, until)
            if not more:
                sys.exit(f"ended before “{awaited.decode()}”: {shown.decode()}")
            shown += more
        seen = at + len(awaited)
        os.write(screen, typed.encode())
    until = time.monotonic() + PATIENCE
    while more := read(screen, until):
        shown += more
    _, status = os.waitpid(child, 0)
    json.dump({"text": shown.decode(), "code": os.waitstatus_to_exitcode(status)}, sys.stdout)


main()
