package org.borewarden.agent.source.modbus;

import com.digitalpetri.modbus.client.ModbusClient;
import com.digitalpetri.modbus.exceptions.ModbusException;
import com.digitalpetri.modbus.exceptions.ModbusExecutionException;
import com.digitalpetri.modbus.pdu.ReadHoldingRegistersRequest;
import com.digitalpetri.modbus.pdu.ReadInputRegistersRequest;
import java.time.Duration;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.config.ModbusInLink;

/**
 * Where registers are read. Opened and read on the thread of the link; closed on any, which ends a
 * read that waits. Each opening is closed once, also one that threw.
 */
interface RegisterServer {
  /** Bytes of a register. */
  int REGISTER_BYTES = 2;

  /** The next connection waits so long at most until the one before is gone. */
  Duration GONE_WITHIN = Duration.ofMillis(100);

  /**
   * Connects.
   *
   * @throws ModbusException when that failed
   * @throws InterruptedException when a stop was asked for
   */
  void open() throws ModbusException, InterruptedException;

  /**
   * Reads registers by one request.
   *
   * @param link the unit and the table
   * @param first the first register
   * @param count how many
   * @return their bytes, two a register
   * @throws ModbusException when they could not be read
   * @throws InterruptedException when a stop was asked for
   */
  byte[] read(ModbusInLink link, int first, int count) throws ModbusException, InterruptedException;

  /** Gives back one opening. */
  void close();

  /** Asks, and holds what comes against what was asked for. */
  static byte[] ask(ModbusClient client, ModbusInLink link, int first, int count)
      throws ModbusException {
    byte[] bytes =
        switch (link.table()) {
          case HOLDING ->
              client
                  .readHoldingRegisters(link.unit(), new ReadHoldingRegistersRequest(first, count))
                  .registers();
          case INPUT ->
              client
                  .readInputRegisters(link.unit(), new ReadInputRegistersRequest(first, count))
                  .registers();
        };
    if (bytes.length != count * REGISTER_BYTES) {
      throw new ModbusExecutionException("answered with " + bytes.length + " bytes");
    }
    return bytes;
  }

  /** Hangs up, and waits a moment until that is done. */
  static void hangUp(ModbusClient client) {
    client
        .disconnectAsync()
        .toCompletableFuture()
        .completeOnTimeout(null, GONE_WITHIN.toMillis(), TimeUnit.MILLISECONDS)
        .exceptionally(alreadyGone -> null)
        .join();
  }
}
