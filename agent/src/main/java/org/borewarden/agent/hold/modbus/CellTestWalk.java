package org.borewarden.agent.hold.modbus;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.borewarden.rules.engine.CellTestLine;
import org.borewarden.rules.engine.Event;

/**
 * Walks every bit of block A toward a cell in test mode, one after the other, and compares what the
 * cell's program has of it. The cell mirrors A5 to A18 in B9 to B22, A2 in B25 and A4 in B26 while
 * both test bits stand (docs/cell-program.md); of A0, A3 and A19 each bit is spoiled in turn, and
 * the cell must not echo that image. A1 is walked by counting.
 *
 * <p>Each image bears the test bit. The bit of the permit is shown for one beat at a time, and by
 * this walk only to a cell that has just said that it is in test mode. A step is judged by the echo
 * of its beat, so that beats may be missed.
 *
 * <p>Thread-safe: shown on the thread that writes, taken on the output's thread.
 */
final class CellTestWalk {
  private static final int TEST = 1 << 10;
  private static final int CELL_IN_TEST = 1 << 9;
  private static final int CHECK_KEY = 0xA55A;
  private static final int LAST_WALKED = 18;

  /** How often a step is shown before it counts as not echoed. */
  private static final int SHOWN_MOST = 8;

  /** How many beats may go by without any echo before the walk says so. */
  private static final int NO_ECHO_MOST = 40;

  /** How many beats a step waits for its echo before it is shown again. */
  private static final int PATIENCE = 4;

  private static final int BEATS_KEPT = 16;
  private static final List<Step> STEPS = steps();

  private final String cell;
  private long run;
  private boolean cellInTest;
  private boolean over = true;
  private long begunAt;
  private int turn;
  private int spoiled;
  private final Map<Integer, Sent> sent = new LinkedHashMap<>();
  private final List<Optional<CellTestLine>> lines = new ArrayList<>();
  private final int[] shownTimes = new int[STEPS.size()];
  private final int[] shownLast = new int[STEPS.size()];
  private Optional<Clear> clear = Optional.empty();
  private Optional<Event> owed = Optional.empty();

  CellTestWalk(String cell) {
    this.cell = cell;
  }

  /**
   * One step.
   *
   * @param register the register of block A
   * @param bit its bit as a mask; 0 for all clear
   * @param spoils whether the image is spoiled by it and must be refused
   */
  private record Step(int register, int bit, boolean spoils) {
    String name() {
      String what =
          bit == 0 ? "all clear" : "A" + register + " bit " + Integer.numberOfTrailingZeros(bit);
      return spoils ? what + " spoiled" : what;
    }
  }

  /**
   * "All clear".
   *
   * @param sent as it was sent
   * @param seen as the cell has it
   */
  @SuppressWarnings("ArrayRecordComponent") // made and read in one place, never compared
  private record Clear(int[] sent, int[] seen) {
    /** What the cell should have of another image, where only its own bits always stand. */
    int with(int[] image, int register) {
      return seen[register] ^ image[register] ^ sent[register];
    }
  }

  /**
   * What was sent at a beat.
   *
   * @param step the step of the walk
   * @param image the image
   */
  @SuppressWarnings("ArrayRecordComponent") // made and read in one place, never compared
  private record Sent(int step, int[] image) {}

  private static List<Step> steps() {
    List<Step> steps = new ArrayList<>();
    steps.add(new Step(2, 0, false));
    for (int register = 2; register <= LAST_WALKED; register++) {
      for (int bit = 1; register != 3 && bit <= 0x8000; bit <<= 1) {
        if (register != 2 || bit != TEST) {
          steps.add(new Step(register, bit, false));
        }
      }
    }
    for (int register : new int[] {0, 3, 19}) {
      for (int bit = 1; bit <= 0x8000; bit <<= 1) {
        steps.add(new Step(register, bit, true));
      }
    }
    return List.copyOf(steps);
  }

  /** How many steps there are. */
  static int size() {
    return STEPS.size();
  }

  /**
   * The image for a beat: the plain one, or a step's.
   *
   * @param beat the beat
   * @param asked the test that is asked for; 0 none
   * @param plain block A as it would be
   * @param mayWalk false for the first image of a connection
   * @param now monotonic nanoseconds
   * @return twenty registers
   */
  synchronized int[] show(int beat, long asked, int[] plain, boolean mayWalk, long now) {
    if (asked != run) {
      begin(asked, now);
    }
    if (over || !cellInTest || !mayWalk) {
      return plain;
    }
    turn++;
    int index = next(now);
    if (over) {
      return plain;
    }
    shownTimes[index]++;
    shownLast[index] = turn;
    int[] image = image(STEPS.get(index), beat, plain[4]);
    sent.put(beat, new Sent(index, image));
    if (sent.size() > BEATS_KEPT) {
      sent.remove(sent.keySet().iterator().next());
    }
    return image;
  }

  private void begin(long asked, long now) {
    if (!over) {
      owe(false);
    }
    run = asked;
    over = asked == 0;
    begunAt = now;
    turn = 0;
    spoiled = 0;
    sent.clear();
    lines.clear();
    STEPS.forEach(step -> lines.add(Optional.empty()));
    Arrays.fill(shownTimes, 0);
    clear = Optional.empty();
  }

  /** The first step that has no line and does not wait for its echo; else all clear once more. */
  private int next(long now) {
    if (clear.isEmpty()) {
      // Nothing can be compared before the cell has shown how "all clear" looks.
      if (shownTimes[0] == NO_ECHO_MOST) {
        line(0, "the test bit alone", "not echoed", false, now);
        over = true;
        owe(false);
      }
      return 0;
    }
    for (int i = 1; i < STEPS.size(); i++) {
      if (lines.get(i).isPresent()) {
        continue;
      }
      if (STEPS.get(i).spoils()) {
        return spoil(i, now);
      }
      if (shownTimes[i] == 0 || turn - shownLast[i] >= PATIENCE) {
        if (shownTimes[i] < SHOWN_MOST) {
          return i;
        }
        line(i, "0x" + hex(STEPS.get(i).bit()), "not echoed", false, now);
      }
    }
    if (lines.stream().allMatch(Optional::isPresent)) {
      over = true;
      owe(true);
    }
    return 0;
  }

  /**
   * A spoiled image stands for two beats, so that the cell scans it; then a good one must follow.
   */
  private int spoil(int index, long now) {
    for (int before = 0; before < index; before++) {
      if (lines.get(before).isEmpty()) {
        return 0; // the walk's last echoes first
      }
    }
    if (spoiled < 2) {
      spoiled++;
      return index;
    }
    if (turn - shownLast[index] > NO_ECHO_MOST) {
      line(index, "0x" + hex(STEPS.get(index).bit()), "no echo after it", false, now);
      spoiled = 0;
    }
    return 0;
  }

  private static int[] image(Step step, int beat, int boot) {
    int[] a = new int[RegisterMap.A_SIZE];
    a[0] = RegisterMap.VERSION;
    a[1] = beat;
    a[2] = TEST;
    a[4] = boot;
    a[19] = beat;
    if (!step.spoils() && step.bit() != 0) {
      a[step.register()] = step.register() == 4 ? step.bit() : a[step.register()] | step.bit();
    }
    a[3] = a[2] ^ beat ^ CHECK_KEY;
    if (step.spoils()) {
      a[step.register()] ^= step.bit();
    }
    return a;
  }

  /** Takes a whole block B. */
  synchronized void take(int[] b, long now) {
    cellInTest = (b[2] & CELL_IN_TEST) != 0;
    Optional<Sent> echoed = Optional.ofNullable(sent.get(b[1]));
    if (over || echoed.isEmpty() || !cellInTest) {
      return;
    }
    int index = echoed.get().step();
    if (STEPS.get(index).spoils()) {
      if (lines.get(index).isEmpty()) {
        line(index, "0x" + hex(STEPS.get(index).bit()), "taken for good", false, now);
        spoiled = 0;
      }
      return;
    }
    if (lines.get(index).isEmpty()) {
      judge(index, echoed.get().image(), mirror(b), now);
    }
    refused(b[1], now);
  }

  /** A good beat behind a spoiled one was echoed: the spoiled one was refused. */
  private void refused(int echo, long now) {
    int last = 0;
    int spoiledStep = -1;
    for (Map.Entry<Integer, Sent> one : sent.entrySet()) {
      if (STEPS.get(one.getValue().step()).spoils()) {
        last = one.getKey();
        spoiledStep = one.getValue().step();
      }
    }
    boolean behind =
        spoiledStep >= 0
            && spoiled == 2
            && echo != last
            && RegisterMap.steps(last, echo) <= BEATS_KEPT;
    if (behind && lines.get(spoiledStep).isEmpty()) {
      line(spoiledStep, "0x" + hex(STEPS.get(spoiledStep).bit()), "refused", true, now);
      spoiled = 0;
    }
  }

  private static int[] mirror(int[] b) {
    int[] a = new int[RegisterMap.A_SIZE];
    a[2] = b[25];
    a[4] = b[26];
    System.arraycopy(b, 9, a, 5, LAST_WALKED - 4);
    return a;
  }

  /**
   * Compares with how the cell mirrored "all clear", so that a bit that always stands is told once
   * there, and once at its own step, and not at each step.
   */
  private void judge(int index, int[] image, int[] seen, long now) {
    if (index == 0) {
      clear = Optional.of(new Clear(image.clone(), seen.clone()));
    }
    Step step = STEPS.get(index);
    StringBuilder wrong = new StringBuilder();
    for (int register = 2; register <= LAST_WALKED; register++) {
      int expected = index == 0 ? image[register] : clear.orElseThrow().with(image, register);
      if (register != 3 && seen[register] != expected) {
        wrong.append(wrong.length() == 0 ? "" : ", ");
        wrong.append("A").append(register).append(" 0x").append(hex(seen[register]));
      }
    }
    boolean passed = wrong.length() == 0;
    String good = index == 0 ? "as sent" : "0x" + hex(seen[step.register()]);
    String what = index == 0 ? "the test bit alone" : "0x" + hex(image[step.register()]);
    line(index, what, passed ? good : wrong.toString(), passed, now);
  }

  private void line(int index, String what, String seen, boolean passed, long now) {
    lines.set(
        index,
        Optional.of(
            new CellTestLine(
                STEPS.get(index).name(),
                what,
                seen,
                passed,
                TimeUnit.NANOSECONDS.toMillis(now - begunAt))));
  }

  private void owe(boolean whole) {
    owed =
        Optional.of(
            new Event.CellTestWalked(
                cell, run, whole, lines.stream().flatMap(Optional::stream).toList()));
  }

  private static String hex(int register) {
    return String.format(Locale.ROOT, "%04X", register);
  }

  /** What the loop must be told; the same again until {@link #told}. */
  synchronized Optional<Event> owed() {
    return owed;
  }

  synchronized void told(Event event) {
    if (owed.filter(event::equals).isPresent()) {
      owed = Optional.empty();
    }
  }
}
