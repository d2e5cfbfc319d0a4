package org.borewarden.agent.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.ZoneOffset;
import java.util.Optional;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class SizesTest {
  private final Sizes sizes =
      new Sizes(
          new Wanted(
              Instant.EPOCH,
              Instant.EPOCH,
              "",
              ZoneOffset.UTC,
              Optional.empty(),
              false,
              Optional.empty(),
              Optional.empty(),
              Optional.empty()));

  @ParameterizedTest
  @CsvSource({
    "1, > 99.9 %",
    "0.9995, > 99.9 %",
    "0.999, 99.9 %",
    "0.5, 50.0 %",
    "0.001, 0.1 %",
    "0.0005, < 0.1 %",
    "0, < 0.1 %"
  })
  void aShareIsNeverToldAsCertaintyNorAsNone(double share, String told) {
    assertThat(sizes.percent(share)).isEqualTo(told);
  }
}
