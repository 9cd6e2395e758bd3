#!/usr/bin/env python3
"""Reads a record without the program that wrote it: read_record.py FILE.amphora

Prints all readings as CSV in the order of time: unix seconds, amperes, volts, degrees Celsius, each to its last digit;
empty where the meter gave nothing. A block that is damaged is named on the standard error, and the exit code is then 1.
record.md beside this file says what every byte means. Needs nothing but Python 3, and is slow: 0.1 M readings a second.
"""
import decimal
import heapq
import os
import sqlite3
import struct
import sys

M64 = (1 << 64) - 1


def signed64(v):
    v &= M64
    return v - (1 << 64) if v >> 63 else v


def unzigzag(z):
    return signed64((z >> 1) ^ -(z & 1))


def crc_of_byte(crc):
    for _ in range(8):
        crc = crc >> 1 ^ (0x82F63B78 if crc & 1 else 0)
    return crc


CRC = [crc_of_byte(byte) for byte in range(256)]


def crc32c(data):
    crc = 0xFFFFFFFF
    for byte in data:
        crc = crc >> 8 ^ CRC[(crc ^ byte) & 0xFF]
    return crc ^ 0xFFFFFFFF


class Bytes:
    def __init__(self, data):
        self.data, self.at = data, 0

    def take(self, count):
        if self.at + count > len(self.data):
            raise ValueError("the bytes end too early")
        self.at += count
        return self.data[self.at - count:self.at]

    def byte(self):
        return self.take(1)[0]

    def number(self):  # 7 bits a byte, the lowest first; the highest bit of a byte says that more follow
        value = shift = 0
        while True:
            b = self.byte()
            value |= (b & 0x7F) << shift
            shift += 7
            if b < 0x80:
                return value & M64

    def signed(self):
        return unzigzag(self.number())


class Rans:
    def __init__(self, words):
        self.state, self.words, self.next = words[0] << 32 | words[1], words, 2

    def refill(self):
        if self.state < 1 << 31:
            self.state = self.state << 32 | self.words[self.next]
            self.next += 1

    def symbol(self, slots, bits):
        place = self.state & ((1 << bits) - 1)
        symbol, share, start = slots[place]
        self.state = share * (self.state >> bits) + place - start
        self.refill()
        return symbol

    def plain(self, bits):
        value = self.state & ((1 << bits) - 1)
        self.state >>= bits
        self.refill()
        return value

    def finished(self):
        return self.next == len(self.words) and self.state == 1 << 31


class Mean:
    """The mean of the last values, in 65,536ths; started afresh after a step."""

    def __init__(self, first, length, restart, contexts):
        self.bias = 1 << 15 if contexts == 1 else 0
        self.mean = (first << 16) + self.bias
        self.length, self.restart, self.count, self.contexts = length, restart << 14, 1, contexts

    def predicted(self):
        return self.mean >> 16

    def context(self):
        return self.mean >> 14 & 3 if self.contexts == 4 else 0

    def learn(self, value):
        off = (value << 16) + self.bias - self.mean
        self.count = 1 if abs(off) > self.restart else min(self.count + 1, self.length)
        self.mean += off * (65536 // self.count) >> 16


class Previous:
    def __init__(self, first):
        self.last = first

    def predicted(self):
        return self.last

    def context(self):
        return 0

    def learn(self, value):
        self.last = value


def frequencies(data, bits):
    """For each place of the table: the symbol, its share, and where its share begins."""
    slots, symbol, left = [], 0, 1 << bits
    present = data.number()
    for i in range(present):
        symbol += data.number()
        share = data.number() if i + 1 < present else left
        slots += [(symbol, share, len(slots))] * share
        left -= share
        symbol += 1
    return slots


def column(data, count):
    if count == 0:
        return []
    flags, low_bits, restart, base = data.byte(), data.byte(), data.number(), data.signed()
    wide, contexts, length = flags & 1, 4 if flags & 2 else 1, 1 << (flags >> 4)
    bits = 10 if contexts == 4 else 12
    slots = [frequencies(data, bits) for _ in range(contexts)]
    lanes = 4 if count >= 2048 else 1
    values = []
    for lane in range(lanes):
        first = data.signed()
        words = data.number()
        coder = Rans(struct.unpack("<%dI" % words, data.take(4 * words)))
        predictor = Previous(first) if wide else Mean(first, length, restart, contexts)
        size = count // lanes if lane + 1 < lanes else count - count // lanes * (lanes - 1)
        for _ in range(size):
            symbol = coder.symbol(slots[predictor.context()], bits)
            z = symbol
            if symbol >= 128:
                extra_bits, z = symbol - 128 + 7, 0
                for done in range(0, extra_bits, 16):
                    z |= coder.plain(min(16, extra_bits - done)) << done
                z |= 1 << extra_bits
            residual = unzigzag(z)
            if low_bits:
                residual = residual << low_bits | coder.plain(low_bits)
            value = signed64(predictor.predicted() + residual)
            predictor.learn(value)
            values.append(signed64(value + base))
        if not coder.finished():
            raise ValueError("a stream does not end where it should")
    return values


def times(data, count):
    kind, first, cadence = data.byte(), data.signed(), data.signed()
    if kind == 0:
        steps, at = [cadence] * (count - 1), 0
        for _ in range(data.number()):
            at += data.number()
            steps[at] = data.signed()
            at += 1
        t = [first]
        for step in steps:
            t.append(t[-1] + step)
        return t
    unit = data.number()
    offsets = column(data, count)
    return [first + (i * (cadence // unit) + offset) * unit for i, offset in enumerate(offsets)]


def double(bits):
    return struct.unpack("<d", struct.pack("<Q", bits & M64))[0]


def quantity(data, count):
    kind = data.byte()
    exceptions, at = [], 0
    for _ in range(data.number()):
        at += data.number()
        run = data.number()
        exceptions.append((at, run, struct.unpack("<d", data.take(8))[0]))
        at += run
    left = count - sum(run for _, run, _ in exceptions)
    if kind == 0:
        values = []
    elif kind == 1:
        decimals, first, step = data.byte(), data.signed(), data.number()
        values = [signed64(first + n * step) / 10.0**decimals for n in column(data, left)]
    else:
        values = [double(n ^ ((n >> 63 & M64) >> 1)) for n in column(data, left)]
    for at, run, value in exceptions:
        values[at:at] = [value] * run
    return values


def block(blob):
    """The readings of a block: tuples of microseconds, amperes, volts, degrees."""
    content, checksum = blob[:-4], struct.unpack("<I", blob[-4:])[0]
    if crc32c(content) != checksum:
        raise ValueError("the checksum does not match")
    data = Bytes(content)
    if data.byte() != 1:
        raise ValueError("another version of the format")
    count = data.number()
    return list(zip(times(data, count), quantity(data, count), quantity(data, count), quantity(data, count)))


def tail(name, record_id, sealed):
    """The newest readings, which are in no block yet: those that come after the first `sealed` ones."""
    newest = {}
    with open(name, "rb") as file:
        while True:
            page = file.read(4096)
            if len(page) < 4096:
                break
            magic, record, number, generation, first, _, size = struct.unpack_from("<IQQIQqH", page)
            if (magic, record) != (0x4C494154, record_id) or crc32c(page[:-4]) != struct.unpack_from("<I", page, 4092)[0]:
                continue
            if number not in newest or newest[number][0] < generation:
                newest[number] = (generation, first, block(page[42:42 + size]))
    readings = []
    for _, (_, first, content) in sorted(newest.items()):
        readings += content[max(0, sealed - first):]
        sealed = max(sealed, first + len(content))
    return sorted(readings, key=lambda reading: reading[0])


def text(value):
    if value != value:
        return ""
    digits = format(decimal.Decimal(repr(value)), "f")
    return digits[:-2] if digits.endswith(".0") else digits


def moment(us):
    return "%d" % (us // 1000000) + (".%06d" % (us % 1000000) if us % 1000000 else "")


def overlapping(spans):
    """Spans (first, last, ...) in order of their first, gathered where they overlap."""
    group = []
    for span in sorted(spans):
        if group and span[0] > max(s[1] for s in group):
            yield group
            group = []
        group.append(span)
    if group:
        yield group


def main():
    file = sys.argv[1]
    database = sqlite3.connect("file:%s?mode=ro" % file, uri=True)
    notes = dict(database.execute("SELECT name, value FROM note"))
    spans = database.execute("SELECT first_us, last_us, id, shift_us FROM block").fetchall()
    newest = []
    if os.path.exists(file + "-tail"):
        newest = tail(file + "-tail", notes["record_id"] & M64, notes.get("sealed_readings", 0))
    if newest:
        spans.append((newest[0][0], newest[-1][0], 0, 0))
    damaged = False

    def readings(number, shift):
        nonlocal damaged
        if number == 0:
            return newest
        (data,) = database.execute("SELECT data FROM block WHERE id = ?", (number,)).fetchone()
        try:
            return [(reading[0] + shift,) + reading[1:] for reading in block(data)]
        except (ValueError, IndexError, struct.error) as fault:
            print("block %d is damaged: %s" % (number, fault), file=sys.stderr)
            damaged = True
            return []

    print("time_utc,current_a,voltage_v,temperature_c")
    for group in overlapping(spans):
        parts = [readings(number, shift) for _, _, number, shift in group]
        for at, *values in heapq.merge(*parts, key=lambda reading: reading[0]):
            print(moment(at) + "," + ",".join(map(text, values)))
    return 1 if damaged else 0


if __name__ == "__main__":
    sys.exit(main())
