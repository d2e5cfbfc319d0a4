package org.borewarden.rules.file.yaml;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** The readers of lists, and of mappings whose keys are names. */
public final class Lists {
  private Lists() {}

  /**
   * A list of equal things.
   *
   * @param <T> the type of one
   * @param what what they are, in the plural
   * @param least the least number of them
   * @param most the most of them
   * @param each reads one
   * @return the reader; what could not be read is left out of the list, and was told
   */
  public static <T> Reader<List<T>> of(String what, int least, int most, Reader<T> each) {
    String expects = "a list of " + least + " to " + most + " " + what;
    return Reader.of(
        expects,
        item -> {
          if (!(item.node() instanceof Node.Sequence list)) {
            return item.expected(expects);
          }
          int size = list.items().size();
          if (size < least || size > most) {
            return item.refuse("expected " + expects + ", found " + size);
          }
          List<T> values = new ArrayList<>();
          for (int i = 0; i < size; i++) {
            String path = item.path() + "[" + i + "]";
            each.read(new Item(list.items().get(i), path, item.problems())).ifPresent(values::add);
          }
          return Optional.of(List.copyOf(values));
        });
  }

  /**
   * A mapping from names to equal things.
   *
   * @param <T> the type of one
   * @param what what it maps, such as {@code key ids to files}
   * @param most the most entries
   * @param each reads one
   * @return the reader; a name that cannot stand in a topic is refused
   */
  public static <T> Reader<Map<String, T>> named(String what, int most, Reader<T> each) {
    String expects = "a mapping of 1 to " + most + " " + what;
    return Reader.of(
        expects,
        item -> {
          if (!(item.node() instanceof Node.Mapping mapping)) {
            return item.expected(expects);
          }
          int size = mapping.entries().size();
          if (size < 1 || size > most) {
            return item.refuse("expected " + expects + ", found " + size);
          }
          Map<String, T> values = new LinkedHashMap<>();
          for (Node.Entry entry : mapping.entries()) {
            named(item, entry, each, values);
          }
          return Optional.of(values);
        });
  }

  private static <T> void named(
      Item parent, Node.Entry entry, Reader<T> each, Map<String, T> values) {
    String path = Shown.path(parent.path(), entry.key());
    Reader<String> id = Scalars.id();
    Item name =
        new Item(new Node.Scalar(entry.keyAt(), entry.key(), false), path, parent.problems());
    Optional<String> key = id.read(name);
    Optional<T> value = each.read(new Item(entry.value(), path, parent.problems()));
    if (key.isPresent() && value.isPresent()) {
      values.put(key.get(), value.get());
    }
  }
}
