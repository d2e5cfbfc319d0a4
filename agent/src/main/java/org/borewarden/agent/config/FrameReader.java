package org.borewarden.agent.config;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.agent.config.FrameCheck.Covers;
import org.borewarden.agent.config.FrameCheck.Kind;
import org.borewarden.agent.config.FrameCheck.Written;
import org.borewarden.agent.config.PortConfig.Frame;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;

/** Reads how frames are cut and what checksum they carry. */
final class FrameReader {
  static final int LONGEST_FRAME = 4_096;
  static final int LONGEST_TERMINATOR = 4;

  private FrameReader() {}

  /** A frame; of messages only the longest length can be said. */
  static Frame frame(Fields fields, Frame usual, boolean messages) {
    Optional<String> starts = fields.optional("starts", bytes(LONGEST_TERMINATOR));
    Optional<String> ends = fields.optional("ends", bytes(LONGEST_TERMINATOR));
    Optional<Integer> length = fields.optional("length", Scalars.whole(1, LONGEST_FRAME));
    int longest = fields.orElse("longest", Scalars.whole(1, LONGEST_FRAME), usual.longest());
    if (length.isPresent() && ends.isPresent()) {
      fields.refuse("ends", "expected a length or an end, found both");
    }
    for (String key : List.of("starts", "ends", "length", "check")) {
      if (messages && fields.has(key)) {
        fields.refuse(key, "expected no " + key + " where each message is one frame");
      }
    }
    Optional<FrameCheck> check =
        fields
            .item("check")
            .flatMap(item -> Fields.open(item, AgentKeys.CHECK))
            .flatMap(c -> check(c, starts.isPresent(), length.isPresent()));
    return new Frame(
        starts, ends, length.map(OptionalInt::of).orElse(OptionalInt.empty()), longest, check);
  }

  private static Optional<FrameCheck> check(Fields fields, boolean starts, boolean length) {
    Optional<Kind> kind =
        fields.required("kind", Scalars.word(Arrays.asList(Kind.values()), FrameReader::word));
    Written written =
        fields.orElse(
            "written",
            Scalars.word(Arrays.asList(Written.values()), FrameReader::word),
            Written.HEX);
    boolean afterEnd =
        "after-end".equals(fields.orElse("stands", Scalars.word("before-end", "after-end"), ""));
    Covers covers =
        fields.orElse(
            "covers",
            Scalars.word(Arrays.asList(Covers.values()), FrameReader::word),
            afterEnd ? Covers.DATA_AND_END : Covers.DATA);
    if (afterEnd && (!starts || length)) {
      return fields.refuse(
          "stands", "expected starts and an end where the checksum stands behind it");
    }
    if (!afterEnd && !length && written != Written.HEX) {
      return fields.refuse(
          "written", "expected hex where an end follows, since a byte may look like that end");
    }
    if (!afterEnd && covers == Covers.DATA_AND_END) {
      return fields.refuse(
          "covers", "expected data or all where the checksum stands before the end");
    }
    return kind.map(k -> new FrameCheck(k, written, afterEnd, covers));
  }

  private static String word(Enum<?> value) {
    if (value == Kind.CRC_16_MODBUS) {
      return "crc-16/modbus";
    }
    return value == Kind.CRC_16_XMODEM
        ? "crc-16/xmodem"
        : value.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** Bytes; a backslash means that the wrong quotes keep it from being one. */
  static Reader<String> bytes(int most) {
    return Reader.scalar(
        "1 to " + most + " ASCII characters, in double quotes, such as \"\\r\\n\"",
        text ->
            Optional.of(text)
                .filter(t -> !t.isEmpty() && t.length() <= most)
                .filter(t -> t.chars().allMatch(c -> c < 128 && c != '\\')));
  }
}
