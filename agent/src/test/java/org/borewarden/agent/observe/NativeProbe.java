package org.borewarden.agent.observe;

import com.fazecast.jSerialComm.SerialPort;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;

/** Loads both native libraries in a Java machine of its own and says where they came from. */
final class NativeProbe {
  private NativeProbe() {}

  public static void main(String[] arguments) throws Exception {
    SerialPort.getCommPorts();
    com.sun.jna.Native.getNativeSize(int.class);
    try (Connection memory = DriverManager.getConnection("jdbc:sqlite::memory:")) {
      memory.createStatement().execute("select 1");
    }
    for (String library : mapped()) {
      System.out.println("LOADED " + library);
    }
  }

  private static List<String> mapped() throws IOException {
    try (Stream<String> maps = Files.lines(Path.of("/proc/self/maps"))) {
      return maps.map(line -> line.substring(line.lastIndexOf(' ') + 1))
          .filter(NativeProbe::isOurs)
          .distinct()
          .toList();
    }
  }

  private static boolean isOurs(String path) {
    String name = path.toLowerCase(Locale.ROOT);
    return name.contains("serialcomm.so")
        || name.contains("sqlitejdbc")
        || name.contains("jnidispatch");
  }
}
