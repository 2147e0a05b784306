"""The listening socket, and the addresses under which a phone in the house finds it."""

import os
import socket

from . import CannotOpen

USUAL_PORT = 8020


def listen(host: str, port: int | None) -> tuple[socket.socket, str]:
    """A bound socket and a sentence about its port: empty when it is the one that was wanted."""
    wanted = port or USUAL_PORT
    try:
        return _bind(host, wanted), ""
    except (OSError, OverflowError) as error:
        reason = _reason(error, host, wanted)
        if reason is None:
            raise CannotOpen(f"Dryby cannot listen at {host}, port {wanted}: {error}.") from error
    free, number = _next_free(host, wanted)
    if port is None:
        return free, f"{reason} This time it is port {number}."
    free.close()
    raise CannotOpen(f"{reason} Port {number} is free: python3 manage.py open --port {number}")


def lan_address() -> str | None:
    """This machine's address in the house; None without a network. Nothing is sent."""
    try:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
            probe.connect(("192.0.2.1", 9))  # an address set aside for examples: only the route is looked up
            address = probe.getsockname()[0]
    except OSError:
        return None
    return None if address.startswith(("127.", "0.")) else address


def _bind(host: str, port: int) -> socket.socket:
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if os.name != "nt":  # there the option would let two programs share a port
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind((host, port))
        # Listening now, not later: on Linux two sockets may bind the same port as long as none listens.
        listener.listen(128)
    except BaseException:
        listener.close()
        raise
    return listener


def _next_free(host: str, after: int) -> tuple[socket.socket, int]:
    for number in range(after + 1, after + 200):
        try:
            return _bind(host, number), number
        except (OSError, OverflowError):
            continue
    raise CannotOpen(f"No port from {after} to {after + 199} is free.")


def _reason(error: Exception, host: str, port: int) -> str | None:
    if isinstance(error, PermissionError):
        return f"Port {port} needs more rights than you have."
    if isinstance(error, OSError) and error.errno in _BUSY:
        return f"Port {port} is busy."
    return None


_BUSY = {
    98,
    48,
    10048,
    10013,
}  # "address in use" on Linux, macOS, Windows; and Windows' "access denied" for it
