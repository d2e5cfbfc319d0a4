package org.borewarden.rules.file.yaml;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Optional;

/** Turns the bytes of a file into text: UTF-8 only, and of a bounded size. */
public final class FileText {
  /** The longest file that is read, bytes. */
  public static final int LONGEST_BYTES = 1 << 20;

  private static final char BYTE_ORDER_MARK = '\uFEFF';

  private FileText() {}

  /**
   * Reads a file.
   *
   * @param file the file
   * @param problems where it is told that the file is missing, too long or not UTF-8
   * @return its text, if it can be read
   */
  public static Optional<String> read(Path file, Problems problems) {
    try (InputStream in = Files.newInputStream(file)) {
      return decode(in.readNBytes(LONGEST_BYTES + 1), problems);
    } catch (IOException e) {
      problems.add(Position.START, "", "expected a readable file, found none (" + why(e) + ")");
      return Optional.empty();
    }
  }

  /**
   * Decodes bytes. A byte order mark is left out.
   *
   * @param bytes the bytes of a file
   * @param problems where it is told that they are too many or not UTF-8
   * @return the text, if they are
   */
  public static Optional<String> decode(byte[] bytes, Problems problems) {
    if (bytes.length > LONGEST_BYTES) {
      problems.add(Position.START, "", "expected at most " + LONGEST_BYTES + " bytes, found more");
      return Optional.empty();
    }
    ByteBuffer rest = ByteBuffer.wrap(bytes);
    try {
      String text = StandardCharsets.UTF_8.newDecoder().decode(rest).toString();
      boolean marked = !text.isEmpty() && text.charAt(0) == BYTE_ORDER_MARK;
      return Optional.of(marked ? text.substring(1) : text);
    } catch (CharacterCodingException e) {
      problems.add(
          after(bytes, rest.position()),
          "",
          String.format(
              Locale.ROOT, "expected UTF-8 text, found the byte 0x%02X", bytes[rest.position()]));
      return Optional.empty();
    }
  }

  /** The place after so many good bytes. */
  private static Position after(byte[] bytes, int count) {
    String good = new String(bytes, 0, count, StandardCharsets.UTF_8);
    int lineStart = good.lastIndexOf('\n') + 1;
    int line = 1 + (int) good.chars().filter(c -> c == '\n').count();
    return new Position(line, 1 + good.codePointCount(lineStart, good.length()));
  }

  private static String why(IOException e) {
    return switch (e.getClass().getSimpleName()) {
      case "NoSuchFileException" -> "no such file";
      case "AccessDeniedException" -> "no right to read it";
      default -> e.getClass().getSimpleName();
    };
  }
}
