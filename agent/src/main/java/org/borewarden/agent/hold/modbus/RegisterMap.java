package org.borewarden.agent.hold.modbus;

import java.nio.charset.StandardCharsets;
import org.borewarden.agent.hold.PermitImage;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.part.StopKind;

/**
 * The register map of docs/hold.md, version 0x0101: block A from a permit image, block B to words.
 *
 * <p>Registers are 16 bit unsigned. Counters of 32 bit have their high word first. Text has two
 * characters a register, the first one in the high byte. Values beyond 65535 are shown as 65535,
 * numbers that wrap by contract (hold number, revision) modulo 65536. Pure; no state.
 */
final class RegisterMap {
  static final int VERSION = 0x0101;
  static final int A_SIZE = 20;
  static final int B_SIZE = 29;

  private static final int CHECK_KEY = 0xA55A;
  private static final int WORD = 0xFFFF;
  private static final int BEAT = 1;
  private static final int PERMIT_WORD = 2;
  private static final int CHECK = 3;
  private static final int BEAT_COPY = 19;
  private static final int SERIAL_FIRST = 15;
  private static final int SERIAL_REGISTERS = 8;

  private RegisterMap() {}

  /**
   * Block A.
   *
   * @param beat 1 to 65535
   * @param image what to show
   * @param answers the answers to the cell; they stand in for those of the image
   * @return twenty registers
   */
  static int[] blockA(int beat, PermitImage image, Answers answers) {
    HoldView hold = image.hold();
    int[] a = new int[A_SIZE];
    a[0] = VERSION;
    a[BEAT] = beat;
    a[PERMIT_WORD] = permitWord(image);
    a[CHECK] = check(a[PERMIT_WORD], beat);
    a[4] = image.bootId();
    a[5] = hold.number() & WORD;
    a[6] = hold.revision() & WORD;
    a[7] = image.reason().number();
    a[8] = capped(hold.causes().size() + hold.conditions().size());
    a[9] = capped(image.spindleMask());
    a[10] = capped(image.featureNumber());
    a[11] = capped(hold.trialPartsLeft());
    a[12] = capped(image.boresUntilLimit());
    a[13] = capped(image.bypassMinutesLeft());
    a[14] = capped(image.partsSinceJudged());
    a[15] = image.rulesRevision() & WORD;
    a[16] = answers.request();
    a[17] = answers.code();
    a[18] = answers.context();
    a[BEAT_COPY] = beat;
    return a;
  }

  private static int permitWord(PermitImage image) {
    HoldView hold = image.hold();
    boolean safePoint = hold.kind().filter(kind -> kind == StopKind.NEXT_SAFE_POINT).isPresent();
    boolean notReady =
        hold.phase() == Phase.NOT_READY || (!hold.permitted() && !hold.conditions().isEmpty());
    return bit(0, hold.permitted())
        | bit(1, hold.phase() == Phase.TRIAL)
        | bit(2, hold.number() != 0)
        | bit(3, notReady)
        | bit(4, safePoint)
        | bit(5, hold.phase() == Phase.BYPASSED)
        | bit(6, hold.phase() == Phase.STARTING)
        | bit(7, image.wantsToBeHeard())
        | bit(8, image.alertStanding())
        | bit(9, image.clockUnsure())
        | bit(10, image.testRun() != 0)
        | bit(11, image.brokerAway());
  }

  /**
   * The same image with the permit absent.
   *
   * @param blockA twenty registers
   * @return a copy whose permit bit is off and whose check agrees
   */
  static int[] withoutPermit(int[] blockA) {
    int[] a = blockA.clone();
    a[PERMIT_WORD] &= ~1;
    a[CHECK] = check(a[PERMIT_WORD], a[BEAT]);
    return a;
  }

  private static int check(int permitWord, int beat) {
    return permitWord ^ beat ^ CHECK_KEY;
  }

  /**
   * Block B.
   *
   * @param b 29 registers
   * @return the words, or why they are not believed
   */
  static CellWords words(int[] b) {
    if (b.length != B_SIZE) {
      return new CellWords.Refused("short", "expected " + B_SIZE + " registers, found " + b.length);
    } else if (b[0] != VERSION) {
      return new CellWords.Refused(
          "version", "B0: expected " + VERSION + " (0x0101), found " + b[0]);
    } else if (b[1] != b[28]) {
      return new CellWords.Refused("torn", "B1 is " + b[1] + " and its copy B28 is " + b[28]);
    }
    return new CellWords.Block(
        b[1],
        b[2],
        b[3],
        b[4],
        b[5],
        ((long) b[6] << 16) | b[7],
        b[8],
        b[9],
        b[11],
        b[12],
        serial(b),
        b[23],
        b[23] == b[27],
        b[24],
        b[25],
        b[26]);
  }

  /** The serial without the blanks or zeros behind it; empty where it is not printable ASCII. */
  private static String serial(int[] b) {
    byte[] bytes = new byte[2 * SERIAL_REGISTERS];
    for (int i = 0; i < SERIAL_REGISTERS; i++) {
      bytes[2 * i] = (byte) (b[SERIAL_FIRST + i] >> 8);
      bytes[2 * i + 1] = (byte) b[SERIAL_FIRST + i];
    }
    int end = bytes.length;
    while (end > 0 && (bytes[end - 1] == 0 || bytes[end - 1] == ' ')) {
      end--;
    }
    for (int i = 0; i < end; i++) {
      if (bytes[i] < ' ' || bytes[i] > '~') {
        return "";
      }
    }
    return new String(bytes, 0, end, StandardCharsets.US_ASCII);
  }

  /**
   * An answer code on the wire (A17). A number is never re-used.
   *
   * @param code the answer
   * @return its number
   */
  static int answer(AnswerCode code) {
    return switch (code) {
      case ACCEPTED -> 0;
      case PENDING_EVIDENCE -> 1;
      case STARTING -> 2;
      case NOTHING_HELD -> 3;
      case SUPERSEDED -> 4;
      case ALREADY_PENDING -> 5;
      case EVIDENCE_MISSING -> 6;
      case CONDITION_PRESENT -> 7;
      case NO_RIGHT -> 8;
      case STALE -> 9;
      case REPLAYED -> 10;
      case RETAINED -> 11;
      case MALFORMED -> 12;
      case OVER_LIMIT -> 13;
      case NOT_RECORDED -> 14;
      case PENDING_SECOND_PERSON -> 15;
    };
  }

  /** The beats from one to the other, going forward through 65535 to 1. */
  static int steps(int from, int to) {
    return Math.floorMod(to - from, WORD);
  }

  private static int bit(int number, boolean on) {
    return on ? 1 << number : 0;
  }

  private static int capped(int value) {
    return Math.max(0, Math.min(value, WORD));
  }
}
