package org.borewarden.agent.decode;

import static org.assertj.core.api.Assertions.assertThat;

import org.borewarden.agent.decode.ValueText.Parsed;
import org.borewarden.agent.decode.ValueText.Parsed.Problem;
import org.borewarden.agent.decode.ValueText.Parsed.Value;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class ValueTextTest {
  @ParameterizedTest
  @CsvSource(
      ignoreLeadingAndTrailingWhitespace = false,
      value = {
        "62.034,MILLIMETRE,62034000000,3",
        "+0062.0340,MILLIMETRE,62034000000,4",
        "-0.002,MILLIMETRE,-2000000,3",
        "-   0.002,MILLIMETRE,-2000000,3",
        "  62 ,MILLIMETRE,62000000000,0",
        "0.000000001,MILLIMETRE,1,9",
        "-0.0,MILLIMETRE,0,1",
        "12.3,MICROMETRE,12300000,1",
        ".8763,INCH,22258020000,4",
        "1,MICROINCH,25400,0",
        "0.01,MICROINCH,254,2",
        "100000,MILLIMETRE,100000000000000,0",
        "-100000,MILLIMETRE,-100000000000000,0"
      })
  void aWrittenLengthIsExactAndKeepsItsDecimals(String text, Unit unit, long pm, int decimals) {
    assertThat(ValueText.parse(text, unit, false)).isEqualTo(new Value(new Length(pm), decimals));
  }

  @ParameterizedTest
  @CsvSource(
      ignoreLeadingAndTrailingWhitespace = false,
      delimiter = ';',
      value = {
        "62.;expected a digit behind the decimal sign, found the end;3",
        ".;expected a digit behind the decimal sign, found the end;1",
        "-;expected a digit, found the end;1",
        "--1;expected a digit, found '-';1",
        "62.0.34;expected a digit, found '.';4",
        "6 2.034;expected a digit or '.', found '2';2",
        "62.034e3;expected a digit, found 'e';6",
        "62,034;expected a digit or '.', found ',';2",
        "0x3E;expected a digit or '.', found 'x';1",
        "62.0340000000;expected at most 9 decimals, found 10;0"
      })
  void whatIsNoNumberIsRefusedWhereItGoesWrong(String text, String detail, int offset) {
    assertThat(ValueText.parse(text, Unit.MILLIMETRE, false))
        .isEqualTo(new Problem(Refusal.BAD_NUMBER, detail, offset));
  }

  @Test
  void lessThanAPicometreIsRefusedRatherThanRounded() {
    assertThat(ValueText.parse("0.0000001", Unit.MICROMETRE, false))
        .isEqualTo(
            new Problem(
                Refusal.BAD_NUMBER,
                "expected a whole number of picometres, found 0.0000001 um",
                0));
    assertThat(ValueText.parse("0.000000001", Unit.INCH, false)).isInstanceOf(Problem.class);
    assertThat(ValueText.parse("0.0000010", Unit.MICROMETRE, false))
        .isEqualTo(new Value(new Length(1), 7));
  }

  @ParameterizedTest
  @CsvSource({
    "100000.000000001,MILLIMETRE",
    "-100000.000000001,MILLIMETRE",
    "9999999999999999999999999999999999,INCH"
  })
  void aHundredMetresAreTheEnd(String text, Unit unit) {
    Parsed parsed = ValueText.parse(text, unit, false);

    assertThat(parsed)
        .isInstanceOfSatisfying(
            Problem.class, problem -> assertThat(problem.why()).isEqualTo(Refusal.OUT_OF_RANGE));
  }
}
