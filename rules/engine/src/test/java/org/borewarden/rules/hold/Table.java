package org.borewarden.rules.hold;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** A reviewed table of the test resources: rows are events, columns are states. */
record Table(List<String> columns, Map<String, List<String>> rows) {

  static Table read(String resource) {
    List<List<String>> lines = new ArrayList<>();
    for (String line : text(resource).lines().toList()) {
      if (line.startsWith("|") && !line.startsWith("|---")) {
        String[] cells = line.substring(1, line.lastIndexOf('|')).split("\\|", -1);
        lines.add(Arrays.stream(cells).map(String::strip).toList());
      }
    }
    List<String> columns = lines.get(0).subList(1, lines.get(0).size());
    Map<String, List<String>> rows = new LinkedHashMap<>();
    for (List<String> line : lines.subList(1, lines.size())) {
      if (line.size() != columns.size() + 1
          || rows.put(line.get(0), line.subList(1, line.size())) != null) {
        throw new IllegalStateException(resource + ": bad or doubled row " + line.get(0));
      }
    }
    return new Table(columns, rows);
  }

  private static String text(String resource) {
    try (InputStream in = Table.class.getResourceAsStream(resource)) {
      if (in == null) {
        throw new IllegalStateException("no test resource " + resource);
      }
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
