package org.borewarden.agent.payload;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.measure.Length;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The layout of snapshots is a fingerprint of the types, and values come back to the last bit. */
class SnapshotLayoutTest {
  private record One(int a, List<Inner> inner) {}

  private record Inner(Length length) {}

  private record Other(int a, List<OtherInner> inner) {}

  private record OtherInner(Length size) {}

  private record Foreign(Map<String, StringBuilder> texts) {}

  private record Figures(double number, OptionalDouble maybe, BigDecimal exact, Instant at) {}

  sealed interface Shape {
    record Round(double radius) implements Shape {}

    record Square(double side) implements Shape {}
  }

  private record Shapes(Optional<Shape> first, Map<String, Shape> named, List<Shape> more) {}

  @Test
  void theWholeStateIsOfTypesThatAreCarried() {
    assertThat(SnapshotLayout.of(State.class)).matches("[0-9a-f]{16}");
  }

  @Test
  void aComponentThatIsNamedOtherwiseDeepInsideMakesAnotherLayout() {
    assertThat(SnapshotLayout.of(One.class)).isEqualTo(SnapshotLayout.of(One.class));
    assertThat(SnapshotLayout.of(One.class)).isNotEqualTo(SnapshotLayout.of(Other.class));
  }

  @Test
  void aTypeThatIsNotCarriedIsRefused() {
    assertThatThrownBy(() -> SnapshotLayout.of(Foreign.class))
        .hasMessage("a snapshot cannot carry java.lang.StringBuilder");
  }

  @ParameterizedTest
  @ValueSource(
      doubles = {
        0.0,
        -0.0,
        1.0 / 3,
        Double.MIN_VALUE,
        Double.MAX_VALUE,
        2.2250738585072014E-308,
        2.0E-3,
        9007199254740994.0,
        Double.NaN,
        Double.POSITIVE_INFINITY
      })
  void figuresComeBackToTheLastBit(double number) throws Exception {
    Figures figures =
        new Figures(
            number,
            OptionalDouble.of(number),
            new BigDecimal("1E+3"),
            Instant.parse("2026-05-04T20:00:00.000000001Z"));
    Figures back = SnapshotCodec.read(SnapshotCodec.write(figures), Figures.class);
    assertThat(back).isEqualTo(figures);
    assertThat(Double.doubleToLongBits(back.number())).isEqualTo(Double.doubleToLongBits(number));
  }

  @Test
  void theKindsOfASealedInterfaceComeBack() throws Exception {
    Shapes shapes =
        new Shapes(
            Optional.of(new Shape.Round(1)),
            Map.of("a", new Shape.Square(2)),
            List.of(new Shape.Square(3), new Shape.Round(4)));
    String text = SnapshotCodec.write(shapes);
    assertThat(text).contains("\"@\":\"Round\"").doesNotContain("org.borewarden");
    assertThat(SnapshotCodec.read(text, Shapes.class)).isEqualTo(shapes);
  }
}
