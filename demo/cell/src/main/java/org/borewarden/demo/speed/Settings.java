package org.borewarden.demo.speed;

import java.io.IOException;
import java.net.InetAddress;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;

/** The files that the measured processes are started with. */
final class Settings {
  /** One bearing seat; a bore over its upper limit withdraws the permit. */
  static final String RULES =
      """
      part: housing-31
      features:
        - id: bearing-seat
          gauge: bore-1
          nominal: 62.000 mm
          upper: +0.030 mm
          lower: 0 mm
          watches:
            - forecast: {alert-within: 2 parts}
            - run-on-one-side: {action: note}
      """;

  private static final Path MOSQUITTO = Path.of("/usr/sbin/mosquitto");

  private Settings() {}

  static String agent(int broker, int controller, int gauge) {
    return String.format(
        Locale.ROOT,
        """
    agent: northworks-cell-4
    root: northworks/housings/cell-4
    rules: rules.yaml
    data: data
    broker: mqtt://127.0.0.1:%s
    gauges:
      - {id: bore-1, tcp: "127.0.0.1:%s", unit: mm}
    cells:
      - id: cell-4
        modbus: {host: 127.0.0.1, port: %s, base: 100, cell-base: 200}
        mqtt: informs
    http: {port: 0}
    commands: {trust: broker}
    """,
        broker,
        gauge,
        controller);
  }

  /** The command of a broker: mosquitto where it is installed, else the one of the demo. */
  static List<String> broker(Path work, String java, String jars, int port) throws IOException {
    if (!Files.isExecutable(MOSQUITTO)) {
      String main = "org.borewarden.demo.broker.Broker";
      return List.of(java, "-cp", jars, main, "--port", String.valueOf(port));
    }
    Path conf = work.resolve("mosquitto.conf");
    Files.writeString(
        conf,
        "listener " + port + " 127.0.0.1\nallow_anonymous true\nset_tcp_nodelay true\n",
        StandardCharsets.UTF_8);
    return List.of(MOSQUITTO.toString(), "-c", conf.toString());
  }

  static boolean answers(int port) {
    try (Socket probe = new Socket(InetAddress.getLoopbackAddress(), port)) {
      return probe.isConnected();
    } catch (IOException notYet) {
      return false;
    }
  }
}
