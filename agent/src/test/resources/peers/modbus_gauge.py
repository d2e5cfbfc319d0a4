"""A foreign Modbus server that plays a gauge column: over TCP on a port, or over RTU on a serial device.

Prints "port N" (0 over RTU). Each line of standard input, "<table> <register> <value> [value ...]" with table 3 (holding) or
4 (input) and values of 16 bits, sets registers from there on.
"""
import asyncio
import logging
import os
import sys
import threading

from pymodbus.datastore import ModbusSequentialDataBlock, ModbusServerContext, ModbusSlaveContext
from pymodbus.server.async_io import ModbusSerialServer, ModbusTcpServer

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
