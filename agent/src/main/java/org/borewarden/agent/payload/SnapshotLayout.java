package org.borewarden.agent.payload;

import java.lang.reflect.GenericArrayType;
import java.lang.reflect.ParameterizedType;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.lang.reflect.WildcardType;
import java.math.BigDecimal;
import java.math.BigInteger;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.Arrays;
import java.util.Collection;
import java.util.HexFormat;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import java.util.TreeMap;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Limits;

/**
 * The fingerprint of a snapshot's layout: a hash over every record with the names and types of its
 * components, every enum with its constants, and every sealed interface with its kinds, as far as
 * they can be reached from one record. Two agents with one fingerprint read each other's snapshots.
 *
 * <p>A type that {@link SnapshotCodec} would not carry exactly is refused, so that a state that
 * grows by such a type fails the first test that looks.
 */
public final class SnapshotLayout {
  /** To be raised when a component keeps name and type and changes its meaning. */
  private static final int MEANING = 1;

  private static final Set<Class<?>> PLAIN =
      Set.of(
          String.class,
          boolean.class,
          int.class,
          long.class,
          double.class,
          Boolean.class,
          Integer.class,
          Long.class,
          Double.class,
          BigDecimal.class,
          BigInteger.class,
          Instant.class,
          Duration.class,
          LocalDate.class,
          Optional.class,
          OptionalInt.class,
          OptionalLong.class,
          OptionalDouble.class);

  private final TreeMap<String, String> types = new TreeMap<>();

  private SnapshotLayout() {}

  /**
   * The fingerprint of a record's layout.
   *
   * @param type the record
   * @return 16 hexadecimal digits
   * @throws IllegalArgumentException when a type is reached that is not carried exactly
   */
  public static String of(Class<? extends Record> type) {
    SnapshotLayout layout = new SnapshotLayout();
    layout.look(type);
    return hash(MEANING + "\n" + layout.types);
  }

  private static String hash(String text) {
    try {
      byte[] hash =
          MessageDigest.getInstance("SHA-256").digest(text.getBytes(StandardCharsets.UTF_8));
      return HexFormat.of().formatHex(hash, 0, 8);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform must offer SHA-256", e);
    }
  }

  static boolean isSealedInterface(Class<?> type) {
    return type.isInterface() && type.isSealed();
  }

  private void look(Type type) {
    if (type instanceof ParameterizedType parameterized) {
      look(parameterized.getRawType());
      Arrays.asList(parameterized.getActualTypeArguments()).forEach(this::look);
    } else if (type instanceof WildcardType wildcard) {
      Arrays.asList(wildcard.getUpperBounds()).forEach(this::look);
    } else if (type instanceof GenericArrayType || !(type instanceof Class<?>)) {
      throw new IllegalArgumentException("a snapshot cannot carry " + type);
    } else {
      look((Class<?>) type);
    }
  }

  private void look(Class<?> type) {
    if (types.containsKey(type.getName())) {
      return;
    }
    if (type.isRecord()) {
      record(type);
    } else if (type.isEnum()) {
      types.put(type.getName(), Arrays.toString(type.getEnumConstants()));
    } else if (isSealedInterface(type)) {
      types.put(type.getName(), Arrays.toString(type.getPermittedSubclasses()));
      Arrays.asList(type.getPermittedSubclasses()).forEach(this::look);
    } else if (type == Acceptance.class) {
      look(Limits.class);
      look(DecisionRule.class);
    } else if (!PLAIN.contains(type)
        && !Collection.class.isAssignableFrom(type)
        && !Map.class.isAssignableFrom(type)) {
      throw new IllegalArgumentException("a snapshot cannot carry " + type.getName());
    }
  }

  private void record(Class<?> type) {
    StringBuilder components = new StringBuilder();
    types.put(type.getName(), "");
    for (RecordComponent component : type.getRecordComponents()) {
      components
          .append(component.getName())
          .append(' ')
          .append(component.getGenericType().getTypeName())
          .append(", ");
      look(component.getGenericType());
    }
    types.put(type.getName(), components.toString());
  }
}
