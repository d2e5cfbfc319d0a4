package org.borewarden.demo.controller;

import java.nio.charset.StandardCharsets;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Optional;

/**
 * The part of a cell's program that lies around the watchdog: an automatic cycle that cuts parts,
 * looks at the permit at its start point and at one safe point in the middle of the part, carries
 * parts to the gauge, and keeps the handshakes for context and requests.
 *
 * <p>No clock of its own: each scan is handed its length. Owned by one thread; the controller locks
 * around it.
 */
final class CellProgram {
  /** The most parts that lie between machine and gauge; the oldest is carried off unmeasured. */
  static final int LANE_PARTS = 200;

  /** How long after a new boot id the cell tells its part and its open request again. */
  static final int RETELL_MS = 2000;

  private static final int SERIAL_REGISTERS = 8;

  private final int cutMs;
  private final int spindle;
  private final Watchdog watchdog = new Watchdog();
  private final int startCount;
  private final Deque<Part> lane = new ArrayDeque<>();
  private final Deque<int[]> asked = new ArrayDeque<>();

  private boolean automatic;
  private boolean manual;
  private boolean ownBypass;
  private boolean button;
  private boolean testMode;
  private int[] image = new int[Registers.A_SIZE];
  private int cutLeftMs = -1;
  private boolean safePointPassed;
  private long partsFinished;
  private int tool;
  private int edge = 1;
  private int bootSeen;
  private int sinceBootMs;
  private boolean toRetell;
  private Optional<Part> atGauge = Optional.empty();
  private int contextNumber;
  private int requestNumber;
  private int[] request = {0, 0};
  private int answered;
  private int answerCode;

  CellProgram(int cutMs, int spindle, int tool, int startCount) {
    this.cutMs = cutMs;
    this.spindle = spindle;
    this.tool = tool;
    this.startCount = startCount;
  }

  int contextTold() {
    return contextNumber;
  }

  /** One scan; the parts that were finished in it. */
  List<Part> scan(int[] blockA, int scanMs) {
    watchdog.scan(blockA, scanMs, atStart(), atSafePoint(), button);
    if (button && watchdog.permit()) {
      automatic = true;
      manual = false;
    }
    button = false;
    if (watchdog.valid()) {
      image = blockA.clone();
    }
    List<Part> finished = new ArrayList<>();
    cut(scanMs).ifPresent(finished::add);
    followAgent(blockA, scanMs);
    return finished;
  }

  private boolean atStart() {
    return automatic && cutLeftMs < 0;
  }

  private boolean atSafePoint() {
    return cutLeftMs >= 0 && cutLeftMs <= cutMs / 2 && !safePointPassed;
  }

  private Optional<Part> cut(int scanMs) {
    if (atStart() && (watchdog.mayStart() || ownBypass)) {
      cutLeftMs = cutMs;
      safePointPassed = false;
    } else if (atSafePoint()) {
      safePointPassed = watchdog.mayGoOn() || ownBypass;
    } else if (cutLeftMs >= 0) {
      cutLeftMs -= scanMs;
      if (cutLeftMs < 0) {
        cutLeftMs = -1;
        return Optional.of(finish());
      }
    }
    return Optional.empty();
  }

  private Part finish() {
    partsFinished = (partsFinished + 1) & 0xFFFF_FFFFL;
    Part part = new Part(partsFinished, "NW" + (10_000_000 + partsFinished), tool, edge);
    if (lane.size() == LANE_PARTS) {
      lane.removeFirst();
    }
    lane.addLast(part);
    return part;
  }

  private void followAgent(int[] blockA, int scanMs) {
    if (!watchdog.valid() || watchdog.testing()) {
      return;
    }
    sinceBootMs = Math.min(sinceBootMs + scanMs, RETELL_MS);
    if (blockA[4] != bootSeen) {
      bootSeen = blockA[4];
      sinceBootMs = 0;
      toRetell = true;
    }
    if (blockA[16] == requestNumber && requestNumber != 0) {
      answered = requestNumber;
      answerCode = blockA[17];
    }
    if (toRetell && sinceBootMs == RETELL_MS) {
      toRetell = false;
      retell(blockA[18]);
    }
    if (answered == requestNumber && !asked.isEmpty()) {
      request = asked.removeFirst();
      requestNumber = after(requestNumber);
    }
  }

  /** A new start of the agent knows nothing of what was told before. */
  private void retell(int contextTaken) {
    if (atGauge.isPresent() && contextTaken != contextNumber) {
      contextNumber = after(contextNumber);
    }
    if (answered != requestNumber) {
      requestNumber = after(requestNumber);
    }
  }

  private static int after(int number) {
    return number == 65535 ? 1 : number + 1;
  }

  /** Block B as this scan leaves it. */
  int[] blockB() {
    int[] b = new int[Registers.B_SIZE];
    b[0] = 0x0101;
    b[1] = watchdog.echo();
    b[2] = cellWord();
    b[3] = watchdog.heardNumber();
    b[4] = watchdog.heardKind();
    b[5] = startCount & 0xFFFF;
    b[6] = (int) (partsFinished >> 16);
    b[7] = (int) partsFinished & 0xFFFF;
    b[8] = lane.size();
    atGauge.ifPresent(part -> context(part, b));
    b[23] = contextNumber;
    b[24] = requestNumber;
    b[25] = request[0];
    b[26] = request[1];
    b[27] = contextNumber;
    b[28] = watchdog.echo();
    if (testMode && watchdog.testing()) {
      mirror(b);
    }
    return b;
  }

  /**
   * What the program has of the registers that are walked. The numbers of context and request stand
   * still, so that nothing of this is taken for one.
   */
  private void mirror(int[] b) {
    System.arraycopy(image, 5, b, 9, 14);
    b[25] = image[2];
    b[26] = image[4];
  }

  private int cellWord() {
    return bit(0, automatic)
        | bit(1, cutLeftMs >= 0)
        | bit(2, watchdog.stoppedAtStart())
        | bit(3, watchdog.stoppedAtSafe())
        | bit(4, watchdog.heard())
        | bit(5, watchdog.stoppedAtStart() || watchdog.stoppedAtSafe() || !automatic)
        | bit(6, ownBypass)
        | bit(7, manual)
        | bit(8, atGauge.isPresent())
        | bit(9, testMode);
  }

  private static int bit(int number, boolean on) {
    return on ? 1 << number : 0;
  }

  private void context(Part part, int[] b) {
    b[9] = part.tool();
    b[10] = part.edge();
    b[11] = spindle;
    b[12] = 1;
    b[14] = 1;
    byte[] serial = part.serial().getBytes(StandardCharsets.US_ASCII);
    for (int i = 0; i < 2 * SERIAL_REGISTERS && i < serial.length; i++) {
      b[15 + i / 2] |= serial[i] << (i % 2 == 0 ? 8 : 0);
    }
  }

  void pressStart() {
    button = true;
  }

  void manual() {
    automatic = false;
    manual = true;
  }

  /** A person turns the key: nothing is cut in test mode. */
  void testMode(boolean on) {
    testMode = on;
    if (on) {
      manual();
    }
  }

  void ownBypass(boolean on) {
    ownBypass = on;
  }

  Optional<Part> partToGauge() {
    Optional<Part> next = Optional.ofNullable(lane.pollFirst());
    next.ifPresent(
        part -> {
          atGauge = Optional.of(part);
          contextNumber = after(contextNumber);
        });
    return next;
  }

  void takeFromGauge() {
    atGauge = Optional.empty();
  }

  void ask(int what, int argument) {
    asked.addLast(new int[] {what, argument});
  }

  void changeTool() {
    edge++;
    ask(Controller.TOOL_CHANGED, tool);
  }

  void partsFinished(long count) {
    partsFinished = count;
  }

  CellState state() {
    return new CellState(
        automatic,
        cutLeftMs >= 0,
        watchdog.permit(),
        watchdog.stoppedAtStart(),
        watchdog.stoppedAtSafe(),
        watchdog.heardNumber(),
        watchdog.heardKind(),
        partsFinished,
        lane.size(),
        atGauge.map(Part::serial).orElse(""),
        requestNumber,
        answered,
        answerCode);
  }
}
