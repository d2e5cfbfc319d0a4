package org.borewarden.agent.hold.modbus;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.borewarden.agent.hold.PermitImage;
import org.borewarden.demo.controller.Watchdog;
import org.borewarden.rules.engine.CellReport;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.reading.PartContext;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.MethodSource;

/** The register map of docs/hold.md, register by register and bit by bit. */
class RegisterMapTest {
  @Test
  void blockAShowsEveryFieldInItsRegister() {
    HoldView hold = Images.view(Phase.REQUESTED, false, Optional.of(StopKind.END_OF_PART), 70_001);
    PermitImage image =
        new PermitImage(
            hold,
            4711,
            Reason.FORECAST,
            17,
            20,
            14,
            5,
            0x1_ABCD,
            false,
            false,
            false,
            false,
            0,
            6,
            0,
            0,
            0);

    int[] a = RegisterMap.blockA(1234, image, new Answers(9, 12, 8));

    assertThat(a)
        .containsExactly(
            0x0101,
            1234,
            0b100,
            0b100 ^ 1234 ^ 0xA55A,
            4711,
            70_001 - 65_536,
            3,
            4,
            1,
            6,
            17,
            0,
            20,
            14,
            5,
            0xABCD,
            9,
            12,
            8,
            1234);
  }

  static Stream<Arguments> permitBits() {
    Optional<StopKind> none = Optional.empty();
    HoldView off = Images.view(Phase.HEARD, false, none, 0);
    HoldView condition =
        new HoldView(
            "cell-4",
            Phase.STARTING,
            false,
            none,
            0,
            0,
            List.of(),
            List.of(new Condition(Reason.LINK, Optional.empty())),
            false,
            false,
            0,
            Optional.empty(),
            List.of(),
            java.time.Instant.EPOCH,
            "agent",
            false,
            "c");
    return Stream.of(
        Arguments.of(0b1, Images.permitted()),
        Arguments.of(0b11, plain(Images.view(Phase.TRIAL, true, none, 0))),
        Arguments.of(0b10, plain(Images.view(Phase.TRIAL, false, none, 0))),
        Arguments.of(0b100, Images.held(1, StopKind.END_OF_PART)),
        Arguments.of(0b10100, Images.held(1, StopKind.NEXT_SAFE_POINT)),
        Arguments.of(0b1000, plain(Images.view(Phase.NOT_READY, false, none, 0))),
        Arguments.of(0b1001000, plain(condition)),
        Arguments.of(0b100101, plain(Images.view(Phase.BYPASSED, true, none, 4))),
        Arguments.of(0b1000000, plain(Images.view(Phase.STARTING, false, none, 0))),
        Arguments.of(0, plain(off)),
        Arguments.of(1 << 7, flags(off, false, true, false, false, false)),
        Arguments.of(1 << 8, flags(off, true, false, false, false, false)),
        Arguments.of(1 << 9, flags(off, false, false, true, false, false)),
        Arguments.of(1 << 10, flags(off, false, false, false, false, true)),
        Arguments.of(1 << 11, flags(off, false, false, false, true, false)));
  }

  @ParameterizedTest
  @MethodSource("permitBits")
  void everyBitOfThePermitWordHasItsMeaning(int word, PermitImage image) {
    int[] a = RegisterMap.blockA(7, image, Answers.NONE);
    assertThat(a[2]).isEqualTo(word);
    assertThat(a[3]).isEqualTo(a[2] ^ a[1] ^ 0xA55A);
  }

  @Test
  void valuesBeyondSixteenBitsAreCappedAndNegativeOnesAreNought() {
    PermitImage image =
        new PermitImage(
            Images.view(Phase.PERMITTED, true, Optional.empty(), 0),
            1,
            Reason.NONE,
            70_000,
            -1,
            99_999,
            66_000,
            0,
            false,
            false,
            false,
            false,
            0,
            65_536,
            0,
            0,
            0);
    int[] a = RegisterMap.blockA(7, image, Answers.NONE);
    assertThat(List.of(a[9], a[10], a[12], a[13], a[14]))
        .containsExactly(65_535, 65_535, 0, 65_535, 65_535);
  }

  @Test
  void withoutPermitOnlyThePermitBitAndItsCheckDiffer() {
    int[] a = RegisterMap.blockA(7, Images.permitted(), Answers.NONE);
    int[] off = RegisterMap.withoutPermit(a);
    assertThat(IntStream.range(0, 20).filter(i -> a[i] != off[i])).containsExactly(2, 3);
    assertThat(off[3]).isEqualTo(off[2] ^ off[1] ^ 0xA55A);
  }

  @Test
  void theShippedProgramSeesAPermitInWhatTheCodecWrites() {
    Watchdog watchdog = new Watchdog();
    for (int beat = 65_533; beat != 4; beat = beat == 65_535 ? 1 : beat + 1) {
      int[] a = RegisterMap.blockA(beat, Images.permitted(), Answers.NONE);
      watchdog.scan(a, 250, false, false, false);
    }
    assertThat(watchdog.permit()).isTrue();
    int[] held = RegisterMap.blockA(4, Images.held(9, StopKind.NEXT_SAFE_POINT), Answers.NONE);
    watchdog.scan(held, 10, false, false, false);
    assertThat(watchdog.permit()).isFalse();
    assertThat(watchdog.heardNumber()).isEqualTo(9);
    assertThat(watchdog.heardKind()).isEqualTo(2);
  }

  @ParameterizedTest
  @EnumSource
  void anAnswerCodeIsItsPlaceInTheListAndNeverMoves(AnswerCode code) {
    assertThat(RegisterMap.answer(code))
        .isEqualTo(Arrays.asList(AnswerCode.values()).indexOf(code));
  }

  @Test
  void blockBIsReadFromEveryRegister() {
    int[] b = words();
    CellWords.Block block = (CellWords.Block) RegisterMap.words(b);
    PartContext context = block.context();

    assertThat(block.echo()).isEqualTo(1234);
    assertThat(block.contextNumber()).isEqualTo(40);
    assertThat(block.contextWhole()).isTrue();
    assertThat(List.of(block.requestNumber(), block.request(), block.argument()))
        .containsExactly(6, 2, 65_436);
    assertThat(context)
        .isEqualTo(
            new PartContext(
                OptionalLong.of(0x0001_0002L - 3),
                Optional.of("NW10000017"),
                Optional.of("7"),
                Optional.of("2"),
                Optional.of("5"),
                Optional.empty(),
                Optional.empty()));
    CellReport report = block.report(context);
    assertThat(report.startCount()).isEqualTo(OptionalInt.of(12));
    assertThat(report.partsFinished()).contains(0x0001_0002L);
    assertThat(report.partsToGauge()).isEqualTo(3);
    assertThat(report.context()).isEqualTo(context);
  }

  static Stream<Arguments> cellBits() {
    return IntStream.range(0, 10).mapToObj(Arguments::of);
  }

  @ParameterizedTest
  @MethodSource("cellBits")
  void everyBitOfTheCellWordHasItsMeaning(int bit) {
    int[] b = words();
    b[2] = 1 << bit;
    CellReport r = ((CellWords.Block) RegisterMap.words(b)).report(PartContext.NONE);
    List<Boolean> bits =
        List.of(
            r.automatic(),
            r.inCycle(),
            r.stoppedAtPartEnd(),
            r.stoppedAtSafePoint(),
            r.heardHold() == 9 && r.heardKind().equals(Optional.of(StopKind.NEXT_SAFE_POINT)),
            r.needsLocalStart(),
            r.ownBypass(),
            r.manual(),
            r.partAtGauge(),
            r.test());
    assertThat(bits).hasSize(10);
    for (int i = 0; i < 10; i++) {
      assertThat(bits.get(i)).as("bit %d", i).isEqualTo(i == bit);
    }
  }

  @Test
  void aHoldIsNotHeardWhileTheHeardBitIsOff() {
    int[] b = words();
    b[2] = 0;
    CellReport report = ((CellWords.Block) RegisterMap.words(b)).report(PartContext.NONE);
    assertThat(report.heardHold()).isZero();
    assertThat(report.heardKind()).isEmpty();
  }

  @Test
  void aCounterOfAllOnesIsNoCounter() {
    int[] b = words();
    b[6] = b[7] = 65_535;
    CellWords.Block block = (CellWords.Block) RegisterMap.words(b);
    assertThat(block.report(block.context()).partsFinished()).isEmpty();
    assertThat(block.context().part()).isEmpty();
  }

  @Test
  void theCounterIsUnsignedUpToTheLastValueBeforeAllOnes() {
    int[] b = words();
    b[6] = 65_535;
    b[7] = 65_534;
    assertThat(((CellWords.Block) RegisterMap.words(b)).partsFinished()).isEqualTo(4_294_967_294L);
  }

  @Test
  void aSerialThatIsNotPrintableIsNoSerial() {
    int[] b = words();
    b[16] = 0x3107;
    assertThat(((CellWords.Block) RegisterMap.words(b)).serial()).isEmpty();
    Arrays.fill(b, 15, 23, 0x2020);
    assertThat(((CellWords.Block) RegisterMap.words(b)).serial()).isEmpty();
    Arrays.fill(b, 15, 23, 0x4142);
    assertThat(((CellWords.Block) RegisterMap.words(b)).serial()).isEqualTo("ABABABABABABABAB");
  }

  @Test
  void allZerosAllOnesAnotherVersionAndATornBlockAreRefused() {
    int[] ones = new int[29];
    Arrays.fill(ones, 65_535);
    int[] torn = words();
    torn[28]--;
    int[] version = words();
    version[0] = 0x0102;
    assertThat(why(new int[29])).isEqualTo("version");
    assertThat(why(ones)).isEqualTo("version");
    assertThat(why(version)).isEqualTo("version");
    assertThat(why(torn)).isEqualTo("torn");
    assertThat(why(new int[28])).isEqualTo("short");
  }

  @Test
  void stepsGoForwardThroughTheEnd() {
    assertThat(RegisterMap.steps(65_535, 1)).isEqualTo(1);
    assertThat(RegisterMap.steps(65_530, 3)).isEqualTo(8);
    assertThat(RegisterMap.steps(5, 5)).isZero();
    assertThat(RegisterMap.steps(6, 5)).isEqualTo(65_534);
  }

  private static String why(int[] b) {
    return ((CellWords.Refused) RegisterMap.words(b)).why();
  }

  private static int[] words() {
    int[] b = new int[29];
    b[0] = 0x0101;
    b[1] = 1234;
    b[3] = 9;
    b[4] = 2;
    b[5] = 12;
    b[6] = 1;
    b[7] = 2;
    b[8] = 3;
    b[9] = 7;
    b[10] = 4;
    b[11] = 2;
    b[12] = 5;
    b[15] = 'N' << 8 | 'W';
    b[16] = '1' << 8 | '0';
    b[17] = '0' << 8 | '0';
    b[18] = '0' << 8 | '0';
    b[19] = '1' << 8 | '7';
    b[23] = 40;
    b[24] = 6;
    b[25] = 2;
    b[26] = 65_436;
    b[27] = 40;
    b[28] = 1234;
    return b;
  }

  private static PermitImage plain(HoldView hold) {
    return Images.image(hold, Reason.NONE);
  }

  private static PermitImage flags(
      HoldView hold, boolean alert, boolean heard, boolean clock, boolean broker, boolean test) {
    return new PermitImage(
        hold, 1, Reason.NONE, 0, 0, 0, 0, 0, alert, heard, clock, broker, test ? 7 : 0, 0, 0, 0, 0);
  }
}
