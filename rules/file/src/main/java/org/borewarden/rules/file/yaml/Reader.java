package org.borewarden.rules.file.yaml;

import java.util.Optional;
import java.util.function.Function;

/**
 * Turns one value of a file into a typed one, or tells what is wrong with it.
 *
 * @param <T> the type
 */
public interface Reader<T> {
  /**
   * Says what is allowed, for "expected ...".
   *
   * @return words, such as {@code a whole number from 1 to 65535}
   */
  String expects();

  /**
   * Reads a value.
   *
   * @param item the value in its place
   * @return the typed value; empty when a problem was told
   */
  Optional<T> read(Item item);

  /**
   * A reader for anything.
   *
   * @param <T> the type
   * @param expects what is allowed
   * @param read tells its own problems
   * @return the reader
   */
  static <T> Reader<T> of(String expects, Function<Item, Optional<T>> read) {
    return new Reader<>() {
      @Override
      public String expects() {
        return expects;
      }

      @Override
      public Optional<T> read(Item item) {
        return read.apply(item);
      }
    };
  }

  /**
   * A reader for a scalar.
   *
   * @param <T> the type
   * @param expects what is allowed
   * @param parse gives empty for a text that is not allowed
   * @return the reader
   */
  static <T> Reader<T> scalar(String expects, Function<String, Optional<T>> parse) {
    return of(
        expects,
        item -> {
          Optional<T> value = item.text().flatMap(parse);
          return value.isPresent() ? value : item.expected(expects);
        });
  }
}
