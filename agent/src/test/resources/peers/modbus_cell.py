"""A foreign Modbus TCP server that plays the cell: checks block A, echoes, and prints what it sees.

Written from the register map alone, apart from the Java and the structured text.
Lines: "port N" once, then "permit B hold H kind K beat N" whenever one of the first three changes.
Standard input: "B <register> <value>" sets a register of block B.
"""
import asyncio
import sys
import threading

from pymodbus.datastore import ModbusSequentialDataBlock, ModbusServerContext, ModbusSlaveContext
from pymodbus.server.async_io import ModbusTcpServer

BASE, CELL_BASE = 100, 200
registers = ModbusSequentialDataBlock(0, [0] * 400)
context = ModbusServerContext(
    slaves={1: ModbusSlaveContext(hr=registers, zero_mode=True)}, single=False
)


def say(text):
    print(text, flush=True)


def put(register, value):
    registers.setValues(CELL_BASE + register, [value])


async def scan():
    shown, credit, last = None, 0, 0
    put(0, 0x0101)
    put(5, 1)
    while True:
        a = registers.getValues(BASE, 20)
        if a[0] == 0x0101 and a[1] != 0 and a[3] == a[2] ^ a[1] ^ 0xA55A and a[19] == a[1]:
            step = (a[1] - last) % 65535
            credit = credit if step == 0 else min(credit + 1, 3) if step <= 8 else 0
            last = a[1]
            put(1, a[1])
            put(28, a[1])
            put(3, a[5])
            now = (int(credit == 3 and a[2] & 1), a[5], (a[2] >> 4) & 1)
            if now != shown:
                shown = now
                say("permit %d hold %d kind %d beat %d" % (*now, a[1]))
        await asyncio.sleep(0.01)


def listen():
    for line in sys.stdin:
        name, register, value = line.split()
        assert name == "B"
        put(int(register), int(value))


async def main():
    server = ModbusTcpServer(context, address=("127.0.0.1", 0))
    serving = asyncio.ensure_future(server.serve_forever())
    while server.server is None or not server.server.sockets:
        await asyncio.sleep(0.01)
    say("port %d" % server.server.sockets[0].getsockname()[1])
    threading.Thread(target=listen, daemon=True).start()
    await asyncio.gather(serving, scan())


asyncio.run(main())
