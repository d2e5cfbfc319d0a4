package org.borewarden.rules;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;

/** Reads a test resource that lies beside a test class. */
public final class Resource {
  private Resource() {}

  /** Its lines, without comments (from # on) and empty ones. */
  public static List<String> lines(Class<?> beside, String name) {
    try (InputStream in = beside.getResourceAsStream(name)) {
      if (in == null) {
        throw new IllegalArgumentException("no resource " + name + " beside " + beside);
      }
      return new String(in.readAllBytes(), StandardCharsets.UTF_8)
          .lines()
          .map(line -> line.replaceAll("#.*", "").strip())
          .filter(line -> !line.isEmpty())
          .toList();
    } catch (IOException e) {
      throw new UncheckedIOException("reading " + name, e);
    }
  }
}
