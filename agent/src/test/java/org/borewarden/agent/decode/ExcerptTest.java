package org.borewarden.agent.decode;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class ExcerptTest {
  @Test
  void bytesThatDoNotPrintAreEscaped() {
    assertThat(Excerpt.of("62.0\u0000\r\n\t\\\u00ff", 64)).isEqualTo("62.0\\x00\\r\\n\\t\\\\\\xFF");
  }

  @Test
  void anEscapeIsNeverCutInTwo() {
    assertThat(Excerpt.of("abc\u0000def", 6)).isEqualTo("abc");
    assertThat(Excerpt.of("abc\u0000def", 7)).isEqualTo("abc\\x00");
  }
}
