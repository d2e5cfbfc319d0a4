package org.borewarden.demo.controller;

import com.digitalpetri.modbus.server.ModbusServices;
import com.digitalpetri.modbus.server.ModbusTcpServer;
import com.digitalpetri.modbus.tcp.server.NettyTcpServerTransport;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelInboundHandlerAdapter;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;

/** A Modbus TCP server on one address; knows the port that the system gave it. */
final class RegisterPort {
  private final ModbusTcpServer server;
  private final int port;

  private RegisterPort(ModbusTcpServer server, int port) {
    this.server = server;
    this.port = port;
  }

  /** Opens the port; 0 takes a free one. */
  static RegisterPort open(String host, int port, ModbusServices services)
      throws IOException, InterruptedException {
    CompletableFuture<Integer> bound = new CompletableFuture<>();
    NettyTcpServerTransport transport =
        NettyTcpServerTransport.create(
            config -> {
              config.setBindAddress(host);
              config.setPort(port);
              config.setExecutor(new SameThread());
              config.setBootstrapCustomizer(bootstrap -> bootstrap.handler(new Bound(bound)));
            });
    ModbusTcpServer server = ModbusTcpServer.create(transport, services);
    try {
      server.start();
      return new RegisterPort(server, bound.get());
    } catch (ExecutionException e) {
      throw new IOException("listening on " + host + ":" + port, e);
    }
  }

  int port() {
    return port;
  }

  /** Closes the port and every connection to it. */
  void close() throws IOException, InterruptedException {
    try {
      server.stop();
    } catch (ExecutionException e) {
      throw new IOException("closing port " + port, e);
    }
  }

  /** Tells the port that was bound; runs on the library's thread soon after the bind. */
  private static final class Bound extends ChannelInboundHandlerAdapter {
    private final CompletableFuture<Integer> bound;

    Bound(CompletableFuture<Integer> bound) {
      this.bound = bound;
    }

    @Override
    public void channelActive(ChannelHandlerContext context) {
      bound.complete(((InetSocketAddress) context.channel().localAddress()).getPort());
      context.fireChannelActive();
    }
  }
}
