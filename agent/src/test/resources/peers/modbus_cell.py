"""A foreign Modbus TCP server that plays the cell: checks block A, echoes, and prints what it sees.

Written from the register map and the time contract alone, apart from the Java and the structured text.
Lines: "port N" once, then "permit B hold H kind K reason R latched L feature F boot I beat N" whenever
one of them but the beat changes.
Standard input: "B <register> <value>" sets a register of block B; "A" prints block A as it stands.
"""
import asyncio
import logging
import os
import sys
import threading
import time

from pymodbus.datastore import ModbusSequentialDataBlock, ModbusServerContext, ModbusSlaveContext
from pymodbus.server.async_io import ModbusTcpServer

# An end of a connection is no error here.
logging.getLogger("pymodbus").setLevel(logging.CRITICAL)

BASE, CELL_BASE = 100, 200
CELL_TIME_OUT = 1.5
registers = ModbusSequentialDataBlock(0, [0] * 400)
context = ModbusServerContext(
    slaves={1: ModbusSlaveContext(hr=registers, zero_mode=True)}, single=False
)


def say(text):
    print(text, flush=True)


def put(register, value):
    registers.setValues(CELL_BASE + register, [value])


async def scan():
    shown, credit, last, boot, moved = None, 0, 0, 0, time.monotonic()
    put(0, 0x0101)
    put(5, 1)
    while True:
        a = registers.getValues(BASE, 20)
        if a[0] == 0x0101 and a[1] != 0 and a[3] == a[2] ^ a[1] ^ 0xA55A and a[19] == a[1]:
            step = (a[1] - last) % 65535
            if a[4] != boot:
                credit, moved = 0, time.monotonic()
            elif 1 <= step <= 8:
                credit, moved = min(credit + 1, 3), time.monotonic()
            elif step != 0:
                credit, moved = 0, time.monotonic()
            last, boot = a[1], a[4]
            if time.monotonic() - moved > CELL_TIME_OUT:
                credit = 0
            kind = (a[2] >> 4) & 1
            put(1, a[1])
            put(28, a[1])
            put(3, a[5])
            put(4, 0 if a[5] == 0 else 1 + kind)
            latched = (a[2] >> 2) & 1
            now = (int(credit == 3 and a[2] & 1), a[5], kind, a[7], latched, a[10], a[4])
            if now != shown:
                shown = now
                say(
                    "permit %d hold %d kind %d reason %d latched %d feature %d boot %d beat %d"
                    % (*now, a[1])
                )
        await asyncio.sleep(0.01)


def listen():
    for line in sys.stdin:
        words = line.split()
        if words == ["A"]:
            say("A " + " ".join(str(register) for register in registers.getValues(BASE, 20)))
        else:
            name, register, value = words
            assert name == "B"
            put(int(register), int(value))
    os._exit(0)  # whoever started it is gone


async def main():
    server = ModbusTcpServer(context, address=("127.0.0.1", 0))
    serving = asyncio.ensure_future(server.serve_forever())
    while server.server is None or not server.server.sockets:
        await asyncio.sleep(0.01)
    say("port %d" % server.server.sockets[0].getsockname()[1])
    threading.Thread(target=listen, daemon=True).start()
    await asyncio.gather(serving, scan())


asyncio.run(main())
