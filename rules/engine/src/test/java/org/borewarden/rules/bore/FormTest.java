package org.borewarden.rules.bore;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.stream.Stream;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.FormKind;
import org.borewarden.rules.part.Place;
import org.borewarden.rules.part.SizeRule;
import org.junit.jupiter.api.Test;

class FormTest {
  private static final long SEED = 20_261_126;
  private static final long UM = 1_000_000;

  /** Scenario S4: um above 63.500 mm; invented data, worked out independently of this code. */
  private static final List<Length> S4 = um(33, 31, 12, 10, -2, 4);

  private static final List<Place> PLACES =
      Stream.of("entry", "mid", "end").flatMap(d -> Stream.of(place(d, 0), place(d, 90))).toList();

  @Test
  void theSizesAndFormsOfS4AreThosePrintedThere() {
    assertThat(size(SizeRule.EVERY)).isEqualTo(new Span(um(-2).get(0), um(33).get(0)));
    assertThat(size(SizeRule.SX)).isEqualTo(Span.of(um(33).get(0)));
    assertThat(size(SizeRule.SN)).isEqualTo(Span.of(um(-2).get(0)));
    assertThat(size(SizeRule.SM)).isEqualTo(Span.of(um(11).get(0)));
    assertThat(size(SizeRule.SD).low().picometres() - NOMINAL).isEqualTo(15_500_000);
    Span mean = size(SizeRule.SA);
    assertThat(mean.low().picometres() - NOMINAL).isEqualTo(14_666_666);
    assertThat(mean.high().picometres() - NOMINAL).isEqualTo(14_666_667);

    Form form = new Form(PLACES, S4);
    assertThat(form.of(FormKind.SR)).isEqualTo(new Length(35 * UM));
    assertThat(form.ovality("entry")).isEqualTo(new Length(2 * UM));
    assertThat(form.ovality("mid")).isEqualTo(new Length(2 * UM));
    assertThat(form.ovality("end")).isEqualTo(new Length(6 * UM));
    assertThat(form.of(FormKind.OVALITY)).isEqualTo(new Length(6 * UM));
    assertThat(form.of(FormKind.ROUNDNESS)).isEqualTo(new Length(3 * UM));
    assertThat(form.taper()).isEqualTo(31e6);
    assertThat(form.barrel()).isEqualTo(-5.5e6);
    assertThat(form.of(FormKind.HOURGLASS)).isEqualTo(new Length(5_500_000));
    assertThat(form.bellMouth("entry")).isEqualTo(21e6);
    assertThat(form.of(FormKind.BELL_MOUTH)).isEqualTo(new Length(21 * UM));
  }

  @Test
  void taperHasNoSignInItsLimit() {
    List<Place> ends = List.of(place("entry", 0), place("end", 0));
    assertThat(new Form(ends, um(1, 6)).of(FormKind.TAPER)).isEqualTo(new Length(5 * UM));
    assertThat(new Form(ends, um(6, 1)).of(FormKind.TAPER)).isEqualTo(new Length(5 * UM));
  }

  /** Sample standard deviation of 2 4 4 4 5 5 7 9, n - 1: sqrt(32/7). Worked out by hand. */
  @Test
  void theStandardDeviationHasOneDegreeOfFreedomLess() {
    List<Place> places = new ArrayList<>();
    for (int i = 0; i < 8; i++) {
      places.add(place("mid", i));
    }
    Length found = new Form(places, um(2, 4, 4, 4, 5, 5, 7, 9)).of(FormKind.SQ);
    assertThat(found.picometres()).isEqualTo(Math.round(Math.sqrt(32.0 / 7) * UM));
  }

  /** An ellipse's diameters are d + (e/2) cos 2(t - phi): e is found whatever phi is. */
  @Test
  void threeAnglesFindAnOvalityWhereverItPointsAndTwoDoNot() {
    Random random = new Random(SEED);
    for (int i = 0; i < 500; i++) {
      double ovality = 1 + random.nextDouble() * 20;
      double phi = random.nextDouble() * Math.PI;
      assertThat(ovality(List.of(0, 60, 120), ovality, phi))
          .as("seed %s, case %s", SEED, i)
          .isCloseTo(ovality, within(2e-5));
      // Angles 0 and 90 see |cos 2 phi| of it: at 45 degrees nothing.
      assertThat(ovality(List.of(0, 90), ovality, phi))
          .as("seed %s, case %s", SEED, i)
          .isCloseTo(ovality * Math.abs(Math.cos(2 * phi)), within(2e-5));
    }
  }

  /** The range of 4 normal values is 2.059 sigma on average (d2 of the control chart constants). */
  @Test
  void noiseAloneMakesForm() {
    Random random = new Random(SEED);
    List<Place> four =
        List.of(place("mid", 0), place("mid", 45), place("mid", 90), place("mid", 135));
    double sum = 0;
    int times = 20_000;
    for (int i = 0; i < times; i++) {
      List<Length> sizes = new ArrayList<>();
      for (int k = 0; k < 4; k++) {
        sizes.add(new Length(NOMINAL + Math.round(random.nextGaussian() * UM)));
      }
      sum += new Form(four, sizes).of(FormKind.OVALITY).picometres() / 1e6;
    }
    assertThat(sum / times).as("seed %s", SEED).isCloseTo(2.059, within(0.025));
  }

  @Test
  void aFormNeedsASizeForEachPlace() {
    assertThatIllegalArgumentException().isThrownBy(() -> new Form(PLACES, um(1, 2)));
    assertThatIllegalArgumentException().isThrownBy(() -> new Form(List.of(), List.of()));
  }

  private static final long NOMINAL = 63_500_000_000L;

  private static double ovality(List<Integer> angles, double ovality, double phi) {
    List<Place> places = new ArrayList<>();
    List<Length> sizes = new ArrayList<>();
    for (int angle : angles) {
      places.add(place("mid", angle));
      double off = ovality / 2 * Math.cos(2 * (Math.toRadians(angle) - phi));
      sizes.add(new Length(NOMINAL + Math.round(off * UM)));
    }
    return new Form(places, sizes).of(FormKind.OVALITY).picometres() / 1e6;
  }

  private static Span size(SizeRule rule) {
    return Span.of(rule, S4.stream().map(Span::of).toList());
  }

  private static Place place(String depth, int angle) {
    return new Place(depth, angle, Optional.empty());
  }

  private static List<Length> um(long... offsets) {
    return Arrays.stream(offsets).mapToObj(o -> new Length(63_500_000_000L + o * UM)).toList();
  }
}
