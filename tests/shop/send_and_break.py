#!/usr/bin/env python3
"""send_and_break.py PORT URL OFFSET STOP HOW FILE: one PATCH of the file from OFFSET, broken after STOP bytes of its body.

HOW: cut, reset, half (the sending side is closed first), left (the connection stays open for three seconds), kill (somebody else ends it),
whole (nothing is broken). The kernel may hold 32 KiB, so that what it took was sent but for those. Prints "sent N" when N bytes are
out, and "status S" for an answer that came.
"""
import os
import re
import select
import socket
import struct
import sys
import time

port, url, offset, stop, how, name = int(sys.argv[1]), sys.argv[2], int(sys.argv[3]), int(sys.argv[4]), sys.argv[5], sys.argv[6]
size = os.path.getsize(name)
s = socket.socket()
s.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, 16 << 10)
s.connect(("127.0.0.1", port))
head = (f"PATCH {url} HTTP/1.1\r\nhost: x\r\ntus-resumable: 1.0.0\r\nupload-offset: {offset}\r\n"
        f"content-type: application/offset+octet-stream\r\ncontent-length: {size - offset}\r\n\r\n")
s.sendall(head.encode())
s.setblocking(False)


def status(patience):
    """Of the answer: its number, or 0 where none came."""
    said = b""
    until = time.monotonic() + patience
    while b"\r\n\r\n" not in said and time.monotonic() < until:
        if not select.select([s], [], [], max(0, until - time.monotonic()))[0]:
            break
        try:
            piece = s.recv(65536)
        except OSError:
            break
        if not piece:
            break
        said += piece
    found = re.match(rb"HTTP/1\.1 (\d+)", said)
    return int(found[1]) if found else 0


sent, answer = 0, 0
with open(name, "rb") as f:
    f.seek(offset)
    piece = b""
    while sent < stop:
        piece = piece or f.read(min(1 << 18, stop - sent))
        readable, writable, _ = select.select([s], [s], [], 25)
        if readable:
            answer = status(0.2)
            break
        if not writable:
            break
        try:
            n = s.send(piece)
        except OSError:
            break
        sent += n
        piece = piece[n:]
os.write(1, b"sent %d\n" % sent)
if how == "whole" and not answer:
    answer = status(60)
elif how == "reset":
    s.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
elif how == "half":
    s.shutdown(socket.SHUT_WR)
    time.sleep(0.05)
elif how == "left":
    time.sleep(3)
    sys.exit()
elif how == "kill":
    status(10)
s.close()
os.write(1, b"status %d\n" % answer)
