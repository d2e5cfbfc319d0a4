package org.borewarden.rules.part;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.math.BigDecimal;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.Resource;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Parsed;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Against the tables of ISO 286-1:2010 and ISO 286-2:2010 as four open tables agree on them (the
 * standards were not read).
 */
class HoleClassTest {

  @Test
  void everyCellOfTheReferenceTableIsMetAtBothEndsOfItsRange() {
    List<String> rows = rows("hole_limit_deviations.csv");
    assertThat(rows).hasSizeGreaterThan(300);
    for (String row : rows) {
      String[] cell = row.split(",", -1);
      Length justOver = Lengths.of(cell[0] + " mm").plus(new Length(1));
      Length upTo = Lengths.of(cell[1] + " mm");
      for (Length nominal : List.of(justOver, upTo)) {
        assertThat(limits(cell[2], nominal))
            .as(row)
            .isEqualTo(limits(nominal, micrometres(cell[4]), micrometres(cell[3])));
      }
    }
  }

  @Test
  void everyToleranceGradeIsMet() {
    for (String row : rows("it_grades.csv")) {
      String[] cell = row.split(",", -1);
      for (int grade = 5; grade <= 12; grade++) {
        Length nominal = Lengths.of(cell[1] + " mm");
        assertThat(limits("H" + grade, nominal))
            .as("H%s, %s", grade, row)
            .isEqualTo(limits(nominal, Length.ZERO, micrometres(cell[grade - 3])));
      }
    }
  }

  @Test
  void everyDeltaIsMet() {
    List<String> rows = rows("delta_for_K_M_N_P.csv");
    for (int range = 0; range < rows.size(); range++) {
      String[] cell = rows.get(range).split(",", -1);
      for (int grade = 6; grade <= 8; grade++) {
        assertThat(HoleTable.delta(range, grade))
            .as("IT%s, %s", grade, rows.get(range))
            .isEqualTo(Integer.parseInt(cell[grade - 3]));
      }
    }
  }

  /** From memory, for the ranges that the reference table leaves out. */
  @ParameterizedTest
  @CsvSource({
    "3,4,-6",
    "6,6,-6",
    "10,8,-7",
    "18,10,-8",
    "30,12,-9",
    "50,14,-11",
    "80,18,-12",
    "120,22,-13",
    "180,26,-14",
    "250,30,-16",
    "315,36,-16"
  })
  void j7IsAsRemembered(String millimetres, String upper, String lower) {
    Length nominal = Lengths.of(millimetres + " mm");
    assertThat(limits("J7", nominal))
        .isEqualTo(limits(nominal, micrometres(lower), micrometres(upper)));
  }

  @ParameterizedTest
  @CsvSource({
    "62 H7,62.000,62.030",
    "25 H7,25.000,25.021",
    "40 G6,40.009,40.025",
    "25 JS8,24.9835,25.0165",
    "60 K7,59.979,60.009",
    "80 N7,79.961,79.991",
    "80 P7,79.949,79.979",
    "100P7,99.941,99.976",
    "120 H8,120.000,120.054",
    "16 F8,16.016,16.043",
    "50 JS7,49.9875,50.0125",
    "300 H11,300.000,300.320",
    "31.75 H7,31.750,31.775"
  })
  void aDrawingsTextGivesItsLimits(String text, String lower, String upper) {
    assertThat(HoleSize.parse(text))
        .isInstanceOfSatisfying(
            Parsed.Ok.class,
            ok ->
                assertThat(((HoleSize) ok.value()).limits())
                    .isEqualTo(
                        new Limits(
                            Optional.of(Lengths.of(lower + " mm")),
                            Optional.of(Lengths.of(upper + " mm")))));
  }

  @ParameterizedTest
  @CsvSource({
    "62 H4,3,found H4",
    "62 h7,3,found h7; small letters name shafts",
    "62 Z7,3,found Z7",
    "62 D7,3,found D7",
    "62,2,'found '",
    "H7,0,'expected a digit, found the end'",
    "6x2 H7,1,found x2 H7",
    "0 H7,0,over 0 and up to 315 mm",
    "-3 H7,0,over 0 and up to 315 mm",
    "315.001 H7,0,over 0 and up to 315 mm"
  })
  void whatTheTableDoesNotHoldIsRefused(String text, int offset, String why) {
    assertThat(HoleSize.parse(text))
        .isInstanceOfSatisfying(
            Parsed.Refused.class,
            refused -> {
              assertThat(refused.why()).contains(why);
              assertThat(refused.offset()).isEqualTo(offset);
            });
  }

  @Test
  void aClassThatTheTableDoesNotHoldCannotBeMade() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> new HoleClass(HoleClass.Letter.H, 4))
        .withMessageContaining("found H4");
    assertThat(new HoleClass(HoleClass.Letter.H, 12).grade()).isEqualTo(12);
  }

  private static List<String> rows(String name) {
    List<String> lines = Resource.lines(HoleClassTest.class, name);
    return lines.subList(1, lines.size());
  }

  private static Length micrometres(String text) {
    return new Length(new BigDecimal(text).movePointRight(6).longValueExact());
  }

  private static Limits limits(Length nominal, Length lower, Length upper) {
    return new Limits(Optional.of(nominal.plus(lower)), Optional.of(nominal.plus(upper)));
  }

  private static Limits limits(String name, Length nominal) {
    HoleClass hole = ((Parsed.Ok<HoleClass>) HoleClass.parse(name)).value();
    return ((Parsed.Ok<Limits>) hole.limits(nominal)).value();
  }
}
