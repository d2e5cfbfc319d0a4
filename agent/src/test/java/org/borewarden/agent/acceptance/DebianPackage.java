package org.borewarden.agent.acceptance;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.stream.Stream;

/** The Debian package that the build made. */
final class DebianPackage {
  private static final Path DIST =
      Path.of(Optional.ofNullable(System.getProperty("borewarden.dist")).orElseThrow());

  private DebianPackage() {}

  /** The agent.yaml of one gauge on a serial port and one cell over MQTT. */
  static String agentYaml(int broker, String device) {
    return """
        agent: northworks-cell-4
        root: northworks/housings/cell-4
        rules: rules.yaml
        data: /var/lib/borewarden
        broker: mqtt://127.0.0.1:%d
        gauges:
          - {id: bore-1, serial: %s, unit: mm}
        cells:
          - {id: cell-4, mqtt: only-path}
        http: off
        """
        .formatted(broker, device);
  }

  /** Installs it, or upgrades to it; what that said. */
  static String install(CleanRoot root) throws IOException, InterruptedException {
    root.copyIn(built(), "/borewarden.deb");
    // Java may have come to this machine otherwise than by a package.
    return root.run("dpkg", "--force-confold", "--force-depends", "--install", "/borewarden.deb");
  }

  private static Path built() throws IOException {
    try (Stream<Path> built = Files.list(DIST.resolve("../..").toAbsolutePath().normalize())) {
      return built.filter(file -> file.toString().endsWith(".deb")).findFirst().orElseThrow();
    }
  }
}
