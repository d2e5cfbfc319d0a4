package org.borewarden.agent;

import java.io.InputStream;
import java.util.Optional;
import java.util.function.Function;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.config.FollowLink;
import org.borewarden.agent.config.ListenLink;
import org.borewarden.agent.config.ModbusInLink;
import org.borewarden.agent.config.MqttInLink;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.source.AskingLink;
import org.borewarden.agent.source.ByteLink;
import org.borewarden.agent.source.TwoWayLink;
import org.borewarden.agent.source.file.FollowedFile;
import org.borewarden.agent.source.file.StandardInput;
import org.borewarden.agent.source.modbus.RegisterLinks;
import org.borewarden.agent.source.mqtt.MessageLink;
import org.borewarden.agent.source.serial.SerialLink;
import org.borewarden.agent.source.tcp.ListeningLink;
import org.borewarden.agent.source.tcp.TcpLink;

/** Makes the link of each port: the one place that knows every kind. */
final class Links {
  private final MonotonicClock clock;
  private final RegisterLinks registers;
  private final InputStream in;
  private final Optional<MqttLink> broker;
  private final Function<String, Optional<String>> bookmarks;
  private final AskedPorts asked;

  /**
   * A maker of links.
   *
   * @param clock for the times between requests
   * @param in standard input
   * @param broker the connection for gauges on the broker; must stand where a port needs it
   * @param bookmarks where the last reading of a port ended
   * @param asked learns the ports that are asked by command
   */
  Links(
      MonotonicClock clock,
      InputStream in,
      Optional<MqttLink> broker,
      Function<String, Optional<String>> bookmarks,
      AskedPorts asked) {
    this.clock = clock;
    this.registers = new RegisterLinks(clock);
    this.in = in;
    this.broker = broker;
    this.bookmarks = bookmarks;
    this.asked = asked;
  }

  /** The link of a port, not yet open. */
  ByteLink of(PortConfig port) {
    PortConfig.Link link = port.link();
    if (link instanceof PortConfig.Serial serial) {
      return asked(port, new SerialLink(serial));
    } else if (link instanceof PortConfig.Tcp tcp) {
      return asked(port, new TcpLink(tcp));
    } else if (link instanceof ListenLink listen) {
      return asked(port, new ListeningLink(listen));
    } else if (link instanceof MqttInLink mqtt) {
      return new MessageLink(mqtt, broker.orElseThrow());
    } else if (link instanceof ModbusInLink modbus) {
      return registers.of(modbus);
    }
    return link instanceof FollowLink file
        ? new FollowedFile(file, bookmarks.apply(port.id()))
        : new StandardInput(in);
  }

  private ByteLink asked(PortConfig port, TwoWayLink link) {
    if (port.asking().isEmpty()) {
      return link;
    }
    AskingLink asking = new AskingLink(link, port.asking().get(), clock);
    if (port.asking().get().isByCommand()) {
      asked.named(port.id(), asking);
    }
    return asking;
  }
}
