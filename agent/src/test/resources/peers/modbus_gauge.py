"""Foreign Modbus servers that play gauge columns: over TCP on a port, or several units over RTU on a serial device.

Prints "port N" (0 over RTU). Each line of standard input, "[@<unit>] <table> <register> <value> [value ...]" with table 3
(holding) or 4 (input) and values of 16 bits, sets registers from there on; the unit is 2 where none is named. "@<unit> mute"
and "@<unit> speak" take a unit off the line and put it back, "@<unit> late <seconds>" has it answer so much later, once.
"""
import asyncio
import logging
import os
import sys
import threading
import time

from pymodbus.datastore import ModbusSequentialDataBlock, ModbusServerContext, ModbusSlaveContext
from pymodbus.server.async_io import ModbusSerialServer, ModbusTcpServer

logging.getLogger("pymodbus").setLevel(logging.CRITICAL)


class Unit(ModbusSlaveContext):
    late = 0.0

    def __init__(self):
        super().__init__(
            hr=ModbusSequentialDataBlock(0, [0] * 100),
            ir=ModbusSequentialDataBlock(0, [0] * 100),
            zero_mode=True,
        )

    def getValues(self, *where, **more):
        wait, self.late = self.late, 0.0
        time.sleep(wait)
        return super().getValues(*where, **more)


units = {2: Unit(), 3: Unit()}
context = ModbusServerContext(slaves=dict(units), single=False)


def said(words):
    unit = int(words.pop(0)[1:]) if words[0].startswith("@") else 2
    if words[0] == "mute":
        del context[unit]
    elif words[0] == "speak":
        context[unit] = units[unit]
    elif words[0] == "late":
        units[unit].late = float(words[1])
    else:
        table, register, *values = (int(word) for word in words)
        units[unit].setValues(table, register, values)


def listen():
    for line in sys.stdin:
        said(line.split())
        print("set", flush=True)
    os._exit(0)  # whoever started it is gone


async def over_rtu(device):
    server = ModbusSerialServer(context, port=device, baudrate=19200)
    await server.start()
    print("port 0", flush=True)
    threading.Thread(target=listen, daemon=True).start()
    await server.serve_forever()


async def main():
    if sys.argv[1].startswith("/"):
        return await over_rtu(sys.argv[1])
    server = ModbusTcpServer(context, address=("127.0.0.1", int(sys.argv[1])), allow_reuse_address=True)
    serving = asyncio.ensure_future(server.serve_forever())
    while server.server is None or not server.server.sockets:
        if serving.done():
            serving.result()
        await asyncio.sleep(0.01)
    print("port %d" % server.server.sockets[0].getsockname()[1], flush=True)
    threading.Thread(target=listen, daemon=True).start()
    await serving


asyncio.run(main())
