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
import org.borewarden.rules.file.yaml.Lists;
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

  /** The keys of which each port has one. */
  static final List<String> KEYS =
      List.of("serial", "tcp", "listen", "mqtt", "modbus", "file", "stdin");

  static final int MOST_PEERS = 16;
  static final int LONGEST_TOPIC = 200;

  private LinkReader() {}

  /** The reader of the link under a key. */
  static Reader<Link> of(String key, FilePaths paths) {
    return switch (key) {
      case "serial" -> link(serial());
      case "tcp" -> tcp();
      case "listen" -> listen();
      case "mqtt" -> topic();
      case "modbus" -> modbus();
      case "file" -> file(paths);
      default -> standardInput();
    };
  }

  private static Reader<Link> link(Reader<? extends Link> reader) {
    return Reader.of(reader.expects(), item -> reader.read(item).map(link -> link));
  }

  /** A serial port. */
  static Reader<Serial> serial() {
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

  private static Optional<Serial> serial(Fields fields) {
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

  private static Reader<Link> tcp() {
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

  private static Reader<Link> listen() {
    return Reader.of(
        "an address of this machine and a port, such as 127.0.0.1:4001, or a mapping",
        item ->
            item.isMapping()
                ? Fields.open(item, AgentKeys.LISTEN).flatMap(LinkReader::listen)
                : Hosts.endpoint(Optional.empty())
                    .read(item)
                    .flatMap(
                        end ->
                            Hosts.isLoopback(end.host())
                                ? Optional.of(new ListenLink(end.host(), end.port(), List.of()))
                                : item.refuse(
                                    "expected a mapping with host, port and peers, since others"
                                        + " than this machine may call "
                                        + end.host())));
  }

  private static Optional<Link> listen(Fields fields) {
    Optional<String> host = fields.required("host", Hosts.host());
    Optional<Integer> port = fields.required("port", Hosts.port());
    if (host.filter(h -> !Hosts.isLoopback(h)).isPresent() && !fields.has("peers")) {
      fields.missing("peers", "the addresses that may call " + host.get());
    }
    List<String> peers =
        fields.orElse("peers", Lists.of("addresses", 1, MOST_PEERS, Hosts.address()), List.of());
    return host.flatMap(h -> port.map(p -> new ListenLink(h, p, peers)));
  }

  private static Reader<Link> topic() {
    return Reader.scalar(
        "a topic of the agent's broker, such as gateway/bore-1/value (+ and # as MQTT has them)",
        text ->
            Optional.of(text)
                .filter(t -> t.length() <= LONGEST_TOPIC && !t.startsWith("$"))
                .filter(LinkReader::isFilter)
                .map(MqttInLink::new));
  }

  /** MQTT 5.0, 4.7.1: a plus is a whole level, a number sign the last one. */
  private static boolean isFilter(String text) {
    String[] levels = text.split("/", -1);
    for (int i = 0; i < levels.length; i++) {
      boolean last = i == levels.length - 1;
      if ((levels[i].contains("#") && !(last && levels[i].equals("#")))
          || (levels[i].contains("+") && !levels[i].equals("+"))
          || levels[i].chars().anyMatch(c -> c < ' ' || c == 0x7F)) {
        return false;
      }
    }
    return !text.isEmpty();
  }

  private static Reader<Link> modbus() {
    return Reader.of(
        "a mapping with host, register, type and every",
        item -> Fields.open(item, AgentKeys.MODBUS_IN).flatMap(ModbusInReader::link));
  }

  private static Reader<Link> file(FilePaths paths) {
    return Reader.of(
        "a path, or a mapping",
        item ->
            item.isMapping()
                ? Fields.open(item, AgentKeys.FOLLOW).flatMap(fields -> file(fields, paths))
                : paths.path().read(item).map(path -> new FollowLink(path, false)));
  }

  private static Optional<Link> file(Fields fields, FilePaths paths) {
    boolean start = "start".equals(fields.orElse("from", Scalars.word("end", "start"), ""));
    return fields.required("path", paths.path()).map(path -> new FollowLink(path, start));
  }

  private static Reader<Link> standardInput() {
    return Reader.scalar(
        "true",
        text -> text.equals("true") ? Optional.of(new StandardInputLink()) : Optional.empty());
  }

  private static <E extends Enum<E>> Reader<E> words(E[] values) {
    List<E> choices = Arrays.asList(values);
    return Scalars.word(choices, e -> e.name().toLowerCase(Locale.ROOT).replace('_', '-'));
  }

  /** What tells one link from another, and a person where it leads. */
  static String name(Link link) {
    if (link instanceof Serial serial) {
      return serial.device();
    } else if (link instanceof Tcp tcp) {
      return tcp.host() + ":" + tcp.port();
    } else if (link instanceof ListenLink listen) {
      return "calls to " + listen.host() + ":" + listen.port();
    } else if (link instanceof MqttInLink mqtt) {
      return "topic " + mqtt.topic();
    } else if (link instanceof ModbusInLink modbus) {
      return "register "
          + modbus.register()
          + " of unit "
          + modbus.unit()
          + " at "
          + modbus.place();
    }
    return link instanceof FollowLink file ? "file " + file.path() : "standard input";
  }
}
