package org.borewarden.agent.hold.modbus;

import com.digitalpetri.modbus.client.ModbusTcpClient;
import com.digitalpetri.modbus.pdu.ReadHoldingRegistersRequest;
import com.digitalpetri.modbus.pdu.WriteMultipleRegistersRequest;
import com.digitalpetri.modbus.tcp.client.NettyTcpClientTransport;
import io.netty.channel.ChannelOption;
import java.util.concurrent.CompletableFuture;
import org.borewarden.agent.config.CellConfig;

/**
 * One TCP connection to a controller, used until the first thing goes wrong and then thrown away.
 * It is closed by a reset (linger 0): what the system has not yet sent of an old beat must not
 * arrive after the connection that replaces this one.
 */
final class ControllerConnection {
  private static final int REGISTER_BYTES = 2;

  private final CellConfig.Modbus config;
  private final ModbusTcpClient client;

  ControllerConnection(CellConfig.Modbus config) {
    this.config = config;
    NettyTcpClientTransport transport =
        NettyTcpClientTransport.create(
            netty -> {
              netty.setHostname(config.host());
              netty.setPort(config.port());
              netty.setConnectTimeout(config.connectWithin());
              netty.setConnectPersistent(false);
              netty.setBootstrapCustomizer(
                  bootstrap -> bootstrap.option(ChannelOption.SO_LINGER, 0));
            });
    this.client =
        ModbusTcpClient.create(
            transport, modbus -> modbus.setRequestTimeout(config.answerWithin()));
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

  void close() {
    client.disconnectAsync();
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
