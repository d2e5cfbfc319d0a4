package org.borewarden.agent.hold.modbus;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.UnaryOperator;
import org.borewarden.rules.engine.CellTestLine;
import org.borewarden.rules.engine.Event;
import org.junit.jupiter.api.Test;

/** The walk over the bits against a cell whose program is a few lines long. */
class CellTestWalkTest {
  private static final int BOOT = 4711;
  private static final int PERMIT = 1;
  private static final int TEST = 0x0400;

  private final CellTestWalk walk = new CellTestWalk("cell-4");
  private final List<int[]> shown = new ArrayList<>();
  private boolean testMode = true;
  private boolean checks = true;
  private UnaryOperator<int[]> fault = a -> a;
  private int[] image = new int[RegisterMap.A_SIZE];
  private int beat;

  @Test
  void everyBitOfEveryRegisterIsShownAloneAndPasses() {
    List<CellTestLine> lines = walked();
    assertThat(lines).hasSize(CellTestWalk.size()).allMatch(CellTestLine::passed);
    for (int register = 4; register <= 18; register++) {
      for (int bit = 0; bit < 16; bit++) {
        int at = register;
        int mask = 1 << bit;
        assertThat(shown).as("A%d bit %d", register, bit).anyMatch(a -> a[at] == mask);
      }
    }
    for (int bit = 0; bit < 16; bit++) {
      int mask = 1 << bit;
      assertThat(shown).anyMatch(a -> a[2] == (TEST | mask));
      assertThat(shown).anyMatch(a -> a[0] == (0x0101 ^ mask));
      assertThat(shown).anyMatch(a -> a[3] == (a[2] ^ a[1] ^ 0xA55A ^ mask));
      assertThat(shown).anyMatch(a -> a[19] == (a[1] ^ mask));
    }
  }

  @Test
  void eachImageBearsTheTestBitAndThePermitBitStandsForOneBeat() {
    walked();
    assertThat(shown).allMatch(a -> (a[2] & TEST) != 0);
    for (int i = 1; i < shown.size(); i++) {
      boolean twice = (shown.get(i)[2] & shown.get(i - 1)[2] & PERMIT) != 0;
      assertThat(twice).as("image %d", i).isFalse();
    }
  }

  @Test
  void aCellThatIsNotInTestModeIsShownNoStep() {
    testMode = false;
    for (int i = 0; i < 50; i++) {
      assertThat(turn(7, true)[5]).as("a plain image").isEqualTo(1234);
    }
    assertThat(walk.owed()).isEmpty();
    testMode = true;
    turn(7, true);
    assertThat(turn(7, true)[5]).isZero();
    assertThat(turn(7, false)[5]).as("the first of a connection").isEqualTo(1234);
    testMode = false;
    turn(7, true);
    assertThat(turn(7, true)[5]).as("it left its test mode").isEqualTo(1234);
  }

  @Test
  void aBitThatIsAlwaysClearFailsItsOwnStepAndNoOther() {
    fault = a -> with(a, 9, a[9] & ~(1 << 13));
    assertThat(failed(walked())).containsExactly("A9 bit 13");
  }

  @Test
  void aBitThatAlwaysStandsFailsAllClearAndItsOwnStep() {
    fault = a -> with(a, 9, a[9] | 1 << 13);
    assertThat(failed(walked())).containsExactly("all clear", "A9 bit 13");
  }

  @Test
  void twoLinesThatTouchFailBothTheirSteps() {
    fault = a -> with(a, 12, (a[12] & 0b110) != 0 ? a[12] | 0b110 : a[12]);
    assertThat(failed(walked())).containsExactly("A12 bit 1", "A12 bit 2");
  }

  @Test
  void aCellThatTakesASpoiledImageFailsEachOfThem() {
    checks = false;
    assertThat(failed(walked())).hasSize(48).allMatch(step -> step.endsWith("spoiled"));
  }

  @Test
  void aCellThatEchoesNothingIsTold() {
    fault = a -> new int[RegisterMap.A_SIZE];
    List<CellTestLine> lines = walked();
    assertThat(failed(lines)).containsExactly("all clear");
    assertThat(lines.get(0).seen()).isEqualTo("not echoed");
  }

  @Test
  void beatsThatTheCellMissesAreShownAgain() {
    int[] count = {0};
    fault = a -> count[0]++ % 3 == 0 ? a : image;
    assertThat(walked()).hasSize(CellTestWalk.size()).allMatch(CellTestLine::passed);
  }

  @Test
  void whatEndsEarlyTellsHowFarItCame() {
    for (int i = 0; i < 40; i++) {
      turn(7, true);
    }
    assertThat(walk.owed()).isEmpty();
    turn(0, true);
    Event.CellTestWalked owed = owed().orElseThrow();
    assertThat(owed.run()).isEqualTo(7);
    assertThat(owed.whole()).isFalse();
    assertThat(owed.lines()).hasSizeBetween(20, 40).allMatch(CellTestLine::passed);
    walk.told(owed);
    assertThat(walk.owed()).isEmpty();
  }

  private List<CellTestLine> walked() {
    for (int i = 0; i < 5000 && walk.owed().isEmpty(); i++) {
      int[] a = turn(7, true);
      if (walk.owed().isEmpty() && a[5] != 1234) {
        shown.add(a);
      }
    }
    return owed().orElseThrow().lines();
  }

  private Optional<Event.CellTestWalked> owed() {
    return walk.owed().map(Event.CellTestWalked.class::cast);
  }

  private static List<String> failed(List<CellTestLine> lines) {
    return lines.stream().filter(line -> !line.passed()).map(CellTestLine::step).toList();
  }

  /** One beat: the image is written, the cell scans it, its words are read. */
  private int[] turn(long run, boolean mayWalk) {
    beat++;
    int[] plain = new int[RegisterMap.A_SIZE];
    plain[4] = BOOT;
    plain[5] = 1234;
    int[] written = walk.show(beat, run, plain, mayWalk, beat * 250_000_000L);
    int[] a = fault.apply(written.clone());
    boolean whole = a[0] == 0x0101 && a[3] == (a[2] ^ a[1] ^ 0xA55A) && a[19] == a[1] && a[4] != 0;
    if (whole || (!checks && a[1] != 0)) {
      image = a;
    }
    int[] b = new int[RegisterMap.B_SIZE];
    b[1] = image[1];
    b[2] = testMode ? 1 << 9 : 0;
    System.arraycopy(image, 5, b, 9, 14);
    b[25] = image[2];
    b[26] = image[4];
    walk.take(b, beat * 250_000_000L);
    return written;
  }

  private static int[] with(int[] a, int register, int value) {
    a[register] = value;
    return a;
  }
}
