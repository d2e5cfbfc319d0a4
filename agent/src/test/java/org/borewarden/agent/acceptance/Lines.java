package org.borewarden.agent.acceptance;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.function.Consumer;

/** Hands on what a process says, line by line, until it ends. */
final class Lines {
  private Lines() {}

  static void follow(String name, InputStream output, Consumer<String> listener) {
    Thread reader = new Thread(() -> read(output, listener), name);
    reader.setDaemon(true);
    reader.start();
  }

  private static void read(InputStream output, Consumer<String> listener) {
    try (BufferedReader lines =
        new BufferedReader(new InputStreamReader(output, StandardCharsets.UTF_8))) {
      for (String line = lines.readLine(); line != null; line = lines.readLine()) {
        listener.accept(line);
      }
    } catch (IOException killed) {
      // The process was ended while it spoke; what it had said is taken.
    }
  }
}
