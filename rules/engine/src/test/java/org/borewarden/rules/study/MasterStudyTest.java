package org.borewarden.rules.study;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.borewarden.rules.Resource;
import org.junit.jupiter.api.Test;

/** Studies of a gauge on masters of known size. */
class MasterStudyTest {
  /** Constructed numbers, not published: they check the arithmetic of the formulae only. */
  private static final List<Double> REPEATS =
      List.of(
          20.301, 20.301, 20.311, 20.297, 20.295, 20.301, 20.298, 20.311, 20.297, 20.301, 20.302,
          20.304, 20.298, 20.295, 20.301, 20.301, 20.311, 20.297, 20.295, 20.301, 20.298, 20.311,
          20.297, 20.301, 20.302);

  @Test
  void repeatsOnOneMaster() {
    RepeatStudy usual =
        RepeatStudy.of(REPEATS, 20.302, 0.3, RepeatStudy.USUAL_SHARE, RepeatStudy.USUAL_WIDTH);
    assertThat(usual.mean()).isCloseTo(20.30108, within(1e-9));
    assertThat(usual.sigma()).isCloseTo(0.00504083326445117, within(1e-12));
    assertThat(usual.potential()).isCloseTo(1.9837990021454868, within(1e-9));
    assertThat(usual.actual()).isCloseTo(1.922962499413214, within(1e-9));
    RepeatStudy narrow = RepeatStudy.of(REPEATS, 20.302, 0.3, 0.2, 4);
    assertThat(narrow.potential()).isCloseTo(2.9756985032182297, within(1e-9));
    assertThat(narrow.actual()).isCloseTo(2.8844437491198205, within(1e-9));
    RepeatStudy strict = RepeatStudy.of(REPEATS, 20.302, 0.3, 0.15, 6);
    assertThat(strict.potential()).isCloseTo(1.487849251609115, within(1e-9));
    assertThat(strict.actual()).isCloseTo(1.4270127488768423, within(1e-9));
  }

  @Test
  void aRepeatStudyRefusesWhatIsNone() {
    assertThatThrownBy(() -> RepeatStudy.of(List.of(1.0), 1, 1, 0.2, 6))
        .hasMessage("expected at least 2 readings of the master, found 1");
    assertThatThrownBy(() -> RepeatStudy.of(REPEATS, 20.302, 0, 0.2, 6))
        .hasMessageStartingWith("expected a tolerance above 0");
  }

  /**
   * The line-width calibration of NIST/SEMATECH e-Handbook 2.3.6.7; the same 40 values are table
   * A.1 of ISO 22514-7:2012, whose printed results these are.
   */
  @Test
  void theLinearityOfTheStandardsExample() {
    LinearityStudy study = LinearityStudy.of(masters());
    assertThat(study.intercept()).isCloseTo(0.2358, within(5e-5));
    assertThat(study.slope()).isCloseTo(0.9870, within(5e-5));
    assertThat(study.lackOfFit()).isCloseTo(0.0533, within(6e-5));
    assertThat(study.repeatability()).isCloseTo(0.0641, within(6e-5));
    assertThat(study.ratio()).isCloseTo(0.6918, within(5e-5));
    assertThat(study.critical()).isCloseTo(2.2661, within(1e-4));
    assertThat(study.straight()).isTrue();
  }

  /** An error that grows with the square of the size is more than a line explains. */
  @Test
  void aBentErrorIsNotStraight() {
    List<LinearityStudy.Master> bent = new ArrayList<>();
    for (LinearityStudy.Master master : masters()) {
      double bow = 0.05 * master.reference() * master.reference();
      bent.add(
          new LinearityStudy.Master(
              master.reference(), master.readings().stream().map(y -> y + bow).toList()));
    }
    assertThat(LinearityStudy.of(bent).straight()).isFalse();
  }

  /** A gauge without scatter: any bend is more than a line, and none is none. */
  @Test
  void aGaugeWithoutScatterIsStraightWhereItsErrorIs() {
    assertThat(LinearityStudy.of(exact(2, 4, 6)).straight()).isTrue();
    assertThat(LinearityStudy.of(exact(2, 4, 7)).straight()).isFalse();
  }

  private static List<LinearityStudy.Master> exact(double... readings) {
    List<LinearityStudy.Master> masters = new ArrayList<>();
    for (int i = 0; i < readings.length; i++) {
      masters.add(new LinearityStudy.Master(i, List.of(readings[i], readings[i])));
    }
    return masters;
  }

  @Test
  void aLinearityStudyNeedsThreeMastersEachOfAnotherSize() {
    LinearityStudy.Master ten = new LinearityStudy.Master(10, List.of(10.0, 10.1));
    LinearityStudy.Master twelve = new LinearityStudy.Master(12, List.of(12.0, 12.1));
    LinearityStudy.Master fifteen = new LinearityStudy.Master(15, List.of(15.0, 15.1));
    assertThatThrownBy(() -> LinearityStudy.of(List.of(ten, twelve)))
        .hasMessage("expected at least 3 masters, each of another size, found 2 of 2 sizes");
    assertThatThrownBy(() -> LinearityStudy.of(List.of(ten, twelve, fifteen, ten)))
        .hasMessage("expected at least 3 masters, each of another size, found 4 of 3 sizes");
  }

  private static List<LinearityStudy.Master> masters() {
    List<LinearityStudy.Master> masters = new ArrayList<>();
    for (String line : Resource.lines(MasterStudyTest.class, "linearity_nist_iso_A1.csv")) {
      if (!line.startsWith("reference")) {
        List<Double> cells = Arrays.stream(line.split(",", -1)).map(Double::valueOf).toList();
        masters.add(new LinearityStudy.Master(cells.get(0), cells.subList(1, cells.size())));
      }
    }
    return masters;
  }
}
