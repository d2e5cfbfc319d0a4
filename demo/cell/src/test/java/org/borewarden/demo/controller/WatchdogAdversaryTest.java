package org.borewarden.demo.controller;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.SplittableRandom;
import java.util.function.Supplier;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Counts the scans that see a permit later than T after the last true one, while something behind
 * the registers goes wrong; and shows that each rule of the program is needed by taking it away.
 */
class WatchdogAdversaryTest {
  private static final int SCAN_MS = 10;
  private static final int TIME_OUT_MS = 1000;
  private static final int SCANS = 20_000;
  private static final long SEED = 41L;

  /** What goes wrong after some seconds of a healthy permit. */
  enum Adversary {
    /** The agent dies; its last image stands. */
    DEATH {
      @Override
      int[] registers(State s) {
        return s.shown;
      }
    },
    /** The agent crashes again and again, and each life writes two images with a bogus permit. */
    CRASH_LOOP {
      @Override
      int[] registers(State s) {
        return crashLoop(s, 1 + s.life % 2);
      }
    },
    /** The same, but each life goes on with the beats of the last one. */
    CRASH_LOOP_THAT_GOES_ON_COUNTING {
      @Override
      int[] registers(State s) {
        return crashLoop(s, Image.after(s.beat));
      }
    },
    /** Two old images come again and again. */
    REPLAY {
      @Override
      int[] registers(State s) {
        if (s.scan % 20 == 0) {
          s.beat = s.beat == 2000 ? 2001 : 2000;
          s.shown = Image.permit(9, s.beat).registers();
        }
        return s.shown;
      }
    },
    /** The agent lives and permits nothing; registers are written over at random. */
    STRAY_WRITES {
      @Override
      int[] registers(State s) {
        if (s.scan % 25 == 0) {
          s.beat = Image.after(s.beat);
          s.shown = new Image(9, s.beat, Image.LATCHED, 7).registers();
        }
        if (s.random.nextInt(10) == 0) {
          s.shown = s.shown.clone();
          s.shown[s.random.nextInt(20)] = stray(s.random, s.shown[2]);
        }
        return s.shown;
      }
    },
    /** The agent lives and permits nothing; every other write is torn against an old permit. */
    TORN_WRITES {
      @Override
      int[] registers(State s) {
        if (s.scan % 25 == 0) {
          int[] old = Image.permit(9, s.beat).registers();
          s.beat = Image.after(s.beat);
          int[] fresh = new Image(9, s.beat, Image.LATCHED, 7).registers();
          int at = 1 + s.random.nextInt(19);
          s.shown = fresh;
          if (s.random.nextBoolean()) {
            System.arraycopy(old, 0, s.shown, 0, at);
          } else {
            System.arraycopy(old, at, s.shown, at, 20 - at);
          }
        }
        return s.shown;
      }
    },
    /** Every register holds anything, new in each scan. */
    NOISE {
      @Override
      int[] registers(State s) {
        return s.random.ints(20, 0, 65536).toArray();
      }
    };

    abstract int[] registers(State s);

    private static int[] crashLoop(State s, int firstBeat) {
      int inLife = s.scan % 60;
      if (inLife == 0) {
        s.life++;
        s.boot = 1 + s.random.nextInt(65535);
        s.beat = firstBeat;
        s.shown = Image.permit(s.boot, s.beat).registers();
      } else if (inLife == 25) {
        s.beat = Image.after(s.beat);
        s.shown = Image.permit(s.boot, s.beat).registers();
      }
      return s.shown;
    }

    private static int stray(SplittableRandom random, int permitWord) {
      return switch (random.nextInt(4)) {
        case 0 -> 0;
        case 1 -> 0xFFFF;
        case 2 -> permitWord ^ 1;
        default -> random.nextInt(65536);
      };
    }
  }

  private static final class State {
    final SplittableRandom random = new SplittableRandom(SEED);
    int scan;
    int life;
    int boot = 9;
    int beat = 1996;
    int[] shown = new int[20];
  }

  @ParameterizedTest
  @EnumSource
  void noScanSeesAPermitLaterThanTheTimeOutAfterTheLastTrueOne(Adversary adversary) {
    assertThat(latePermits(adversary, Program.shipped())).isZero();
    assertThat(latePermits(adversary, Program.port())).isZero();
  }

  static Stream<Arguments> controls() {
    String check = "AND (Check = (PermitWord XOR Beat XOR CheckKey))";
    String needed = "BeatsNeeded : DINT := 3";
    String boot = "IF BootId <> LastBoot THEN";
    String step = "(Step <= StepMost)";
    String age = "IF Age > TimeOut THEN";
    return Stream.of(
        control("no check word", Adversary.STRAY_WRITES, check, ""),
        control("no time-out", Adversary.DEATH, age, "IF FALSE THEN"),
        control(
            "one beat is enough and the boot id is ignored",
            Adversary.CRASH_LOOP,
            needed,
            "BeatsNeeded : DINT := 1",
            boot,
            "IF FALSE THEN"),
        control(
            "the boot id is ignored",
            Adversary.CRASH_LOOP_THAT_GOES_ON_COUNTING,
            boot,
            "IF FALSE THEN"),
        control("one beat is enough", Adversary.REPLAY, needed, "BeatsNeeded : DINT := 1"),
        control("every step is good", Adversary.REPLAY, step, "(Step <= BeatRound)"));
  }

  @ParameterizedTest(name = "{0}")
  @MethodSource("controls")
  void takeOneRuleAwayAndThereAreLatePermits(
      String name, Adversary adversary, Supplier<Program> weakened) {
    int late = latePermits(adversary, weakened.get());
    System.out.printf("control: %s against %s: %d late permits%n", name, adversary, late);
    assertThat(late).isPositive();
  }

  @Test
  void theAdversariesBeginFromATruePermit() {
    Program program = Program.shipped();
    assertThat(healthy(program, new State())).isPositive();
  }

  private static Arguments control(String name, Adversary adversary, String... changes) {
    Supplier<Program> weakened = () -> Program.shippedWithout(changes);
    return Arguments.of(name, adversary, weakened);
  }

  private static int latePermits(Adversary adversary, Program program) {
    State state = new State();
    assertThat(healthy(program, state)).isPositive();
    int late = 0;
    for (state.scan = 0; state.scan < SCANS; state.scan++) {
      int[] registers = Arrays.copyOf(adversary.registers(state), 20);
      program.scan(registers, SCAN_MS, false, false, false);
      // The last true image was first seen in the last scan of the healthy time.
      boolean tooLate = (state.scan + 1) * SCAN_MS > TIME_OUT_MS;
      late += tooLate && program.permit() ? 1 : 0;
    }
    return late;
  }

  /** Five true beats; ends with the scan that first sees the last of them. */
  private static int healthy(Program program, State state) {
    int permits = 0;
    for (int beat = 0; beat < 5; beat++) {
      state.shown = Image.permit(state.boot, ++state.beat).registers();
      for (int scan = 0; scan < (beat < 4 ? 25 : 1); scan++) {
        program.scan(state.shown, SCAN_MS, false, false, false);
        permits += program.permit() ? 1 : 0;
      }
    }
    return permits;
  }
}
