package org.borewarden.agent;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import org.borewarden.agent.cli.ListenCommand;
import org.borewarden.agent.cli.PortsCommand;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.source.ByteLink;
import org.borewarden.agent.source.LinkException;
import org.borewarden.agent.source.serial.SerialLink;
import org.borewarden.agent.source.serial.SerialPorts;
import org.borewarden.agent.source.tcp.TcpLink;

/** What the commands {@code ports} and {@code listen} need of the adapters. */
final class GaugePorts {
  private static final Duration CONNECT = Duration.ofSeconds(3);

  private GaugePorts() {}

  static List<PortsCommand.Port> list(Path stable) throws IOException {
    return SerialPorts.list(stable).stream()
        .map(seen -> new PortsCommand.Port(seen.name(), seen.device(), seen.words()))
        .toList();
  }

  static ListenCommand.Wire open(String port, int baud) throws IOException {
    ByteLink link = link(port, baud);
    try {
      link.open();
    } catch (LinkException failed) {
      throw new IOException(failed.detail(), failed);
    }
    return new ListenCommand.Wire() {
      @Override
      public int read(byte[] buffer) {
        return link.read(buffer);
      }

      @Override
      public void close() {
        link.close();
      }
    };
  }

  private static ByteLink link(String port, int baud) {
    if (ListenCommand.isTcp(port)) {
      int colon = port.lastIndexOf(':');
      return new TcpLink(
          new PortConfig.Tcp(
              port.substring(0, colon), Integer.parseInt(port.substring(colon + 1)), CONNECT));
    }
    return new SerialLink(
        new PortConfig.Serial(
            port, baud, 8, PortConfig.Parity.NONE, 1, PortConfig.Flow.NONE, true, true));
  }
}
