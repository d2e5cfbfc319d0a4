package org.borewarden.rules.file.yaml;

import java.util.List;
import java.util.Optional;

/**
 * Reads a mapping strictly: a key that is not known, a missing one and a wrong value are each told,
 * and reading goes on. Used by one thread.
 */
public final class Fields {
  private final Item self;
  private final Node.Mapping mapping;
  private final Keys keys;

  private Fields(Item self, Node.Mapping mapping, Keys keys) {
    this.self = self;
    this.mapping = mapping;
    this.keys = keys;
  }

  /**
   * Opens a mapping and tells the keys that may not stand in it.
   *
   * @param item what should be a mapping
   * @param keys the keys it may have
   * @return its fields, or empty when it is none
   */
  public static Optional<Fields> open(Item item, Keys keys) {
    if (!(item.node() instanceof Node.Mapping mapping)) {
      return item.expected("a mapping with the keys " + String.join(", ", keys.known()));
    }
    for (Node.Entry entry : mapping.entries()) {
      String path = Shown.path(item.path(), entry.key());
      keys.complaint(entry.key())
          .ifPresent(message -> item.problems().add(entry.keyAt(), path, message));
    }
    return Optional.of(new Fields(item, mapping, keys));
  }

  /**
   * The mapping itself.
   *
   * @return the mapping in its place
   */
  public Item self() {
    return self;
  }

  /**
   * Whether a key stands.
   *
   * @param key one of the known keys
   * @return true when it stands, whatever its value
   */
  public boolean has(String key) {
    return item(key).isPresent();
  }

  /**
   * The value of a key, unread.
   *
   * @param key one of the known keys
   * @return the value in its place, if the key stands
   * @throws IllegalArgumentException when the key is not one of the known keys: our own mistake
   */
  public Optional<Item> item(String key) {
    if (!keys.known().contains(key)) {
      throw new IllegalArgumentException(keys.mapping() + " has no key " + key);
    }
    return mapping.entry(key).map(e -> new Item(e.value(), path(key), self.problems()));
  }

  /**
   * A value that must stand.
   *
   * @param <T> its type
   * @param key its key
   * @param reader reads it
   * @return the value; empty when it is missing or wrong, which was told
   */
  public <T> Optional<T> required(String key, Reader<T> reader) {
    Optional<Item> item = item(key);
    if (item.isEmpty()) {
      return missing(key, reader.expects());
    }
    return item.flatMap(reader::read);
  }

  /**
   * A value that may stand.
   *
   * @param <T> its type
   * @param key its key
   * @param reader reads it
   * @return the value; empty when it does not stand, or is wrong, which was told
   */
  public <T> Optional<T> optional(String key, Reader<T> reader) {
    return item(key).flatMap(reader::read);
  }

  /**
   * A value with a default.
   *
   * @param <T> its type
   * @param key its key
   * @param reader reads it
   * @param fallback what counts when the key does not stand (or is wrong, which was told)
   * @return the value
   */
  public <T> T orElse(String key, Reader<T> reader, T fallback) {
    return optional(key, reader).orElse(fallback);
  }

  /**
   * Whether a key stands that is not known, so that what seems to be missing may be misspelt.
   *
   * @return true when an unknown key was told
   */
  public boolean hasUnknown() {
    return mapping.entries().stream().anyMatch(entry -> !keys.known().contains(entry.key()));
  }

  /**
   * Tells that a key is missing, unless a misspelt one was told already.
   *
   * @param <T> the type that was wanted
   * @param key the key
   * @param expected what is allowed
   * @return always empty
   */
  public <T> Optional<T> missing(String key, String expected) {
    boolean misspelt =
        mapping.entries().stream()
            .anyMatch(e -> keys.meant(e.key()).filter(key::equals).isPresent());
    if (!misspelt) {
      self.problems().add(self.node().at(), path(key), "expected " + expected + ", found nothing");
    }
    return Optional.empty();
  }

  /**
   * Opens a mapping that is a choice: exactly one of its keys must stand.
   *
   * @return the key that stands; empty when it is none or more, which was told
   */
  public Optional<String> onlyKey() {
    List<String> standing = keys.known().stream().filter(this::has).toList();
    if (standing.size() == 1) {
      return Optional.of(standing.get(0));
    }
    if (standing.isEmpty() && hasUnknown()) {
      return Optional.empty();
    }
    String found = standing.isEmpty() ? "none" : String.join(" and ", standing);
    return self.refuse("expected one of " + String.join(", ", keys.known()) + ", found " + found);
  }

  /**
   * Refuses the value of a key, or the mapping where the key does not stand.
   *
   * @param <T> the type that was wanted
   * @param key the key
   * @param message what is wrong and what is allowed
   * @return always empty
   */
  public <T> Optional<T> refuse(String key, String message) {
    Position at = item(key).map(i -> i.node().at()).orElse(self.node().at());
    self.problems().add(at, path(key), message);
    return Optional.empty();
  }

  private String path(String key) {
    return Shown.path(self.path(), key);
  }
}
