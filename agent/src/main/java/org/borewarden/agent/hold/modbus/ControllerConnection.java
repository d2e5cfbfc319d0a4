package org.borewarden.agent.hold.modbus;

import com.digitalpetri.modbus.client.ModbusTcpClient;
import com.digitalpetri.modbus.pdu.ReadHoldingRegistersRequest;
import com.digitalpetri.modbus.pdu.WriteMultipleRegistersRequest;
import java.time.Duration;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.config.CellConfig;

/** One TCP connection to a controller, used until the first thing goes wrong, then thrown away. */
final class ControllerConnection {
  private static final int REGISTER_BYTES = 2;

  /** The next connection waits so long at most until this one is gone. */
  private static final Duration GONE_WITHIN = Duration.ofMillis(100);

  private final CellConfig.Modbus config;
  private final ModbusTcpClient client;

  ControllerConnection(CellConfig.Modbus config) {
    this.config = config;
    this.client =
        ModbusTcpClient.create(
            new ControllerSocket(config.host(), config.port(), config.connectWithin()),
            modbus -> modbus.setRequestTimeout(config.answerWithin()));
  }

  /** Connects; true when it stands. */
  CompletableFuture<Boolean> connect() {
    return client.connectAsync().toCompletableFuture().thenApply(nothing -> true);
  }

  /** One FC16 of block A; true when it was answered. */
  CompletableFuture<Boolean> write(int[] blockA) {
    byte[] bytes = bytes(blockA);
    return client
        .writeMultipleRegistersAsync(
            config.unit(), new WriteMultipleRegistersRequest(config.base(), blockA.length, bytes))
        .toCompletableFuture()
        .thenApply(answer -> true);
  }

  /** One FC03 of block B. */
  CompletableFuture<int[]> read() {
    return client
        .readHoldingRegistersAsync(
            config.unit(), new ReadHoldingRegistersRequest(config.cellBase(), RegisterMap.B_SIZE))
        .toCompletableFuture()
        .thenApply(answer -> words(answer.registers()));
  }

  /** Closes it; returns when it is closed, or goes on without it after a tenth of a second. */
  void close() {
    client
        .disconnectAsync()
        .toCompletableFuture()
        .completeOnTimeout(null, GONE_WITHIN.toMillis(), TimeUnit.MILLISECONDS)
        .join();
  }

  static byte[] bytes(int[] words) {
    byte[] bytes = new byte[REGISTER_BYTES * words.length];
    for (int i = 0; i < words.length; i++) {
      bytes[REGISTER_BYTES * i] = (byte) (words[i] >> 8);
      bytes[REGISTER_BYTES * i + 1] = (byte) words[i];
    }
    return bytes;
  }

  static int[] words(byte[] bytes) {
    int[] words = new int[bytes.length / REGISTER_BYTES];
    for (int i = 0; i < words.length; i++) {
      words[i] = ((bytes[REGISTER_BYTES * i] & 0xFF) << 8) | (bytes[REGISTER_BYTES * i + 1] & 0xFF);
    }
    return words;
  }
}
