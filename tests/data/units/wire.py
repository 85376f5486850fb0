#!/usr/bin/env python3
"""Frames and requests of PRU-5, PRU-7 and PRU-9, written with struct, zlib and binascii alone; it reads no profile.

One JSON object a line: unit, frame (or request and args), give, see [[signal, value]], texts [[name, text]], hex.
CRC-32/ISO-HDLC is zlib.crc32, CRC-16/XMODEM is binascii.crc_hqx from 0.
"""
import binascii
import json
import random
import struct
import zlib

rng = random.Random(579)


def emit(unit, line, **more):
    print(json.dumps({"unit": unit, **more, "hex": line.hex()}))


# ---- PRU-5: "#", tokens, "*", exclusive-or in hexadecimal, CR LF ----------------------------------------------------------------

def sentence(*tokens):
    text = ",".join(tokens).encode()
    x = 0
    for b in text:
        x ^= b
    return b"#" + text + f"*{x:02X}\r\n".encode()


def word(label_octal, steps):
    label = int(format(int(label_octal, 8), "08b")[::-1], 2)
    w = label | (steps & 0x7FFF) << 14 | 3 << 29
    return w if bin(w).count("1") % 2 else w | 1 << 31


def pru_5():
    p, r, h = rng.randrange(-9000, 9001), rng.randrange(-18000, 18001), rng.randrange(3601)
    emit("pru_5", sentence("PRATT", "A", f"{p / 100:.2f}", f"{r / 100:.2f}", f"{h / 10:.1f}"), frame="attitude", texts=[],
         give={"state": "valid", "pitch": p / 100, "roll": r / 100, "heading": h / 10},
         see=[["attitude.state", 65], ["attitude.pitch", p / 100], ["attitude.roll", r / 100], ["attitude.heading", h / 10]])
    pins = rng.randrange(16)
    emit("pru_5", sentence("PRSTA", "12.5", "27.60", f"{pins:02X}"), frame="status", texts=[], give={"uptime": 12.5, "supply": 27.6, "pins": pins},
         see=[["status.uptime", 12.5], ["status.supply", 27.6], ["status.pins", pins], ["status.pins.heading_flag", pins & 1],
              ["status.pins.attitude_flag", pins >> 1 & 1], ["status.pins.sensor_on", pins >> 2 & 1], ["status.pins.on_ground", pins >> 3]])
    rows = [(rng.choice([0x12, 0x21]), rng.randrange(1000), rng.randrange(2)) for _ in range(rng.randrange(4))]
    see = [["faults.n", len(rows)]]
    for c, n, a in rows:
        see += [["faults.fault.code", c], ["faults.fault.count", n], ["faults.fault.active", a], ["faults.fault.active.active", a]]
    emit("pru_5", sentence("PRFLT", str(len(rows)), *[t for c, n, a in rows for t in (f"{c:04X}", str(n), str(a))]), frame="faults", texts=[],
         give={"fault": [{"code": c, "count": n, "active": a} for c, n, a in rows]}, see=see)
    steps = rng.randrange(0, 16384)
    w = word("320", steps)
    emit("pru_5", sentence("PRBUS", f"{w:08X}"), frame="words", texts=[], give={"word": {"words": [w]}}, see=[["word.heading", steps * 180 / 16384]])
    emit("pru_5", sentence("PRIDN", "PRU5-20", "00417", "DEADBEEF"), frame="identity", give={"part": "PRU5-20", "serial": "00417", "crc": 0xDEADBEEF},
         see=[["identity.crc", 0xDEADBEEF]], texts=[["identity.part", "PRU5-20"], ["identity.serial", "00417"]])
    emit("pru_5", sentence("PRENT", "3C55"), request="enter", args={})
    emit("pru_5", sentence("PRQFL"), request="read_fault", args={})


# ---- PRU-7: COBS, low byte first, CRC-32 ----------------------------------------------------------------------------------------

def stuffed(body):
    body += struct.pack("<I", zlib.crc32(body))
    out = b""
    for part in body.split(b"\0"):
        assert len(part) < 254
        out += bytes([len(part) + 1]) + part
    return out + b"\0"


def pru_7():
    mask = rng.randrange(16)
    body, give, see = struct.pack("<HB", 0x0101, mask), {"mask": mask}, [["motion.mask", mask]]
    for bit, name, low, high in [(0, "pitch", -90, 90), (1, "roll", -180, 180)]:
        if mask >> bit & 1:
            v = struct.unpack("<f", struct.pack("<f", rng.uniform(low, high)))[0]
            body, give[name] = body + struct.pack("<f", v), v
            see.append(["motion." + name, v])
    if mask & 4:
        n = rng.randrange(65536)
        body, give["heading"] = body + struct.pack("<H", n), n * 360 / 65536
        see.append(["motion.heading", n * 360 / 65536])
    if mask & 8:
        pqr = [rng.randrange(-32768, 32768) for _ in range(3)]
        body += struct.pack("<hhh", *pqr)
        give["rates"] = [dict(zip("pqr", [n / 100 for n in pqr]))]
        see += [["motion.rates." + k, n / 100] for k, n in zip("pqr", pqr)]
    emit("pru_7", stuffed(body), frame="motion", give=give, see=see, texts=[])
    up, supply, pins, sensor = rng.randrange(2**32), rng.randrange(4001), rng.randrange(16), rng.randrange(-2**23 + 1, 2**23)
    body = struct.pack("<HIH", 0x0102, up, supply | pins << 12) + (abs(sensor) | (sensor < 0) << 23).to_bytes(3, "little")
    see = [["status.uptime", up / 1000], ["status.supply", supply / 100], ["status.pins", pins]]
    see += [["status.pins." + n, pins >> i & 1] for i, n in enumerate(["heading_flag", "attitude_flag", "sensor_on", "on_ground"])]
    emit("pru_7", stuffed(body), frame="status", give={"uptime": up / 1000, "supply": supply / 100, "pins": pins, "sensor": sensor / 10},
         see=see + [["status.sensor", sensor / 10]], texts=[])
    rows = [(0x1004, rng.randrange(65536), rng.randrange(2**32), rng.randrange(2)) for _ in range(rng.randrange(6))]
    see = [["faults.page", 0], ["faults.pages", 1]]
    for c, u, t, a in rows:
        see += [["faults.fault.code", c], ["faults.fault.power_up", u], ["faults.fault.at", t], ["faults.fault.state", a], ["faults.fault.state.active", a]]
    emit("pru_7", stuffed(struct.pack("<HBB", 0x0110, 0, 1) + b"".join(struct.pack("<HHIB", *row) for row in rows)), frame="faults", texts=[], see=see,
         give={"page": 0, "pages": 1, "fault": [{"code": c, "power_up": u, "at": t, "state": a} for c, u, t, a in rows]})
    emit("pru_7", stuffed(struct.pack("<HB7s7sI", 0x0120, 7, b"PRU7-A1", b"000431\0", 7)), frame="identity", see=[["identity.n", 7], ["identity.crc", 7]],
         give={"part": "PRU7-A1", "serial": "000431", "crc": 7}, texts=[["identity.part", "PRU7-A1"], ["identity.serial", "000431"]])
    emit("pru_7", stuffed(struct.pack("<HIB", 0x0210, 0x37A5C001, 2)), request="enter", args={"channel": 2})
    emit("pru_7", stuffed(struct.pack("<HB", 0x0213, 3)), request="read_fault", args={"page": 3})


# ---- PRU-9: 5A A5, length of what follows but the check, high byte first; CRC from the length on --------------------------------

def prefixed(body):
    covered = struct.pack(">H", len(body)) + body
    return b"\x5A\xA5" + covered + struct.pack(">H", binascii.crc_hqx(covered, 0))


def pru_9():
    ps, qc, alt, t = rng.randrange(2**24 - 1), rng.randrange(-2**23, 2**23), rng.randrange(-8000, 240001), rng.randrange(-900, 900)
    emit("pru_9", prefixed(b"\x01" + ps.to_bytes(3, "big") + (qc & 0xFFFFFF).to_bytes(3, "big") + struct.pack(">ih", alt, t)), frame="air", texts=[],
         give={"static_pressure": ps / 100, "impact_pressure": qc / 100, "altitude": alt / 4, "temperature": t / 10},
         see=[["air.static_pressure", ps / 100], ["air.impact_pressure", qc / 100], ["air.altitude", alt / 4], ["air.temperature", t / 10]])
    up, supply, pins = rng.randrange(2**40), rng.randrange(4001), rng.choice([0, 1, 8, 0x89])
    emit("pru_9", prefixed(b"\x02" + up.to_bytes(5, "big") + bytes.fromhex(f"{supply:04d}") + bytes([pins])), frame="status", texts=[],
         give={"uptime": up / 1000, "supply": supply / 100, "pins": pins},
         see=[["status.uptime", up / 1000], ["status.supply", supply / 100], ["status.pins", pins], ["status.pins.sensor_on", pins & 1],
              ["status.pins.on_ground", pins >> 3 & 1], ["status.pins.heater_on", pins >> 7]])
    rows = [(0x0A01, rng.randrange(2**32), rng.randrange(256), rng.randrange(-99999, 100000), rng.randrange(2)) for _ in range(rng.randrange(5))]
    body = struct.pack(">BHHB", 0x11, 1, 2, len(rows))
    see = [["fault_page.page", 1], ["fault_page.pages", 2], ["fault_page.n", len(rows)]]
    for c, at, n, d, a in rows:
        body += struct.pack(">HIB", c, at, n) + bytes.fromhex(f"{abs(d):05d}" + ("D" if d < 0 else "C")) + bytes([a])
        see += [["fault_page.fault.code", c], ["fault_page.fault.at", at], ["fault_page.fault.count", n], ["fault_page.fault.drift", d / 10],
                ["fault_page.fault.state", a], ["fault_page.fault.state.active", a]]
    emit("pru_9", prefixed(body), frame="fault_page", texts=[], see=see,
         give={"page": 1, "pages": 2, "fault": [{"code": c, "at": at, "count": n, "drift": d / 10, "state": a} for c, at, n, d, a in rows]})
    emit("pru_9", prefixed(struct.pack(">B14s6sH", 0x13, b"PRU9-7".ljust(14), b"000123", 0x5678)), frame="identity", texts=[["identity.part", "PRU9-7"]],
         give={"part": "PRU9-7", "serial": 123, "crc": 0x5678}, see=[["identity.serial", 123], ["identity.crc", 0x5678]])
    emit("pru_9", prefixed(struct.pack(">BH", 0x80, 0x9C3A)), request="enter", args={})
    emit("pru_9", prefixed(struct.pack(">BH", 0x91, 258)), request="read_fault", args={"page": 258})


for _ in range(40):
    pru_5()
    pru_7()
    pru_9()
