package org.borewarden.agent.config;

import java.time.Duration;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.borewarden.agent.config.PortConfig.Flow;
import org.borewarden.agent.config.PortConfig.Link;
import org.borewarden.agent.config.PortConfig.Parity;
import org.borewarden.agent.config.PortConfig.Serial;
import org.borewarden.agent.config.PortConfig.Tcp;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;

/** Reads how the bytes of a port come: a device or address alone, or a mapping. */
final class LinkReader {
  static final int USUAL_BAUD = 9_600;
  static final int LEAST_BAUD = 300;
  static final int MOST_BAUD = 921_600;
  static final int LONGEST_DEVICE = 200;
  static final Duration USUAL_CONNECT = Duration.ofSeconds(3);
  static final Duration SHORTEST_CONNECT = Duration.ofMillis(100);
  static final Duration LONGEST_CONNECT = Duration.ofSeconds(30);

  private LinkReader() {}

  static Reader<Link> serial() {
    return Reader.of(
        "a device such as /dev/serial/by-id/... or COM3, or a mapping",
        item ->
            item.isMapping()
                ? Fields.open(item, AgentKeys.SERIAL).flatMap(LinkReader::serial)
                : device()
                    .read(item)
                    .map(
                        device ->
                            new Serial(
                                device, USUAL_BAUD, 8, Parity.NONE, 1, Flow.NONE, true, true)));
  }

  private static Optional<Link> serial(Fields fields) {
    Optional<String> device = fields.required("device", device());
    int baud = fields.orElse("baud", Scalars.whole(LEAST_BAUD, MOST_BAUD), USUAL_BAUD);
    int dataBits = fields.orElse("data-bits", Scalars.whole(5, 8), 8);
    Parity parity = fields.orElse("parity", words(Parity.values()), Parity.NONE);
    int stopBits = fields.orElse("stop-bits", Scalars.whole(1, 2), 1);
    Flow flow = fields.orElse("flow", words(Flow.values()), Flow.NONE);
    boolean dtr = fields.orElse("dtr", Scalars.flag(), true);
    boolean rts = fields.orElse("rts", Scalars.flag(), true);
    return device.map(d -> new Serial(d, baud, dataBits, parity, stopBits, flow, dtr, rts));
  }

  private static Reader<String> device() {
    return Scalars.text(LONGEST_DEVICE);
  }

  static Reader<Link> tcp() {
    return Reader.of(
        "a host and its port, or a mapping",
        item ->
            item.isMapping()
                ? Fields.open(item, AgentKeys.TCP).flatMap(LinkReader::tcp)
                : Hosts.endpoint(Optional.empty())
                    .read(item)
                    .map(end -> new Tcp(end.host(), end.port(), USUAL_CONNECT)));
  }

  private static Optional<Link> tcp(Fields fields) {
    Optional<String> host = fields.required("host", Hosts.host());
    Optional<Integer> port = fields.required("port", Hosts.port());
    Duration connect =
        fields.orElse(
            "connect-within", Scalars.duration(SHORTEST_CONNECT, LONGEST_CONNECT), USUAL_CONNECT);
    return host.flatMap(h -> port.map(p -> new Tcp(h, p, connect)));
  }

  private static <E extends Enum<E>> Reader<E> words(E[] values) {
    List<E> choices = Arrays.asList(values);
    return Scalars.word(choices, e -> e.name().toLowerCase(Locale.ROOT).replace('_', '-'));
  }

  /** What tells one link from another, and a person where it leads. */
  static String name(Link link) {
    if (link instanceof Serial serial) {
      return serial.device();
    }
    Tcp tcp = (Tcp) link;
    return tcp.host() + ":" + tcp.port();
  }
}
