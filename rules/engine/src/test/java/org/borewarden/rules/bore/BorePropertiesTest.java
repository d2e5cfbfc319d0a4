package org.borewarden.rules.bore;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.FormKind;
import org.borewarden.rules.part.Place;
import org.borewarden.rules.part.SizeRule;
import org.junit.jupiter.api.Test;

/** What must hold for the places of any bore; a failure prints its seed. */
class BorePropertiesTest {
  private static final long SEED = 140_405;

  private static final List<Place> PLACES = places();

  private final Random random = new Random(SEED);

  private static List<Place> places() {
    List<Place> places = new ArrayList<>();
    for (String depth : List.of("entry", "mid", "end")) {
      for (int angle : List.of(0, 60, 120)) {
        places.add(new Place(depth, angle, Optional.empty()));
      }
    }
    return List.copyOf(places);
  }

  /** A gauge that is off by the same everywhere, or another nominal size, makes no form. */
  @Test
  void movingEveryPlaceByTheSameMovesTheSizeAndChangesNoForm() {
    for (int i = 0; i < 1_000; i++) {
      List<Length> sizes = sizes();
      Length by = new Length(random.nextInt());
      List<Length> moved = sizes.stream().map(by::plus).toList();
      for (FormKind kind : FormKind.values()) {
        assertThat(new Form(PLACES, moved).of(kind))
            .as("seed %s, case %s, %s", SEED, i, kind)
            .isEqualTo(new Form(PLACES, sizes).of(kind));
      }
      for (SizeRule rule : SizeRule.values()) {
        Span here = Span.of(rule, spans(sizes));
        assertThat(Span.of(rule, spans(moved)))
            .as("seed %s, case %s, %s", SEED, i, rule)
            .isEqualTo(new Span(here.low().plus(by), here.high().plus(by)));
      }
    }
  }

  @Test
  void theOrderOfTheReadingsChangesNoSize() {
    for (int i = 0; i < 1_000; i++) {
      List<Length> sizes = sizes();
      List<Length> shuffled = new ArrayList<>(sizes);
      Collections.shuffle(shuffled, random);
      for (SizeRule rule : SizeRule.values()) {
        assertThat(Span.of(rule, spans(shuffled)))
            .as("seed %s, case %s, %s", SEED, i, rule)
            .isEqualTo(Span.of(rule, spans(sizes)));
      }
    }
  }

  /** Each rank-order size lies between the smallest and the largest place. */
  @Test
  void noSizeLiesOutsideItsPlaces() {
    for (int i = 0; i < 1_000; i++) {
      List<Length> sizes = sizes();
      Span every = Span.of(SizeRule.EVERY, spans(sizes));
      for (SizeRule rule : SizeRule.values()) {
        Span span = Span.of(rule, spans(sizes));
        assertThat(span.low().isBelow(every.low()) || span.high().isAbove(every.high()))
            .as("seed %s, case %s, %s", SEED, i, rule)
            .isFalse();
        assertThat(span.high().isBelow(span.low())).as("%s", rule).isFalse();
      }
    }
  }

  private List<Length> sizes() {
    List<Length> sizes = new ArrayList<>();
    for (int i = 0; i < PLACES.size(); i++) {
      sizes.add(new Length(62_000_000_000L + random.nextInt(30_000_000)));
    }
    return sizes;
  }

  private static List<Span> spans(List<Length> sizes) {
    return sizes.stream().map(Span::of).toList();
  }
}
