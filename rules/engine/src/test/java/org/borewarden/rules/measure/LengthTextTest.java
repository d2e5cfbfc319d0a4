package org.borewarden.rules.measure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.math.BigDecimal;
import java.util.List;
import java.util.Random;
import org.borewarden.rules.Lengths;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class LengthTextTest {

  @ParameterizedTest
  @CsvSource({
    "62.030 mm,62030000000,MILLIMETRE,3",
    "+0.030 mm,30000000,MILLIMETRE,3",
    "-0.012 mm,-12000000,MILLIMETRE,3",
    "0.8762 in,22255480000,INCH,4",
    ".8762 in,22255480000,INCH,4",
    "0.87541 in,22235414000,INCH,5",
    "30 um,30000000,MICROMETRE,0",
    "1 uin,25400,MICROINCH,0",
    "0.500000000 in,12700000000,INCH,9",
    "-0.500000005 in,-12700000127,INCH,9",
    "62.030mm,62030000000,MILLIMETRE,3",
    "0.000000001 mm,1,MILLIMETRE,9",
    "100000 mm,100000000000000,MILLIMETRE,0",
    "-100000 mm,-100000000000000,MILLIMETRE,0"
  })
  void aLengthIsReadExactlyWithItsDigits(String text, long picometres, Unit unit, int decimals) {
    assertThat(LengthText.parse(text))
        .isEqualTo(new Parsed.Ok<>(new WrittenLength(new Length(picometres), unit, decimals)));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "62.0x30 mm|expected a unit (mm, um, in, uin), found 'x'|4",
        "x|expected a digit, found 'x'|0",
        "62,030 mm|expected '.' as the decimal mark, found ','|2",
        "62.030|expected a unit (mm, um, in, uin), found the end|6",
        "62.030 cm|expected a unit (mm, um, in, uin), found 'c'|7",
        "62.030 mm x|expected a unit (mm, um, in, uin), found 'm'|7",
        "62.|expected a digit, found the end|3",
        "62. mm|expected a digit, found the end|3",
        "6.2.0 mm|expected a digit, found '.'|3",
        "+-6 mm|expected a digit, found '-'|1",
        "1e3 mm|expected a unit (mm, um, in, uin), found 'e'|1",
        "NaN mm|expected a digit, found 'N'|0",
        "100000.001 mm|expected a length of at most 100 m either way, found 100000.001|0",
        "0.000000001 in|expected a whole number of picometres, found 25.4 pm|0",
        "0.0000000001 mm|expected at most 9 decimals|11",
        "1234567890123456789 mm|expected at most 18 digits|18",
        "٣ mm|expected a digit, found '\\u0663'|0"
      })
  void whatIsNoLengthIsRefusedWhereItStands(String text, String why, int offset) {
    assertThat(LengthText.parse(text)).isEqualTo(new Parsed.Refused<>(why, offset));
  }

  @Test
  void anEmptyTextIsRefused() {
    assertThat(LengthText.parse("")).isEqualTo(refused("expected a digit, found the end", 0));
    assertThat(bare("", DecimalMark.POINT))
        .isEqualTo(refused("expected a digit, found the end", 0));
    assertThat(bare("-", DecimalMark.POINT))
        .isEqualTo(refused("expected a digit, found the end", 1));
    assertThat(bare(".", DecimalMark.POINT))
        .isEqualTo(refused("expected a digit, found the end", 1));
  }

  @Test
  void aBareNumberTakesTheUnitAndTheMarkOfItsGauge() {
    assertThat(bare("+62,030", DecimalMark.COMMA))
        .isEqualTo(new Parsed.Ok<>(Lengths.written("62.030 mm")));
    assertThat(bare("62.030", DecimalMark.COMMA))
        .isEqualTo(refused("expected ',' as the decimal mark, found '.'", 2));
    assertThat(bare("62,030", DecimalMark.POINT))
        .isEqualTo(refused("expected '.' as the decimal mark, found ','", 2));
    assertThat(bare("62.0\u00033", DecimalMark.POINT))
        .isEqualTo(refused("expected a digit, found '\\u0003'", 4));
    assertThat(bare(" 62.030", DecimalMark.POINT))
        .isEqualTo(refused("expected a digit, found ' '", 0));
  }

  @Test
  void whatWasReadPrintsAgainWithTheSameDigits() {
    long seed = 20260131;
    Random random = new Random(seed);
    for (int i = 0; i < 20_000; i++) {
      Unit unit = List.of(Unit.values()).get(random.nextInt(4));
      int decimals = random.nextInt(unit == Unit.INCH ? 9 : unit == Unit.MICROINCH ? 3 : 7);
      String text = BigDecimal.valueOf(random.nextInt(6_000) - 3_000, decimals).toPlainString();
      assertThat(LengthText.parse(text, unit, DecimalMark.POINT))
          .as("seed %s, %s %s", seed, text, unit)
          .isInstanceOfSatisfying(
              Parsed.Ok.class,
              ok -> {
                WrittenLength read = (WrittenLength) ok.value();
                assertThat(LengthText.print(read.length(), unit, read.decimals())).isEqualTo(text);
              });
    }
  }

  @Test
  void printingRoundsHalfToEvenAndOnlyWhereTheDecimalsAreTooFew() {
    assertThat(LengthText.print(Lengths.of("62.0005 mm"), Unit.MILLIMETRE, 3)).isEqualTo("62.000");
    assertThat(LengthText.print(Lengths.of("62.0015 mm"), Unit.MILLIMETRE, 3)).isEqualTo("62.002");
    assertThat(LengthText.print(Lengths.of("62.0015 mm"), Unit.MILLIMETRE, 4)).isEqualTo("62.0015");
    assertThat(LengthText.print(Lengths.of("-0.0004 mm"), Unit.MILLIMETRE, 3)).isEqualTo("0.000");
    assertThat(LengthText.print(Lengths.of("0.87541 in"), Unit.INCH, 5)).isEqualTo("0.87541");
    assertThat(LengthText.print(Length.ZERO, Unit.INCH, 18)).isEqualTo("0." + "0".repeat(18));
    assertThatThrownBy(() -> LengthText.print(Length.ZERO, Unit.INCH, 19))
        .hasMessage("expected 0 to 18 decimals: 19");
  }

  @Test
  void aDeviationPrintsItsSign() {
    assertThat(LengthText.printSigned(Lengths.of("0.030 mm"), Unit.MILLIMETRE, 3))
        .isEqualTo("+0.030");
    assertThat(LengthText.printSigned(Length.ZERO, Unit.MILLIMETRE, 3)).isEqualTo("0.000");
    assertThat(LengthText.printSigned(Lengths.of("-3 um"), Unit.MICROMETRE, 0)).isEqualTo("-3");
    assertThat(LengthText.printSigned(Lengths.of("0.4 um"), Unit.MICROMETRE, 0)).isEqualTo("0");
  }

  @Test
  void inchesAndMillimetresConvertExactlyAndPrintAsFineAsTheReading() {
    assertThat(LengthText.decimalsIn(Unit.INCH, 4, Unit.MILLIMETRE)).isEqualTo(3);
    assertThat(LengthText.decimalsIn(Unit.MILLIMETRE, 3, Unit.INCH)).isEqualTo(5);
    assertThat(LengthText.decimalsIn(Unit.MILLIMETRE, 3, Unit.MICROMETRE)).isZero();
    assertThat(LengthText.decimalsIn(Unit.MILLIMETRE, 3, Unit.MILLIMETRE)).isEqualTo(3);
    assertThat(LengthText.print(Lengths.of("1 in"), Unit.MILLIMETRE, 1)).isEqualTo("25.4");
    assertThat(LengthText.print(Lengths.of("25.4 mm"), Unit.INCH, 9)).isEqualTo("1.000000000");
  }

  @Test
  void aValueBesideALimitItPassesNeverPrintsLikeIt() {
    PrintedPair pair =
        LengthText.printApart(
            Lengths.of("0.8763 in"), Lengths.of("0.87628 in"), Unit.MILLIMETRE, 3);
    assertThat(pair).isEqualTo(new PrintedPair("22.2580", "22.2575", 4));
    Length limit = Lengths.of("62.030 mm");
    assertThat(LengthText.printApart(limit, limit, Unit.MILLIMETRE, 3))
        .isEqualTo(new PrintedPair("62.030", "62.030", 3));
    PrintedPair onePicometre =
        LengthText.printApart(limit.plus(new Length(1)), limit, Unit.INCH, 4);
    assertThat(onePicometre.value()).isNotEqualTo(onePicometre.limit());
    assertThat(LengthText.printApart(Lengths.of("62.031 mm"), limit, Unit.MILLIMETRE, 3))
        .isEqualTo(new PrintedPair("62.031", "62.030", 3));
  }

  private static Parsed<WrittenLength> bare(String text, DecimalMark mark) {
    return LengthText.parse(text, Unit.MILLIMETRE, mark);
  }

  private static Parsed<WrittenLength> refused(String why, int offset) {
    return new Parsed.Refused<>(why, offset);
  }
}
