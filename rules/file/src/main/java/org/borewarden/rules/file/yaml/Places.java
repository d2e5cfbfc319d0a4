package org.borewarden.rules.file.yaml;

import java.util.HashMap;
import java.util.Map;

/**
 * Where the values of a file stand, by path, for what can only be checked against another file.
 *
 * @param file the file's name
 * @param positions the position of each value, by path
 */
public record Places(String file, Map<String, Position> positions) {
  /** Copies the map. */
  public Places {
    positions = Map.copyOf(positions);
  }

  /**
   * Walks a tree.
   *
   * @param file the file's name
   * @param root its root
   * @return the place of every value
   */
  public static Places of(String file, Node root) {
    Map<String, Position> positions = new HashMap<>();
    walk("", root, positions);
    return new Places(file, positions);
  }

  private static void walk(String path, Node node, Map<String, Position> positions) {
    positions.put(path, node.at());
    if (node instanceof Node.Sequence list) {
      for (int i = 0; i < list.items().size(); i++) {
        walk(path + "[" + i + "]", list.items().get(i), positions);
      }
    } else if (node instanceof Node.Mapping mapping) {
      mapping.entries().forEach(e -> walk(Shown.path(path, e.key()), e.value(), positions));
    }
  }

  /**
   * A problem with the value at a path; where the value does not stand, with what it is missing
   * from.
   *
   * @param path the keys down to the value
   * @param message what is wrong and what is allowed
   * @return the located problem
   */
  public Problem problem(String path, String message) {
    String known = path;
    while (!positions.containsKey(known) && !known.isEmpty()) {
      known = known.substring(0, Math.max(0, known.lastIndexOf('.')));
    }
    Position at = positions.getOrDefault(known, Position.START);
    return new Problem(file, at.line(), at.column(), path, message);
  }
}
