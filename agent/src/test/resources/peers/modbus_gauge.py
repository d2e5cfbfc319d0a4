"""A foreign Modbus TCP server that plays a gauge column.

Prints "port N". Each line of standard input, "<table> <register> <value> [value ...]" with table 3 (holding) or
4 (input) and values of 16 bits, sets registers from there on.
"""
import asyncio
import logging
import os
import sys
import threading

from pymodbus.datastore import ModbusSequentialDataBlock, ModbusServerContext, ModbusSlaveContext
from pymodbus.server.async_io import ModbusTcpServer

logging.getLogger("pymodbus").setLevel(logging.CRITICAL)

slave = ModbusSlaveContext(
    hr=ModbusSequentialDataBlock(0, [0] * 100),
    ir=ModbusSequentialDataBlock(0, [0] * 100),
    zero_mode=True,
)
context = ModbusServerContext(slaves={2: slave}, single=False)


def listen():
    for line in sys.stdin:
        table, register, *values = (int(word) for word in line.split())
        slave.setValues(table, register, values)
        print("set", flush=True)
    os._exit(0)  # whoever started it is gone


async def main():
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
