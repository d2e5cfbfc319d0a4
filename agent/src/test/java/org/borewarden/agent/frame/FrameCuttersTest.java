package org.borewarden.agent.frame;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.agent.config.FrameCheck;
import org.borewarden.agent.config.FrameCheck.Covers;
import org.borewarden.agent.config.FrameCheck.Kind;
import org.borewarden.agent.config.FrameCheck.Written;
import org.borewarden.agent.config.MqttInLink;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.config.PortConfig.Frame;
import org.borewarden.agent.config.PortConfig.Link;
import org.borewarden.agent.config.StandardInputLink;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Frames between a start and an end, of one length, with checksums, and messages. */
class FrameCuttersTest {
  private static final FrameCheck XOR_BEHIND =
      new FrameCheck(Kind.XOR, Written.BYTES, true, Covers.DATA_AND_END);

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 5, 64})
  void betweenStartAndEndAFrameIsWholeFromTheFirstByteInChunksOfAnySize(int chunk) {
    FrameCutter cutter = cutter(startAndEnd(Optional.empty()));
    List<String> told = fed(cutter, "noise\u00022.5\u0003\r\n\u00021.5\u0003", chunk);
    assertThat(told).containsExactly("whole 2.5", "whole 1.5");
    assertThat(cutter.junkBytes()).isEqualTo("noise\r\n".length());
  }

  @Test
  void aStartWithinAFrameMeansThatItsRestWasLost() {
    FrameCutter cutter = cutter(startAndEnd(Optional.empty()));
    assertThat(fed(cutter, "\u000262.0\u000262.5\u0003", 1))
        .containsExactly("partial 62.0", "whole 62.5");
  }

  @Test
  void aFrameWithoutAnEndIsRejectedOnceAndTheNextOneIsFound() {
    FrameCutter cutter = cutter(startAndEnd(Optional.empty()));
    assertThat(fed(cutter, "\u0002" + "9".repeat(20) + "\u0003\u00021.5\u0003", 3))
        .containsExactly("too-long 9999999999", "whole 1.5");
  }

  @Test
  void aFrameThatPausedTooLongIsRejectedWithTheNextByte() {
    FrameCutter cutter = cutter(startAndEnd(Optional.empty()));
    List<String> told = fed(cutter, "\u000262.0", 1);
    cutter.gap();
    told.addAll(fed(cutter, "34\u0003\u00021.5\u0003", 1));
    assertThat(told).containsExactly("partial 62.0", "whole 1.5");
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 64})
  void aChecksumByteBehindTheEndMayLookLikeAStartOrAnEnd(int chunk) {
    FrameCutter cutter = cutter(startAndEnd(Optional.of(XOR_BEHIND)));
    // 2 ^ 3 ^ 0x31 ^ 0x33 = 3 would be the end; the data 0x33 0x32 gives 0x33^0x32^0x03 = 2, a
    // start.
    assertThat(fed(cutter, "\u000232\u0003\u0002\u000233\u0003\u0003", chunk))
        .containsExactly("whole 32", "whole 33");
  }

  @Test
  void aWrongChecksumIsRejectedAndTheNextFrameRead() {
    FrameCutter cutter = cutter(startAndEnd(Optional.of(XOR_BEHIND)));
    assertThat(fed(cutter, "\u000232\u0003\u0001\u000233\u0003\u0003", 1))
        .containsExactly("checksum 32\u0001", "whole 33");
  }

  @Test
  void everySingleFlippedBitOfAFrameWithACrcIsFound() {
    FrameCheck crc = new FrameCheck(Kind.CRC_16_MODBUS, Written.HEX, false, Covers.DATA);
    Frame frame =
        new Frame(Optional.empty(), Optional.of("\r"), OptionalInt.empty(), 20, Optional.of(crc));
    String data = "62.0341";
    String good = data + Checksums.written(crc, Checksums.of(Kind.CRC_16_MODBUS, data));
    assertThat(fed(sure(frame), good + "\r", 1)).containsExactly("whole " + data);
    for (int at = 0; at < good.length(); at++) {
      for (int bit = 0; bit < Byte.SIZE; bit++) {
        StringBuilder flipped = new StringBuilder(good);
        flipped.setCharAt(at, (char) (good.charAt(at) ^ (1 << bit)));
        boolean caseOnly = flipped.toString().equalsIgnoreCase(good);
        assertThat(fed(sure(frame), flipped + "\r", 1))
            .as("bit %s of byte %s", bit, at)
            .allMatch(cut -> caseOnly || !cut.startsWith("whole"));
      }
    }
  }

  @Test
  void framesOfOneLengthArePartedBySilence() {
    FrameCutter cutter =
        cutter(
            new Frame(Optional.empty(), Optional.empty(), OptionalInt.of(4), 64, Optional.empty()));
    cutter.opened();
    List<String> told = fed(cutter, "34", 1);
    cutter.quiet();
    told.addAll(fed(cutter, "62.162.2", 3));
    told.addAll(fed(cutter, "62.", 1));
    cutter.quiet();
    told.addAll(fed(cutter, "62.4", 1));
    assertThat(told)
        .containsExactly("partial 34", "whole 62.1", "whole 62.2", "partial 62.", "whole 62.4");
  }

  @Test
  void aStartAndALengthNeedNoSilence() {
    FrameCutter cutter =
        cutter(
            new Frame(Optional.of("S"), Optional.empty(), OptionalInt.of(4), 64, Optional.empty()));
    assertThat(fed(cutter, "1.0S62.1S62.2x", 1)).containsExactly("whole 62.1", "whole 62.2");
  }

  @Test
  void aMessageIsAFrameWhateverItHolds() {
    FrameCutter cutter = cutter(new MqttInLink("t"), new Frame(Optional.empty(), 8));
    assertThat(fed(cutter, "{\n1\r\n}", 64)).containsExactly("whole {\n1\r\n}");
    assertThat(fed(cutter, "123456789", 64)).containsExactly("too-long 12345678");
  }

  @Test
  void aLostLinkTellsTheHalfFrameInHand() {
    for (FrameCutter cutter :
        List.of(
            cutter(startAndEnd(Optional.empty())),
            cutter(
                new Frame(
                    Optional.empty(), Optional.empty(), OptionalInt.of(9), 9, Optional.empty())))) {
      fed(cutter, "\u000262.0", 1);
      assertThat(cutter.lost()).isPresent();
      assertThat(cutter.lost()).isEmpty();
    }
  }

  private static Frame startAndEnd(Optional<FrameCheck> check) {
    return new Frame(Optional.of("\u0002"), Optional.of("\u0003"), OptionalInt.empty(), 10, check);
  }

  private static FrameCutter sure(Frame frame) {
    FrameCutter cutter = cutter(frame);
    cutter.quiet();
    return cutter;
  }

  private static FrameCutter cutter(Frame frame) {
    return cutter(new StandardInputLink(), frame);
  }

  private static FrameCutter cutter(Link link, Frame frame) {
    return FrameCutters.of(
        new PortConfig("p", link, frame, "(?P<value>.+)", false, Optional.empty()));
  }

  private static List<String> fed(FrameCutter cutter, String text, int chunk) {
    byte[] bytes = text.getBytes(StandardCharsets.ISO_8859_1);
    List<String> told = new ArrayList<>();
    for (int from = 0; from < bytes.length; from += chunk) {
      int length = Math.min(chunk, bytes.length - from);
      byte[] part = java.util.Arrays.copyOfRange(bytes, from, from + length);
      for (Cut cut : cutter.take(part, length)) {
        told.add(
            cut instanceof Cut.Whole whole
                ? "whole " + whole.text()
                : ((Cut.Broken) cut).flaw().key() + " " + ((Cut.Broken) cut).start());
      }
    }
    return told;
  }
}
