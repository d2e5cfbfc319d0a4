package org.borewarden.agent.cli;

import java.time.DateTimeException;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.function.Function;
import picocli.CommandLine;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/** Numbers and times as people type them; what is not one is told in their words. */
public final class TypedValues {
  private static final String WHOLE = "a whole number";

  private TypedValues() {}

  /**
   * Lets all commands that a line has so far read values in this way.
   *
   * @param line with its commands
   * @return the same line
   */
  public static CommandLine of(CommandLine line) {
    return line.registerConverter(int.class, read(WHOLE, Integer::valueOf))
        .registerConverter(Integer.class, read(WHOLE, Integer::valueOf))
        .registerConverter(long.class, read(WHOLE, Long::valueOf))
        .registerConverter(Long.class, read(WHOLE, Long::valueOf))
        .registerConverter(LocalDate.class, read("a day, such as 2026-03-01", LocalDate::parse))
        .registerConverter(
            LocalDateTime.class, read("a time, such as 2026-03-01T06:00", LocalDateTime::parse))
        .registerConverter(ZoneId.class, read("a time zone, such as Europe/Berlin", ZoneId::of));
  }

  private static <T> ITypeConverter<T> read(String expected, Function<String, T> reads) {
    return typed -> {
      try {
        return reads.apply(typed);
      } catch (NumberFormatException | DateTimeException unread) {
        throw new TypeConversionException("expected " + expected + ", found " + typed);
      }
    };
  }
}
