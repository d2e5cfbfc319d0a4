package org.borewarden.agent.source.serial;

import com.fazecast.jSerialComm.SerialPort;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.stream.Stream;

/** The serial ports of this machine, each with the name that stays when it is plugged elsewhere. */
public final class SerialPorts {
  private SerialPorts() {}

  /**
   * A serial port.
   *
   * @param name the name to write into agent.yaml: a stable one where the system gives one
   * @param device the device that it stands for now
   * @param words what the system says of it; empty where nothing
   */
  public record Seen(String name, String device, String words) {}

  /**
   * The ports.
   *
   * @param stable the folder of links that the system names by what is plugged in
   * @return sorted by name; those with a stable name first
   * @throws IOException when the folder is there and cannot be read
   */
  public static List<Seen> list(Path stable) throws IOException {
    List<Seen> seen = new ArrayList<>();
    Set<Path> named = new HashSet<>();
    if (Files.isDirectory(stable)) {
      try (Stream<Path> links = Files.list(stable)) {
        for (Path link : links.sorted().toList()) {
          if (Files.exists(link)) {
            Path device = link.toRealPath();
            named.add(device);
            seen.add(new Seen(link.toString(), device.toString(), ""));
          }
        }
      }
    }
    for (SerialPort port : SerialPort.getCommPorts()) {
      String device = port.getSystemPortPath();
      if (!named.contains(real(device))) {
        seen.add(new Seen(device, device, words(port)));
      }
    }
    return List.copyOf(seen);
  }

  private static Path real(String device) throws IOException {
    Path path = Path.of(device);
    return Files.exists(path) ? path.toRealPath() : path;
  }

  /** The driver says its own name where the system has none. */
  private static String words(SerialPort port) {
    String words = port.getDescriptivePortName();
    return words.toLowerCase(Locale.ROOT).contains("unknown") ? "" : words;
  }
}
