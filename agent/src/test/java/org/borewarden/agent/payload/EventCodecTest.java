package org.borewarden.agent.payload;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class EventCodecTest {
  static List<Event> events() {
    return Samples.events();
  }

  @ParameterizedTest
  @MethodSource("events")
  void anEventIsReadBackAsItWasWritten(Event event) throws Exception {
    Coded coded = EventCodec.encode(event);
    assertThat(EventCodec.isEvent(coded.kind())).isTrue();
    assertThat(EventCodec.decode(coded.kind(), coded.body(), Shift::kept)).isEqualTo(event);
  }

  @Test
  void everyKindOfEventAndOrderHasASample() {
    assertThat(classes(Samples.events())).isEqualTo(leaves(Event.class));
    assertThat(classes(Samples.orders())).isEqualTo(leaves(Order.class));
  }

  @Test
  void everyKindHasANameOfItsOwn() {
    Set<Class<?>> kinds = classes(Samples.events());
    Set<String> names =
        Samples.events().stream().map(e -> EventCodec.encode(e).kind()).collect(Collectors.toSet());
    assertThat(names).hasSameSizeAs(kinds);
  }

  @Test
  void onlyWhatIsARecordOfItsOwnIsPublished() {
    assertThat(EventCodec.encode(Shift.bore("bore-1", "62.010 mm")).topic())
        .contains("reading/bore-1");
    assertThat(
            EventCodec.encode(new Event.FrameRejected("bore-1", "no-match", "", 0, "", 0)).topic())
        .contains("rejected/bore-1");
    assertThat(EventCodec.encode(new Event.AgentStopped()).topic()).isEmpty();
    assertThat(EventCodec.encode(Shift.started(1, true)).topic()).isEmpty();
  }

  @Test
  void aKindThatIsNoEventIsRefused() {
    assertThat(EventCodec.isEvent("bore-judged")).isFalse();
    assertThatThrownBy(() -> EventCodec.decode("bore-judged", "{}", Shift::kept))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("bore-judged");
  }

  static Set<Class<?>> classes(List<?> samples) {
    return samples.stream().map(Object::getClass).collect(Collectors.toSet());
  }

  /** The records that a sealed type permits. */
  static Set<Class<?>> leaves(Class<?> sealed) {
    Set<Class<?>> found = new HashSet<>();
    if (sealed.isSealed()) {
      Arrays.stream(sealed.getPermittedSubclasses())
          .map(EventCodecTest::leaves)
          .forEach(found::addAll);
    } else {
      found.add(sealed);
    }
    return found;
  }
}
