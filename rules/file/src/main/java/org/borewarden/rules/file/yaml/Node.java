package org.borewarden.rules.file.yaml;

import java.util.List;
import java.util.Optional;

/** A value in a YAML file, with its place. */
public sealed interface Node {
  /**
   * Where it begins.
   *
   * @return its first character
   */
  Position at();

  /**
   * A single value, as it is written.
   *
   * @param at where it begins
   * @param text its text, without quotes
   * @param nothing whether nothing is written there (or {@code null} or {@code ~})
   */
  record Scalar(Position at, String text, boolean nothing) implements Node {}

  /**
   * A list.
   *
   * @param at where it begins
   * @param items its items
   */
  record Sequence(Position at, List<Node> items) implements Node {
    /** Copies the list. */
    public Sequence {
      items = List.copyOf(items);
    }
  }

  /**
   * Keys and their values. No key stands twice.
   *
   * @param at where it begins
   * @param entries its entries, in the file's order
   */
  record Mapping(Position at, List<Entry> entries) implements Node {
    /** Copies the list. */
    public Mapping {
      entries = List.copyOf(entries);
    }

    /**
     * The entry of a key.
     *
     * @param key the key
     * @return the entry, if the key stands
     */
    public Optional<Entry> entry(String key) {
      return entries.stream().filter(entry -> entry.key().equals(key)).findFirst();
    }
  }

  /**
   * A key and its value.
   *
   * @param key the key
   * @param keyAt where the key begins
   * @param value its value
   */
  record Entry(String key, Position keyAt, Node value) {}
}
