package org.borewarden.agent.config;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;

/**
 * Files that are refused, from a test resource that people can read: {@code == sentence | what the
 * schema says}, the file, {@code --}, the lines that the reader answers.
 */
record Cases(String sentence, Schema schema, String text, List<String> problems) {
  /** What the schema says of the same file. */
  enum Schema {
    /** It refuses it too. */
    REFUSES,
    /** It cannot express what is wrong. */
    ACCEPTS
  }

  @Override
  public String toString() {
    return sentence;
  }

  static List<Cases> of(String resource) {
    List<Cases> cases = new ArrayList<>();
    for (String part : resource(resource).split("(?m)^== ", -1)) {
      if (part.isBlank() || part.startsWith("#")) {
        continue;
      }
      int head = part.indexOf('\n');
      String[] title = part.substring(0, head).split(" \\| schema ", -1);
      String[] halves = part.substring(head + 1).split("(?m)^--\n", 2);
      cases.add(
          new Cases(
              title[0],
              Schema.valueOf(title[1].toUpperCase(java.util.Locale.ROOT)),
              halves[0],
              halves[1].lines().filter(line -> !line.isBlank()).toList()));
    }
    return cases;
  }

  static String resource(String name) {
    try (InputStream in = Cases.class.getResourceAsStream(name)) {
      return new String(Objects.requireNonNull(in, name).readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(name, e);
    }
  }
}
