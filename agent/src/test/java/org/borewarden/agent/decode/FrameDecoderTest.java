package org.borewarden.agent.decode;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.config.GaugeConfig;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.decode.Decoded.Accepted;
import org.borewarden.agent.decode.Decoded.Refused;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.reading.Reading;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class FrameDecoderTest {
  private static final String PLAIN = " *(?P<value>[-+ 0-9.,]+?) *(?P<unit>[A-Za-z\"]*)";
  private static final GaugeConfig BORE_A = gauge("bore-a", Optional.empty(), Optional.empty());

  @Test
  void aFrameWithItsUnitIsAReadingWithTheDigitsAsShown() {
    assertThat(decoder(PLAIN, BORE_A).decode("62.0340 mm").get(0))
        .isEqualTo(accepted("bore-a", 62_034_000_000L, Unit.MILLIMETRE, 4));
  }

  @ParameterizedTest
  @ValueSource(strings = {"(?P<value>[0-9.]+)mm(?P<status>.*)", "(?<value>[0-9.]+)mm(?<status>.*)"})
  void bothSpellingsOfANamedGroupAreUnderstood(String pattern) {
    GaugeConfig gauge = gauge("bore-a", Optional.empty(), Optional.of(Unit.MILLIMETRE));

    assertThat(decoder(pattern, gauge).decode("62.034mm B").get(0))
        .isEqualTo(
            new Accepted(
                new Reading(
                    "bore-a",
                    new Length(62_034_000_000L),
                    Unit.MILLIMETRE,
                    3,
                    Optional.empty(),
                    Optional.of("B"))));
  }

  @ParameterizedTest
  @CsvSource(
      quoteCharacter = '|',
      value = {
        "mm,MILLIMETRE",
        "MM,MILLIMETRE",
        "um,MICROMETRE",
        "in,INCH",
        "IN,INCH",
        "inch,INCH",
        "INCH,INCH",
        "\",INCH",
        "uin,MICROINCH"
      })
  void unitWordsOfTheTradeAreKnown(String word, Unit unit) {
    Decoded decoded = decoder(PLAIN, BORE_A).decode("2.5 " + word).get(0);

    assertThat(decoded).isEqualTo(accepted("bore-a", unit.picometres() * 5 / 2, unit, 1));
  }

  @Test
  void aUnitInMixedLettersIsRefusedSinceAMegametreIsNoMillimetre() {
    assertThat(decoder(PLAIN, BORE_A).decode("62.034 Mm").get(0))
        .isEqualTo(
            new Refused(
                "bore-a",
                Refusal.UNKNOWN_UNIT,
                "expected mm, um, in, inch, \" or uin, found 'Mm'",
                7));
  }

  @Test
  void theFramesUnitCountsBeforeTheConfigs() {
    GaugeConfig inches = gauge("bore-a", Optional.empty(), Optional.of(Unit.INCH));

    assertThat(decoder(PLAIN, inches).decode("62.034mm").get(0))
        .isEqualTo(accepted("bore-a", 62_034_000_000L, Unit.MILLIMETRE, 3));
    assertThat(decoder(PLAIN, inches).decode(".87630").get(0))
        .isEqualTo(accepted("bore-a", 22_258_020_000L, Unit.INCH, 5));
  }

  @Test
  void aFrameWithoutAUnitIsRefusedWhereTheConfigNamesNone() {
    assertThat(decoder(PLAIN, BORE_A).decode("62.034").get(0))
        .isInstanceOfSatisfying(
            Refused.class, refused -> assertThat(refused.why()).isEqualTo(Refusal.NO_UNIT));
  }

  @Test
  void aDecimalCommaIsRefusedWhereItStands() {
    assertThat(decoder(PLAIN, BORE_A).decode("  62,034 mm").get(0))
        .isEqualTo(
            new Refused("bore-a", Refusal.BAD_NUMBER, "expected a digit or '.', found ','", 4));
  }

  @Test
  void aDecimalCommaIsTakenWhereTheConfigSaysSoAndThenThePointIsRefused() {
    FrameDecoder comma = new FrameDecoder(port(PLAIN, true), List.of(BORE_A));

    assertThat(comma.decode("62,034 mm").get(0))
        .isEqualTo(accepted("bore-a", 62_034_000_000L, Unit.MILLIMETRE, 3));
    assertThat(comma.decode("62.034 mm").get(0))
        .isEqualTo(
            new Refused("bore-a", Refusal.BAD_NUMBER, "expected a digit or ',', found '.'", 2));
  }

  @ParameterizedTest
  @CsvSource({"62.0\u0000034 mm,4,0x00", "62\u00ff.034 mm,2,0xFF", "\u007f62.034 mm,0,0x7F"})
  void aByteOfNoiseIsRefusedAtItsOffset(String frame, int offset, String found) {
    assertThat(decoder(".*?(?P<value>[0-9.]+).*", BORE_A).decode(frame).get(0))
        .isEqualTo(
            new Refused(
                "bore-a",
                Refusal.NOT_TEXT,
                "expected printable ASCII, found byte " + found,
                offset));
  }

  @Test
  void aControlByteThatThePatternNamesIsTaken() {
    FrameDecoder decoder = decoder("\\x02(?P<value>[0-9.]+)(?P<unit>mm)", BORE_A);

    assertThat(decoder.decode("\u000262.034mm").get(0))
        .isEqualTo(accepted("bore-a", 62_034_000_000L, Unit.MILLIMETRE, 3));
    assertThat(decoder.decode("\u000162.034mm").get(0))
        .isInstanceOfSatisfying(
            Refused.class, refused -> assertThat(refused.why()).isEqualTo(Refusal.NOT_TEXT));
  }

  @Test
  void whatStandsBehindAMatchIsRefusedWhereItBegins() {
    assertThat(decoder("(?P<value>[0-9.]+) (?P<unit>mm)", BORE_A).decode("62.034 mm?").get(0))
        .isEqualTo(
            new Refused("bore-a", Refusal.NO_MATCH, "expected the frame's end, found '?'", 9));
  }

  @Test
  void aFrameOfAnotherShapeIsNoMatch() {
    assertThat(decoder("(?P<value>[0-9.]+) (?P<unit>mm)", BORE_A).decode("LOW BATTERY").get(0))
        .isEqualTo(
            new Refused(
                "bore-a", Refusal.NO_MATCH, "expected the port's pattern, found 'LOW BATTERY'", 0));
  }

  @Test
  void aMultiplexersInputTellsTheGauge() {
    FrameDecoder decoder =
        new FrameDecoder(
            port("(?P<input>[0-9]+):(?P<value>[0-9.]+)", false),
            List.of(
                gauge("bore-a", Optional.of("1"), Optional.of(Unit.MILLIMETRE)),
                gauge("bore-b", Optional.of("2"), Optional.of(Unit.INCH))));

    assertThat(decoder.decode("2:0.8763").get(0))
        .isEqualTo(
            new Accepted(
                new Reading(
                    "bore-b",
                    new Length(22_258_020_000L),
                    Unit.INCH,
                    4,
                    Optional.of("2"),
                    Optional.empty())));
    assertThat(decoder.decode("3:0.8763").get(0))
        .isEqualTo(
            new Refused("port-1", Refusal.UNKNOWN_INPUT, "expected one of 1, 2, found '3'", 0));
  }

  @Test
  void aGaugeThatStandsAloneNeedsNoInput() {
    GaugeConfig alone = gauge("bore-a", Optional.empty(), Optional.of(Unit.MILLIMETRE));
    FrameDecoder decoder = decoder("(?:(?P<input>[0-9]+):)?(?P<value>[0-9.]+)", alone);

    assertThat(decoder.decode("7:62.034").get(0)).isInstanceOf(Accepted.class);
    assertThat(decoder.decode("62.034").get(0)).isInstanceOf(Accepted.class);
  }

  @Test
  void aGaugeWithAnInputDoesNotTakeFramesOfAnother() {
    GaugeConfig second = gauge("bore-a", Optional.of("2"), Optional.of(Unit.MILLIMETRE));
    FrameDecoder decoder = decoder("(?:(?P<input>[0-9]+):)?(?P<value>[0-9.]+)", second);

    assertThat(decoder.decode("1:62.034").get(0))
        .isEqualTo(new Refused("bore-a", Refusal.UNKNOWN_INPUT, "expected one of 2, found '1'", 0));
    assertThat(decoder.decode("62.034").get(0))
        .isEqualTo(
            new Refused("bore-a", Refusal.UNKNOWN_INPUT, "expected one of 2, found none", 0));
  }

  @Test
  void aValueGroupThatTookNoPartIsNoNumber() {
    assertThat(decoder("(?P<value>[0-9]+)?(?P<unit>mm)", BORE_A).decode("mm").get(0))
        .isEqualTo(new Refused("bore-a", Refusal.BAD_NUMBER, "expected a digit, found the end", 0));
  }

  @Test
  void aPatternWithoutAValueIsRefusedAtTheStart() {
    assertThatThrownBy(() -> decoder("[0-9]+", BORE_A))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("no group named value");
  }

  private static FrameDecoder decoder(String pattern, GaugeConfig gauge) {
    return new FrameDecoder(port(pattern, false), List.of(gauge));
  }

  private static PortConfig port(String pattern, boolean comma) {
    return new PortConfig(
        "port-1",
        new PortConfig.Tcp("127.0.0.1", 1, Duration.ofSeconds(1)),
        new PortConfig.Frame(Optional.empty(), 64),
        pattern,
        comma,
        Optional.empty());
  }

  private static GaugeConfig gauge(String id, Optional<String> input, Optional<Unit> unit) {
    return new GaugeConfig(id, "port-1", input, unit);
  }

  private static Decoded accepted(String gauge, long picometres, Unit unit, int decimals) {
    return new Accepted(
        new Reading(
            gauge, new Length(picometres), unit, decimals, Optional.empty(), Optional.empty()));
  }
}
