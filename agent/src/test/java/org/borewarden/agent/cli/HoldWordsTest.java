package org.borewarden.agent.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.ObjectMapper;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class HoldWordsTest {
  private final ObjectMapper json = new ObjectMapper();

  /** Waiting does not help where a restored journal waits to be adopted by a person. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "[] | wait, the agent has only just started",
        "[{\"condition\":\"journal\",\"subject\":\"not-adopted\"}] | remedy what stands;"
            + " what a start brings with it goes by itself in seconds"
      })
  void whoeverLooksAtAStartIsToldToWaitOnlyWhereThatHelps(String conditions, String next)
      throws Exception {
    String hold = "{\"cell\":\"cell-4\",\"state\":\"starting\",\"conditions\":" + conditions + "}";
    assertThat(HoldWords.of(json.readTree(hold))).last().isEqualTo("  next: " + next);
  }
}
