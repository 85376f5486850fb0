#!/usr/bin/env python3
"""Frames of every framing with every check and every kind of field, written with struct and arithmetic alone.

It reads neither a profile nor a plan: framings, checks and fields are known here by name, and described once more, in the language of
profiles, in tests/core/codec/pairs_profile.h. Prints one JSON object a line:
  framing, check, field   names; crc: parameters where the check is one of the catalogue
  give                    values as a person would name them
  see                     [signal, value] in wire order; null: no value.  texts: [name, text]
  bytes                   length of the whole frame;  hex: as it stands on the line
"""
import json
import pathlib
import random
import struct
import sys

rng = random.Random(1055)
CATALOGUE = pathlib.Path(__file__).resolve().parent.parent / "framing" / "crc-catalogue.csv"


# ---- checks: value of the covered bytes, length in bytes, byte order --------------------------------------------------------

def turned(value, bits):
    return int(format(value, f"0{bits}b")[::-1], 2)


def crc(data, width, poly, init, refin, refout, xorout):
    """Bit by bit, as the catalogue's model describes it."""
    register = init
    for byte in data:
        for k in range(8):
            bit = byte >> (k if refin else 7 - k) & 1
            out = register >> (width - 1) & 1 ^ bit
            register = register << 1 & (1 << width) - 1
            if out:
                register ^= poly
    return (turned(register, width) if refout else register) ^ xorout


def catalogue():
    rows = {}
    for line in CATALOGUE.read_text().splitlines():
        if line.startswith(("#", "name,")):
            continue
        name, width, poly, init, refin, refout, xorout, _ = line.split(",")
        rows[name] = (int(width), int(poly, 16), int(init, 16), refin == "true", refout == "true", int(xorout, 16))
    return rows


CRCS = catalogue()


def exclusive(data):
    out = 0
    for b in data:
        out ^= b
    return out


CHECKS = {
    "none": (lambda d: 0, 0, "big"),
    "xor8": (exclusive, 1, "big"),
    "sum8": (lambda d: sum(d) % 256, 1, "big"),
    "sum8_zero": (lambda d: -sum(d) % 256, 1, "big"),
    "sum16_little": (lambda d: sum(d) % 65536, 2, "little"),
    "crc8": (lambda d: crc(d, *CRCS["CRC-8/SMBUS"]), 1, "big"),
    "crc16": (lambda d: crc(d, *CRCS["CRC-16/IBM-3740"]), 2, "big"),
    "crc16_little": (lambda d: crc(d, *CRCS["CRC-16/MODBUS"]), 2, "little"),
    "crc24": (lambda d: crc(d, *CRCS["CRC-24/OPENPGP"]), 3, "big"),
    "crc32": (lambda d: crc(d, *CRCS["CRC-32/ISO-HDLC"]), 4, "little"),
    "crc64": (lambda d: crc(d, *CRCS["CRC-64/XZ"]), 8, "big"),
    "crc100_told": (lambda d: crc(d, 100, 0x8000000000000000000000B1B, 0x123456789ABCDEF0123456789, False, True, 0xABC), 13, "little"),
    "crc12_told": (lambda d: crc(d, 12, 0x80B, 0x123, True, False, 0xABC), 2, "big"),
}


# ---- framings ---------------------------------------------------------------------------------------------------------------

def checked(check, covered, before=b""):
    value, size, order = check
    return before + covered + value(covered).to_bytes(size, order)


def stuffed(data):
    out, block = b"", b""
    for i, b in enumerate(data):
        if b:
            block += bytes([b])
        if b == 0 or (len(block) == 254 and i + 1 < len(data)):
            out += bytes([len(block) + 1]) + block
            block = b""
    return out + bytes([len(block) + 1]) + block + b"\0"


def slip(check, body):
    whole = checked(check, b"\x42" + body)
    return len(whole), b"\xC0" + whole.replace(b"\xDB", b"\xDB\xDD").replace(b"\xC0", b"\xDB\xDC") + b"\xC0"


def cobs(check, body):
    whole = checked(check, b"\x34\x12" + body)
    return len(whole), stuffed(whole)


def length(check, body):
    """AA 55, length of the whole frame less four, selector."""
    n = 4 + len(body) + check[1]
    whole = checked(check, b"\xAA\x55" + bytes([n - 4]) + b"\x07" + body)
    return len(whole), whole


def bare_length(check, body):
    """No pattern: length of what follows it, two bytes, low byte first; selector of 24 bits, high byte first."""
    whole = checked(check, struct.pack("<H", 3 + len(body) + check[1]) + b"\x01\x02\x03" + body)
    return len(whole), whole


def enclosed(check, body):
    """STX, length of the whole frame, selector..., check (STX left out of it), ETX."""
    n = 3 + len(body) + check[1] + 1
    whole = checked(check, bytes([n, 0x07]) + body, b"\x02") + b"\x03"
    return len(whole), whole


def fixed(check, body):
    whole = checked(check, b"\x7E" + body)
    return len(whole), whole


def gap(check, body):
    """An address, then the selector."""
    whole = checked(check, b"\x11\x07" + body)
    return len(whole), whole


def digits(check, covered):
    value, size, _ = check
    return f"{value(covered):0{2 * size}X}".encode() if size else b""


def lines(check, tokens):
    covered = ",".join(["TST"] + tokens).encode()
    line = b"$" + covered + (b"*" if check[1] else b"") + digits(check, covered)
    return len(line), line + b"\r\n"


def bare_lines(check, tokens):
    """No start character, no selector, no mark; semicolons; ended by CR."""
    covered = ";".join(tokens).encode()
    line = covered + digits(check, covered)
    return len(line), line + b"\r"


FRAMINGS = {  # name: (write, byte order of numbers)
    "slip": (slip, ">"), "cobs": (cobs, "<"), "length": (length, ">"), "bare_length": (bare_length, ">"), "enclosed": (enclosed, "<"),
    "fixed": (fixed, "<"), "gap": (gap, ">"), "lines": (lines, "text"), "bare_lines": (bare_lines, "text"),
}


# ---- fields: each gives (give, see, texts, bytes in one order); of lines: tokens -----------------------------------------------

def whole(n, size, order):
    return (n % 256 ** size).to_bytes(size, "big" if order == ">" else "little")


def integer(size, signed, forced=None):
    def make(order):
        bits = min(8 * size, 53)
        n = rng.choice([rng.randrange(2 ** bits), 0, 2 ** bits - 1])
        if signed:
            n = rng.choice([n // 2, -(n // 2) - 1])
        return {"x": n}, [["f.x", n]], [], [str(n)] if order == "text" else whole(n, size, forced or order)
    return make


def one(give, see, data, tokens=None, texts=()):
    """A maker whose bytes do not depend on the byte order, or do so through a function."""
    return lambda order: (give, see, list(texts), tokens if order == "text" else data(order) if callable(data) else data)


def sized(size):
    def make(order):
        n = rng.randrange(-2 ** (8 * size - 1) + 1, 2 ** (8 * size - 1))
        return {"x": n}, [["f.x", n]], [], whole(abs(n) | (n < 0) << (8 * size - 1), size, order)
    return make


def bit_ranges(order):
    """Sixteen bits: 3 unsigned, 9 two's complement, 4 unsigned, from the lowest up; the middle one crosses the bytes."""
    low, middle, high = rng.randrange(8), rng.randrange(-256, 256), rng.randrange(16)
    n = low | (middle & 511) << 3 | high << 12
    return {"low": low, "x": middle, "high": high}, [["f.low", low], ["f.x", middle], ["f.high", high]], [], whole(n, 2, order)


def wide_bits(order):
    """Forty bits: 33 in the middle, from bit 3."""
    n = rng.randrange(2 ** 33)
    return {"x": n}, [["f.x", n]], [], whole(n << 3, 5, order)


def bnr(order):
    n = rng.randrange(-32768, 32768)
    return {"x": n * 180 / 32768}, [["f.x", n * 180 / 32768]], [], whole(n, 2, order)


def bnr_in_bits(order):
    """Twenty bits of 24 from bit 2, full scale 512."""
    n = rng.randrange(-2 ** 19, 2 ** 19)
    return {"x": n * 512 / 2 ** 19}, [["f.x", n * 512 / 2 ** 19]], [], whole((n & 0xFFFFF) << 2, 3, order)


def scaled(order):
    n = rng.randrange(65536)
    return {"x": n * 0.01 - 40}, [["f.x", n * 0.01 - 40]], [], whole(n, 2, order)


def decimal_nibbles(text):
    return int(text, 16)


def bcd(order):
    n = rng.randrange(100000)
    return {"x": n}, [["f.x", n]], [], whole(decimal_nibbles(f"{n:05d}"), 3, order)


def bcd_nibble(order):
    n = rng.randrange(-99999, 100000)
    return {"x": n}, [["f.x", n]], [], whole(decimal_nibbles(f"{abs(n):05d}" + ("D" if n < 0 else "C")), 3, order)


def bcd_top_bit(order):
    n = rng.randrange(-7999, 8000)
    return {"x": n / 10}, [["f.x", n / 10]], [], whole(decimal_nibbles(f"{abs(n):04d}") | (n < 0) << 15, 2, order)


def real(code, forced=None):
    def make(order):
        v = struct.unpack(">" + code, struct.pack(">" + code, rng.uniform(-1e6, 1e6)))[0]
        if order == "text":
            v = round(v, 3)
            return {"x": v}, [["f.x", v]], [], [f"{v:.3f}"]
        return {"x": v}, [["f.x", v]], [], struct.pack((forced or order) + code, v)
    return make


def word():
    return "".join(rng.choice("ABCDEFGHJKLMNPQRSTUVWXYZ0123456789-") for _ in range(rng.randrange(1, 8)))


def text(pack):
    def make(order):
        t = word()
        return {"x": t}, [], [["f.x", t]], [t] if order == "text" else pack(t.encode())
    return make


def counted_text(order):
    t = word()
    return {"x": t}, [["f.n", len(t)]], [["f.x", t]], bytes([len(t)]) + t.encode()


def number_text(order):
    v = rng.randrange(-99999, 99999) / 100
    return {"x": v}, [["f.x", v]], [], [f"{v:.2f}"] if order == "text" else f"{v:08.2f}".encode()


def hex_text(order):
    n = rng.randrange(65536)
    return {"x": n}, [["f.x", n]], [], [f"{n:04X}"] if order == "text" else f"{n:04X}".encode()


def letter(order):
    c = rng.choice("AV")
    return {"x": {"A": "valid", "V": "void"}[c]}, [["f.x", ord(c)]], [], [c] if order == "text" else c.encode()


def enumeration(order):
    n = rng.randrange(3)
    return {"x": ["standby", "on", "failed"][n]}, [["f.x", n]], [], [str(n)] if order == "text" else bytes([n])


def flags(order):
    n = rng.choice([1, 4, 5])
    see = [["f.x", n], ["f.x.p", n & 1], ["f.x.q", n >> 2 & 1]]
    return {"p": n & 1, "q": n >> 2 & 1}, see, [], [str(n)] if order == "text" else bytes([n])


def placed(order):
    """A gap of two bytes in front of a field that stands where it says."""
    n = rng.randrange(65536)
    return {"x": n}, [["f.x", n]], [], b"\0\0" + whole(n, 2, order)


def rows(count):
    return [(rng.randrange(65536), rng.randrange(-128, 128)) for _ in range(count)]


def row_give(list_):
    return [{"c": c, "d": d} for c, d in list_]


def row_see(list_):
    return [pair for c, d in list_ for pair in (["f.x.c", c], ["f.x.d", d])]


def row_bytes(list_, order):
    return b"".join(whole(c, 2, order) + whole(d, 1, order) for c, d in list_)


def row_tokens(list_):
    return [t for c, d in list_ for t in (str(c), str(d))]


def group_by_count(order):
    list_ = rows(rng.randrange(4))
    data = [str(len(list_))] + row_tokens(list_) if order == "text" else bytes([len(list_)]) + row_bytes(list_, order)
    return {"x": row_give(list_)}, [["f.n", len(list_)]] + row_see(list_), [], data


def group_to_the_end(order):
    list_ = rows(rng.randrange(1, 5))
    return {"x": row_give(list_)}, row_see(list_), [], row_tokens(list_) if order == "text" else row_bytes(list_, order)


def nested(order):
    """Groups that count groups of their own."""
    outer = [[rng.randrange(65536) for _ in range(rng.randrange(3))] for _ in range(rng.randrange(3))]
    see = [["f.n", len(outer)]]
    data = bytes([len(outer)])
    tokens = [str(len(outer))]
    for inner in outer:
        see += [["f.x.m", len(inner)]] + [["f.x.y.v", v] for v in inner]
        data += bytes([len(inner)]) + b"".join(whole(v, 2, order) for v in inner if order != "text")
        tokens += [str(len(inner))] + [str(v) for v in inner]
    give = {"x": [{"y": [{"v": v} for v in inner]} for inner in outer]}
    return give, see, [], tokens if order == "text" else data


def optional_by_code(order):
    kind = rng.choice([1, 2, 3])
    n = rng.randrange(65536)
    there = kind in (2, 3)
    give = {"k": kind, **({"x": n} if there else {})}
    see = [["f.k", kind]] + ([["f.x", n]] if there else [])
    tokens = [str(kind)] + ([str(n)] if there else [])
    return give, see, [], tokens if order == "text" else bytes([kind]) + (whole(n, 2, order) if there else b"")


def optional_by_bit(order):
    """Bit 1 set: a field; bit 0 clear: a group of two."""
    k = rng.randrange(4)
    n, c, d = rng.randrange(65536), rng.randrange(65536), rng.randrange(-128, 128)
    give, see, tokens, data = {"k": k}, [["f.k", k]], [str(k)], bytes([k])
    if k & 2:
        give["x"] = n
        see.append(["f.x", n])
        tokens.append(str(n))
        data += whole(n, 2, order) if order != "text" else b""
    if not k & 1:
        give["g"] = [{"c": c, "d": d}]
        see += [["f.g.c", c], ["f.g.d", d]]
        tokens += [str(c), str(d)]
        data += whole(c, 2, order) + whole(d, 1, order) if order != "text" else b""
    return give, see, [], tokens if order == "text" else data


def parity(w):
    return w if bin(w).count("1") % 2 else w | 1 << 31


def arinc_word():
    """(word with bit 1 lowest, signals): heading BNR 320, field BCD 161, discretes 270."""
    which = rng.randrange(3)
    label = turned([0o320, 0o161, 0o270][which], 8)
    if which == 0:
        n = rng.randrange(-2 ** 14, 2 ** 14)
        return parity(label | (n & 0x7FFF) << 14 | 3 << 29), [["word.heading", n * 180 / 2 ** 14 + (360 if n < 0 else 0)]]
    if which == 1:
        n = rng.randrange(80000)
        return parity(label | decimal_nibbles(f"{n:05d}") << 10), [["word.field_h", n]]
    n = rng.randrange(4)
    return parity(label | n << 10), [["word.wired", n], ["word.wired.p", n & 1], ["word.wired.q", n >> 1]]


def arinc_bytes(w, order, reversed_label):
    if reversed_label:
        w = w & ~0xFF | turned(w & 0xFF, 8)
    return f"{w:08X}" if order == "text" else whole(w, 4, order)


def arinc(reversed_label):
    def make(order):
        w, see = arinc_word()
        data = arinc_bytes(w, order, reversed_label)
        return {"x": w}, see, [], [data] if order == "text" else data
    return make


def arinc_by_count(order):
    list_ = [arinc_word() for _ in range(rng.randrange(5))]
    see = [["f.n", len(list_)]] + [s for _, see in list_ for s in see]
    data = [arinc_bytes(w, order, True) for w, _ in list_]
    return {"x": {"words": [w for w, _ in list_]}}, see, [], [str(len(list_))] + data if order == "text" else bytes([len(list_)]) + b"".join(data)


def arinc_to_the_end(order):
    list_ = [arinc_word() for _ in range(rng.randrange(1, 5))]
    data = [arinc_bytes(w, order, False) for w, _ in list_]
    return {"x": {"words": [w for w, _ in list_]}}, [s for _, see in list_ for s in see], [], data if order == "text" else b"".join(data)


FIELDS = {  # name: (make, in text lines too, last of its frame)
    "u8": (integer(1, False), True, False), "u16": (integer(2, False), True, False), "u24": (integer(3, False), True, False),
    "u32": (integer(4, False), True, False), "u40": (integer(5, False), True, False), "u48": (integer(6, False), True, False),
    "u56": (integer(7, False), True, False), "u64": (integer(8, False), True, False), "i8": (integer(1, True), True, False),
    "i16": (integer(2, True), True, False), "i24": (integer(3, True), True, False), "i32": (integer(4, True), True, False),
    "i40": (integer(5, True), True, False), "i48": (integer(6, True), True, False), "i56": (integer(7, True), True, False),
    "i64": (integer(8, True), True, False), "u32_little": (integer(4, False, "<"), False, False), "i24_big": (integer(3, True, ">"), False, False),
    "magnitude16": (sized(2), False, False), "magnitude24": (sized(3), False, False), "bit_ranges": (bit_ranges, False, False),
    "wide_bits": (wide_bits, False, False), "bnr": (bnr, False, False), "bnr_in_bits": (bnr_in_bits, False, False), "scaled": (scaled, False, False),
    "bcd": (bcd, False, False), "bcd_nibble": (bcd_nibble, False, False), "bcd_top_bit": (bcd_top_bit, False, False), "f32": (real("f"), True, False),
    "f64": (real("d"), True, False), "f32_big": (real("f", ">"), False, False), "f64_little": (real("d", "<"), False, False),
    "text_padded": (text(lambda t: t.ljust(8)), True, False), "text_zero": (text(lambda t: t + b"\0"), False, False),
    "text_counted": (counted_text, False, False), "text_to_the_end": (text(lambda t: t), False, True), "number_text": (number_text, True, False),
    "hex_text": (hex_text, True, False), "letter": (letter, True, False), "enumeration": (enumeration, True, False), "flags": (flags, True, False),
    "placed": (placed, False, False), "group_by_count": (group_by_count, True, False), "group_to_the_end": (group_to_the_end, True, True),
    "nested": (nested, True, False), "optional_by_code": (optional_by_code, True, False), "optional_by_bit": (optional_by_bit, True, False),
    "arinc": (arinc(False), True, False), "arinc_reversed": (arinc(True), True, False), "arinc_by_count": (arinc_by_count, True, False),
    "arinc_to_the_end": (arinc_to_the_end, True, True),
}


def case(framing, check_name, check, field):
    write, order = FRAMINGS[framing]
    make, _, last = FIELDS[field]
    give, see, texts, data = make(order)
    a, z = rng.randrange(256), rng.randrange(65536)
    if order == "text":
        body = [str(a)] + data + ([] if last else [str(z)])
    else:
        body = bytes([a]) + data + (b"" if last else whole(z, 2, order))
    see = [["f.a", a]] + see + ([] if last else [["f.z", z]])
    give = {"a": a, **give, **({} if last else {"z": z})}
    size, line = write(check, body)
    return {"framing": framing, "check": check_name, "field": field, "give": give, "see": see, "texts": texts, "bytes": size, "hex": line.hex()}


def all_of_them(rounds):
    for framing, (_, order) in FRAMINGS.items():
        for name, check in CHECKS.items():
            for field, (_, in_lines, _) in FIELDS.items():
                if order == "text" and not in_lines:
                    continue
                for _ in range(rounds):
                    yield case(framing, name, check, field)


def every_crc():
    """Each CRC of the catalogue once, framings and fields in turn."""
    for i, (name, parameters) in enumerate(CRCS.items()):
        framing = list(FRAMINGS)[i % len(FRAMINGS)]
        fields = [f for f, (_, in_lines, _) in FIELDS.items() if in_lines or FRAMINGS[framing][1] != "text"]
        check = (lambda d, p=parameters: crc(d, *p), (parameters[0] + 7) // 8, "big")
        yield case(framing, name, check, fields[i % len(fields)])


if __name__ == "__main__":
    for one_case in [*every_crc(), *all_of_them(int(sys.argv[1]) if len(sys.argv) > 1 else 1)]:
        print(json.dumps(one_case))
