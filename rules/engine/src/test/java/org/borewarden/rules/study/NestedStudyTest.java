package org.borewarden.rules.study;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.stream.Stream;
import org.borewarden.rules.Resource;
import org.junit.jupiter.api.Test;

/** NIST/SEMATECH e-Handbook 2.4.4.1 to 2.4.4.3 and 2.6.1. */
class NestedStudyTest {
  private static NestedStudy study(List<String[]> rows, int run, int average, int deviation) {
    return NestedStudy.of(
        Stream.of("1", "2")
            .map(
                r ->
                    rows.stream()
                        .filter(row -> row[run].equals(r))
                        .map(
                            row ->
                                new NestedStudy.Day(
                                    Double.parseDouble(row[average]),
                                    Double.parseDouble(row[deviation])))
                        .toList())
            .toList());
  }

  private static List<String[]> rows(String name) {
    return Resource.lines(NestedStudyTest.class, name).stream()
        .skip(1)
        .map(line -> line.split(",", -1))
        .toList();
  }

  /** Standard 140, probe 2362: s1 0.07871 with 60, s2 0.02742 with 10 degrees of freedom. */
  @Test
  void repeatabilityAndReproducibilityAreThoseOfTheHandbook() {
    NestedStudy study = study(rows("2.4.4_nested_gauge_std140_probe2362.csv"), 0, 1, 2);
    assertThat(study.repeatability()).isCloseTo(0.07871, within(6e-6));
    assertThat(study.reproducibility()).isCloseTo(0.02742, within(6e-6));
  }

  /** Probe 2362: s3 of five standards, pooled 0.0197 (0.01965 recomputes). */
  @Test
  void stabilityOverTheStandardsIsThatOfTheHandbook() {
    List<String[]> all = rows("2.6.1_mpc61_gauge_study.csv");
    assertThat(all).hasSize(300);
    double[] published = {0.0223, 0.0027, 0.0289, 0.0133, 0.0205};
    List<String> wafers = List.of("138", "139", "140", "141", "142");
    List<NestedStudy> studies =
        wafers.stream()
            .map(
                wafer ->
                    study(
                        all.stream()
                            .filter(row -> row[1].equals(wafer) && row[2].equals("2362"))
                            .toList(),
                        0,
                        7,
                        8))
            .toList();
    for (int i = 0; i < wafers.size(); i++) {
      assertThat(studies.get(i).stability())
          .as(wafers.get(i))
          .isCloseTo(published[i], within(7e-5));
    }
    assertThat(NestedStudy.pooled(studies).stability()).isCloseTo(0.019645, within(1e-6));
  }
}
