package org.borewarden.agent.hold.modbus;

import com.digitalpetri.modbus.server.ModbusServices;
import com.digitalpetri.modbus.server.ModbusTcpServer;
import com.digitalpetri.modbus.tcp.server.NettyTcpServerTransport;
import io.netty.channel.Channel;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelInboundHandlerAdapter;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;

/** A Modbus TCP server on one address; knows the port that the system gave it. */
final class ListeningPort {
  private final ModbusTcpServer server;
  private final int port;

  private ListeningPort(ModbusTcpServer server, int port) {
    this.server = server;
    this.port = port;
  }

  /** Opens the port; 0 takes a free one. Who is no peer is cut off before he can say anything. */
  static ListeningPort open(String host, int port, Peers peers, ModbusServices services)
      throws IOException, InterruptedException {
    CompletableFuture<Integer> bound = new CompletableFuture<>();
    NettyTcpServerTransport transport =
        NettyTcpServerTransport.create(
            config -> {
              config.setBindAddress(host);
              config.setPort(port);
              config.setBootstrapCustomizer(bootstrap -> bootstrap.handler(new Door(bound, peers)));
            });
    ModbusTcpServer server = ModbusTcpServer.create(transport, services);
    try {
      server.start();
      return new ListeningPort(server, bound.get());
    } catch (ExecutionException e) {
      throw new IOException("listening on " + host + ":" + port + ": " + e.getCause(), e);
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
      throw new IOException("closing port " + port + ": " + e.getCause(), e);
    }
  }

  /**
   * Tells the port that was bound, soon after the bind, and looks at each caller. Runs on the
   * library's thread.
   */
  private static final class Door extends ChannelInboundHandlerAdapter {
    private final CompletableFuture<Integer> bound;
    private final Peers peers;

    Door(CompletableFuture<Integer> bound, Peers peers) {
      this.bound = bound;
      this.peers = peers;
    }

    @Override
    public void channelActive(ChannelHandlerContext context) {
      bound.complete(((InetSocketAddress) context.channel().localAddress()).getPort());
      context.fireChannelActive();
    }

    @Override
    public void channelRead(ChannelHandlerContext context, Object accepted) {
      if (accepted instanceof Channel caller && !peers.allow(caller.remoteAddress())) {
        // It belongs to no event loop yet, so that it cannot be closed in the usual way.
        caller.unsafe().closeForcibly();
        return;
      }
      context.fireChannelRead(accepted);
    }
  }
}
