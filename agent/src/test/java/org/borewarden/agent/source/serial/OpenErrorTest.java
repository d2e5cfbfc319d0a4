package org.borewarden.agent.source.serial;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class OpenErrorTest {
  @ParameterizedTest
  @CsvSource({"2,gone", "19,gone", "11,busy", "16,busy", "13,permission", "5,open-failed"})
  void errorNumbersOfTheSystemBecomeWords(int errno, String key) {
    assertThat(OpenError.of(errno).failure("/dev/ttyUSB0", errno).key()).isEqualTo(key);
  }

  @ParameterizedTest
  @CsvSource({"13"})
  void aPortThatIsNotPermittedSaysWhatToDo(int errno) {
    assertThat(OpenError.of(errno).failure("/dev/ttyUSB0", errno).detail())
        .contains("/dev/ttyUSB0")
        .contains("dialout");
  }
}
