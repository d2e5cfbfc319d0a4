package org.borewarden.agent.source.tcp;

import java.io.IOException;
import java.net.Socket;
import java.net.SocketTimeoutException;
import java.net.StandardSocketOptions;
import jdk.net.ExtendedSocketOptions;
import org.borewarden.agent.source.ByteLink;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * A socket with the settings of a gauge's. A peer that vanished without a word is noticed by
 * keep-alive probes after about 25 s; where the system cannot set their pace, after its own time,
 * which is usually two hours.
 */
final class OpenSocket {
  private static final int KEEP_ALIVE_IDLE_SECONDS = 10;
  private static final int KEEP_ALIVE_INTERVAL_SECONDS = 5;
  private static final int KEEP_ALIVE_PROBES = 3;
  private static final Logger LOG = LoggerFactory.getLogger(OpenSocket.class);

  private final Socket socket;
  private final String name;

  OpenSocket(Socket socket, String name) {
    this.socket = socket;
    this.name = name;
  }

  void set() throws IOException {
    socket.setTcpNoDelay(true);
    socket.setSoTimeout(ByteLink.TICK_MILLIS);
    socket.setOption(StandardSocketOptions.SO_KEEPALIVE, true);
    if (socket.supportedOptions().contains(ExtendedSocketOptions.TCP_KEEPIDLE)) {
      socket.setOption(ExtendedSocketOptions.TCP_KEEPIDLE, KEEP_ALIVE_IDLE_SECONDS);
      socket.setOption(ExtendedSocketOptions.TCP_KEEPINTERVAL, KEEP_ALIVE_INTERVAL_SECONDS);
      socket.setOption(ExtendedSocketOptions.TCP_KEEPCOUNT, KEEP_ALIVE_PROBES);
    }
  }

  /** What {@link ByteLink#read} says. */
  int read(byte[] buffer) {
    try {
      return socket.getInputStream().read(buffer);
    } catch (SocketTimeoutException nothingCame) {
      return 0;
    } catch (IOException lost) {
      LOG.debug("Lost {}", name, lost);
      return -1;
    }
  }

  boolean write(byte[] bytes) {
    try {
      socket.getOutputStream().write(bytes);
      return true;
    } catch (IOException lost) {
      LOG.debug("Lost {}", name, lost);
      return false;
    }
  }

  void close() {
    try {
      socket.close();
    } catch (IOException unclean) {
      LOG.debug("Closing {} failed", name, unclean);
    }
  }
}
