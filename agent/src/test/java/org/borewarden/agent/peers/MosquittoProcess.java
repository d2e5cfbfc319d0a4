package org.borewarden.agent.peers;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/**
 * Debian's mosquitto as a child process, with its own defaults (topic aliases on, 20 in flight),
 * its own folder and an ephemeral port.
 */
public final class MosquittoProcess extends BrokerProcess {
  private final Path folder;
  private final List<String> lines;

  private MosquittoProcess(Path folder, List<String> lines) {
    this.folder = folder;
    this.lines = lines;
  }

  /**
   * Starts one that lets anybody in.
   *
   * @return the broker
   */
  static MosquittoProcess start() {
    return start(List.of("allow_anonymous true"));
  }

  /**
   * Starts one.
   *
   * @param lines of its configuration, beside listener and folder
   * @return the broker
   */
  static MosquittoProcess start(List<String> lines) {
    try {
      MosquittoProcess broker =
          new MosquittoProcess(Files.createTempDirectory("borewarden-broker"), lines);
      broker.writeConfiguration();
      broker.launch();
      return broker;
    } catch (IOException noFolder) {
      throw new UncheckedIOException(noFolder);
    }
  }

  private void writeConfiguration() throws IOException {
    List<String> all = new ArrayList<>();
    all.add("listener " + port() + " 127.0.0.1");
    all.add("persistence_location " + folder + "/");
    all.add("log_type none");
    if (System.getProperty("user.name", "").equals("root")) {
      all.add("user root");
    }
    all.addAll(lines);
    Files.write(folder.resolve("mosquitto.conf"), all, StandardCharsets.UTF_8);
  }

  /** Stops and starts it as a service manager would; what it persists it keeps. */
  public void bounce() {
    terminate();
    launch();
  }

  @Override
  public String kind() {
    return "mosquitto process";
  }

  @Override
  List<String> command() {
    return List.of(
        Peers.program("mosquitto").toString(), "-c", folder.resolve("mosquitto.conf").toString());
  }

  @Override
  public void close() {
    super.close();
    try (var files = Files.list(folder)) {
      for (Path file : files.toList()) {
        Files.delete(file);
      }
      Files.delete(folder);
    } catch (IOException left) {
      throw new UncheckedIOException(left);
    }
  }
}
