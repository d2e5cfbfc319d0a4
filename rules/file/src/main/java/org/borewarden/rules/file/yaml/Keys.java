package org.borewarden.rules.file.yaml;

import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * The keys that a mapping may have. Schemas and reference pages are held against these.
 *
 * @param mapping the mapping's name, as the JSON Schema calls it
 * @param known the keys, in the order in which messages list them
 * @param refused keys that a person may well try, and why they may not stand; their values are
 *     never repeated
 */
public record Keys(String mapping, List<String> known, Map<String, String> refused) {
  /** Copies the lists. */
  public Keys {
    known = List.copyOf(known);
    refused = Map.copyOf(refused);
  }

  /**
   * Names the keys of a mapping.
   *
   * @param mapping the mapping's name
   * @param known the keys
   * @return the keys
   */
  public static Keys of(String mapping, String... known) {
    return new Keys(mapping, List.of(known), Map.of());
  }

  /**
   * The same keys, with one that is refused by name.
   *
   * @param key the key
   * @param why why it may not stand, and what to write instead
   * @return the keys
   */
  public Keys refusing(String key, String why) {
    return new Keys(mapping, known, Map.of(key, why));
  }

  /** The known key that was most likely meant by an unknown one. */
  Optional<String> meant(String key) {
    return known.contains(key) ? Optional.empty() : Nearest.to(key, known);
  }

  /** What is wrong with a key, if it may not stand. */
  Optional<String> complaint(String key) {
    if (known.contains(key)) {
      return Optional.empty();
    }
    if (refused.containsKey(key)) {
      return Optional.ofNullable(refused.get(key));
    }
    String allowed = "known here: " + String.join(", ", known);
    String offer = meant(key).map(k -> "did you mean \"" + k + "\"? ").orElse("");
    return Optional.of("unknown key; " + offer + allowed);
  }
}
