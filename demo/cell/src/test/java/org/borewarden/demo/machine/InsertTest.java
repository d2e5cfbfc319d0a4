package org.borewarden.demo.machine;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.math.BigDecimal;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class InsertTest {
  private static final Wear QUIET = new Wear(20, 4, 5, 0.25, 0);

  @Test
  void boresGetSmallerAsTheEdgeWears() {
    Insert insert = new Insert(QUIET, 1);
    double before = insert.cut();
    assertThat(before).isEqualTo(20);
    for (int part = 0; part < 200; part++) {
      double bore = insert.cut();
      assertThat(bore).isLessThan(before);
      before = bore;
    }
  }

  @Test
  void aFreshEdgeBeginsWhereTheFirstOneDid() {
    Insert insert = new Insert(QUIET, 1);
    insert.cut();
    insert.cut();
    insert.offset(5);
    insert.change();
    assertThat(insert.edge()).isEqualTo(2);
    assertThat(insert.parts()).isZero();
    assertThat(insert.cut()).isEqualTo(20);
  }

  @Test
  void anOffsetShiftsEveryFurtherBore() {
    Insert insert = new Insert(new Wear(10, 0, 1, 0, 0), 1);
    insert.offset(-3);
    assertThat(insert.cut()).isEqualTo(7);
    assertThat(insert.cut()).isEqualTo(7);
  }

  @Test
  void equalSeedsGiveEqualBoresAndOthersDoNot() {
    Wear wear = new Wear(20, 4, 5, 0.25, 1);
    double first = new Insert(wear, 5).cut();
    assertThat(new Insert(wear, 5).cut()).isEqualTo(first);
    assertThat(new Insert(wear, 6).cut()).isNotEqualTo(first);
  }

  @ParameterizedTest
  @MethodSource("org.borewarden.demo.machine.Northworks#holes")
  void everyDemoBoreStartsWithinItsLimitsAndRunsOutAtTheLowerOne(Hole hole) {
    Insert insert = new Insert(hole.wear(), 7);
    int part = 0;
    BigDecimal reading = hole.reading(insert.cut());
    assertThat(hole.within(reading)).isTrue();
    while (hole.within(reading) && part++ < 1000) {
      reading = hole.reading(insert.cut());
    }
    assertThat(reading).isLessThan(hole.nominal());
    assertThat(part).isBetween(30, 400);
  }

  @Test
  void theLineIsTheValueInTheGaugesDigitsAndItsUnit() {
    assertThat(Northworks.BEARING_SEAT.line(13.4)).isEqualTo("62.013 mm");
    assertThat(Northworks.BEARING_SEAT.line(-2)).isEqualTo("61.998 mm");
    assertThat(Northworks.COVER_BORE.line(25.4)).isEqualTo("0.87600 in");
  }

  @Test
  void aNegativeWearIsRefused() {
    assertThatThrownBy(() -> new Wear(0, 0, 1, -1, 0)).isInstanceOf(IllegalArgumentException.class);
  }
}
