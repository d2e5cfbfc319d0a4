package org.borewarden.agent.config;

import java.net.InetAddress;
import java.net.UnknownHostException;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;

/** The readers of hosts and ports. */
final class Hosts {
  static final int HIGHEST_PORT = 65_535;

  private static final String NAME = "[A-Za-z0-9](?:[A-Za-z0-9.-]{0,251}[A-Za-z0-9])?";
  private static final String NUMERIC_6 = "[0-9A-Fa-f:.]{2,45}";
  private static final Pattern HOST = Pattern.compile(NAME + "|" + NUMERIC_6);
  private static final Pattern NUMERIC =
      Pattern.compile("[0-9]{1,3}(\\.[0-9]{1,3}){3}|[0-9A-Fa-f:.]*:[0-9A-Fa-f:.]*");
  private static final Pattern LOOPBACK = Pattern.compile("localhost|::1|127(?:\\.[0-9]{1,3}){3}");
  private static final Pattern WITH_PORT =
      Pattern.compile("(" + NAME + "|\\[" + NUMERIC_6 + "\\])(?::([0-9]{1,5}))?");

  private Hosts() {}

  /**
   * A host and a port.
   *
   * @param host the name or address
   * @param port the port
   */
  record Endpoint(String host, int port) {}

  static Reader<String> host() {
    return Reader.scalar(
        "a host name or address, such as 192.168.10.20",
        text -> Optional.of(text).filter(t -> HOST.matcher(t).matches()));
  }

  /** An address in numbers: nobody else can say where it leads. */
  static Reader<String> address() {
    return Reader.scalar(
        "an address in numbers, such as 192.168.10.20",
        text -> Optional.of(text).filter(Hosts::isNumeric));
  }

  private static boolean isNumeric(String text) {
    return NUMERIC.matcher(text).matches() && parses(text);
  }

  /** A literal is parsed and not looked up. */
  private static boolean parses(String text) {
    try {
      return InetAddress.getByName(text).getHostAddress() != null;
    } catch (UnknownHostException notAnAddress) {
      return false;
    }
  }

  /** Whether a host is this machine and can be reached from nowhere else. */
  static boolean isLoopback(String host) {
    return LOOPBACK.matcher(host).matches();
  }

  /** An address that only this machine reaches, for what has neither TLS nor a token. */
  static Reader<String> loopback() {
    return Reader.scalar(
        "a loopback address, such as 127.0.0.1 (there is no TLS and no token here: for others put a"
            + " proxy with both before it)",
        text -> Optional.of(text).filter(t -> LOOPBACK.matcher(t).matches()));
  }

  static Reader<Integer> port() {
    return Scalars.whole(1, HIGHEST_PORT);
  }

  /** A host with its port behind a colon; with a usual port the port may be left out. */
  static Reader<Endpoint> endpoint(Optional<Integer> usual) {
    String expects =
        usual.isPresent()
            ? "a host, with or without a port, such as 192.168.10.20 or 192.168.10.20:"
                + usual.get()
            : "a host and its port, such as 192.168.10.30:4001";
    return Reader.scalar(expects, text -> parsed(text, usual));
  }

  private static Optional<Endpoint> parsed(String text, Optional<Integer> usual) {
    Matcher matcher = WITH_PORT.matcher(text);
    if (!matcher.matches()) {
      return Optional.empty();
    }
    String host = matcher.group(1).replace("[", "").replace("]", "");
    return Optional.ofNullable(matcher.group(2))
        .map(Integer::valueOf)
        .or(() -> usual)
        .filter(port -> port >= 1 && port <= HIGHEST_PORT)
        .map(port -> new Endpoint(host, port));
  }
}
