package org.borewarden.rules.file.yaml;

import java.util.Optional;

/**
 * One value in its place, as a reader gets it.
 *
 * @param node the value
 * @param path the keys down to it
 * @param problems where problems with it go
 */
public record Item(Node node, String path, Problems problems) {
  /**
   * Refuses the value.
   *
   * @param <T> the type that was wanted
   * @param message what is wrong and what is allowed
   * @return always empty
   */
  public <T> Optional<T> refuse(String message) {
    problems.add(node.at(), path, message);
    return Optional.empty();
  }

  /**
   * Refuses the value and shows it.
   *
   * @param <T> the type that was wanted
   * @param what what is allowed
   * @return always empty
   */
  public <T> Optional<T> expected(String what) {
    return refuse("expected " + what + ", found " + found());
  }

  /**
   * The value as messages show it.
   *
   * @return one line, shortened
   */
  public String found() {
    return Shown.found(node);
  }

  /**
   * The text of a scalar.
   *
   * @return the text, or empty for a list, a mapping or nothing
   */
  public Optional<String> text() {
    if (node instanceof Node.Scalar scalar && !scalar.nothing()) {
      return Optional.of(scalar.text());
    }
    return Optional.empty();
  }

  /**
   * Whether keys and values stand here.
   *
   * @return true for a mapping
   */
  public boolean isMapping() {
    return node instanceof Node.Mapping;
  }

  /**
   * The value of a key, whether or not the key may stand here.
   *
   * @param key the key
   * @return the value in its place, if this is a mapping that has it
   */
  public Optional<Item> in(String key) {
    return node instanceof Node.Mapping mapping
        ? mapping.entry(key).map(e -> new Item(e.value(), Shown.path(path, key), problems))
        : Optional.empty();
  }
}
