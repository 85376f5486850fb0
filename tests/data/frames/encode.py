#!/usr/bin/env python3
"""Frames of the PRU-2 written with struct and binascii alone: it reads neither the profile nor the compiled plan.

Prints JSON: [{"frame", "values", "texts", "hex"}], values as the wire can carry them. CRC: binascii.crc_hqx (polynomial 0x1021) started at
0xFFFF, which is CRC-16/IBM-3740. SLIP: RFC 1055.
"""
import binascii
import json
import random
import struct

rng = random.Random(429)


def framed(body):
    body += struct.pack(">H", binascii.crc_hqx(body, 0xFFFF))
    return b"\xC0" + body.replace(b"\xDB", b"\xDB\xDD").replace(b"\xC0", b"\xDB\xDC") + b"\xC0"


def word(label_octal, data, ssm):
    """As the unit sends it: label already turned to its value in the low byte."""
    w = int(label_octal, 8) | (data & 0x7FFFF) << 10 | ssm << 29
    return w if bin(w).count("1") % 2 else w | 1 << 31


def bcd5(n):
    digits = [int(c) for c in f"{n:05d}"]
    return digits[0] << 16 | digits[1] << 12 | digits[2] << 8 | digits[3] << 4 | digits[4]


def status():
    uptime, supply, pins = rng.randrange(2**32), rng.randrange(4001), rng.randrange(64)
    values = {"status.uptime": uptime / 10, "status.supply": supply / 100, "status.pins": pins}
    for bit, name in enumerate(["heading_flag", "attitude_flag", "sensor_on", "on_ground", "aligned", "moving"]):
        values["status.pins." + name] = pins >> bit & 1
    return "status", values, {}, struct.pack(">BIHB", 0x90, uptime, supply, pins)


def words():
    heading, pitch, field, wired = rng.randrange(-32768, 32768), rng.randrange(-16384, 16384), rng.randrange(80000), rng.randrange(16)
    body = struct.pack(">BB", 0x91, 4)
    body += struct.pack(">I", word("320", (heading & 0xFFFF) << 3, 3))
    body += struct.pack(">I", word("324", (pitch & 0x7FFF) << 4, 3))
    body += struct.pack(">I", word("161", bcd5(field), 0))
    body += struct.pack(">I", word("270", wired, 0))
    turned = heading * 180 / 32768
    values = {"words.n": 4, "word.heading": turned if turned >= 0 else turned + 360, "word.pitch": pitch * 180 / 16384,
              "word.field_h": field, "word.wired": wired}
    for bit, name in enumerate(["sensor_wire_ok", "aiding_valid", "free_selected", "side_strap_ok"]):
        values["word.wired." + name] = wired >> bit & 1
    return "words", values, {}, body


def identity():
    part, serial, crc = rng.choice(["PRU2-100-3", "PRU2-100-12A"]), f"{rng.randrange(10**6):06d}", rng.randrange(2**32)
    return ("identity", {"identity.crc": crc}, {"identity.part": part, "identity.serial": serial},
            struct.pack(">B12s8sI", 0xA3, part.ljust(12).encode(), serial.ljust(8).encode(), crc))


def config():
    tail, strap, b, c, slaved = rng.choice(["Q4-RMP", "Q4-TLN"]), rng.randrange(3), rng.randrange(-900, 900), rng.randrange(-900, 900), rng.randrange(2)
    values = {"config.strap": strap, "config.cal_b": b / 100, "config.cal_c": c / 100, "config.slaved": slaved}
    return "config", values, {"config.tail": tail}, struct.pack(">B8sBhhB", 0xA4, tail.ljust(8).encode(), strap, b, c, slaved)


def self_test():
    phase, failed = rng.randrange(2), rng.randrange(65536)
    values = {"self_test.phase": phase, "self_test.failed": failed}
    for bit, name in {0: "st_processor", 1: "st_gyro", 4: "st_sensor_drive", 5: "st_supply", 6: "st_sensor_input", 9: "st_configuration"}.items():
        values["self_test.failed." + name] = failed >> bit & 1
    return "self_test", values, {}, struct.pack(">BBH", 0x92, phase, failed)


def fault_page():
    code, power_up, at, count, active = 0x0204, rng.randrange(65536), rng.randrange(2**32), rng.randrange(100), rng.randrange(2)
    values = {"fault_page.page": 0, "fault_page.pages": 1, "fault_page.n": 1, "fault_page.fault.code": code, "fault_page.fault.power_up": power_up,
              "fault_page.fault.at": at, "fault_page.fault.count": count, "fault_page.fault.state": active, "fault_page.fault.state.active": active}
    return "fault_page", values, {}, struct.pack(">BBBBHHIBB", 0xA1, 0, 1, 1, code, power_up, at, count // 10 * 16 + count % 10, active)


cases = []
for _ in range(40):
    for make in (status, words, identity, config, self_test, fault_page):
        name, values, texts, body = make()
        cases.append({"frame": name, "values": values, "texts": texts, "hex": framed(body).hex()})
print(json.dumps(cases))
