package org.borewarden.rules.file.yaml;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The readers of single values, at their edges. */
class ScalarsTest {
  private final Problems problems = new Problems("file.yaml");

  private <T> Optional<T> read(Reader<T> reader, String text) {
    return reader.read(new Item(new Node.Scalar(Position.START, text, false), "key", problems));
  }

  private String told() {
    return problems.list().get(0).toString();
  }

  @ParameterizedTest
  @CsvSource({"250 ms,250", "0 ms,0", "1.5 s,1500", "10s,10000", "15 min,900000", "1 h,3600000"})
  void aDurationHasItsUnit(String text, long millis) {
    Reader<Duration> reader = Scalars.duration(Duration.ZERO, Duration.ofHours(1));
    assertThat(read(reader, text)).contains(Duration.ofMillis(millis));
  }

  @ParameterizedTest
  @ValueSource(strings = {"250", "1.5 ms", "1,5 s", "-1 s", "61 min", "1 day", ""})
  void anythingElseIsNoDuration(String text) {
    assertThat(read(Scalars.duration(Duration.ZERO, Duration.ofHours(1)), text)).isEmpty();
    assertThat(told())
        .isEqualTo(
            "file.yaml:1:1 key: expected a duration from 0 ms to 1 h, found "
                + (text.isEmpty() ? "nothing" : text));
  }

  @Test
  void aDurationIsShownInTheUnitThatFits() {
    assertThat(Scalars.shown(Duration.ofMillis(1_500))).isEqualTo("1500 ms");
    assertThat(Scalars.shown(Duration.ofSeconds(90))).isEqualTo("90 s");
    assertThat(Scalars.shown(Duration.ofMinutes(2))).isEqualTo("2 min");
    assertThat(Scalars.shown(Duration.ofHours(2))).isEqualTo("2 h");
  }

  @ParameterizedTest
  @ValueSource(strings = {"yes", "on", "True", "1"})
  void onlyTrueAndFalseAreFlags(String text) {
    assertThat(read(Scalars.flag(), text)).isEmpty();
    assertThat(told()).isEqualTo("file.yaml:1:1 key: expected true or false, found " + text);
  }

  @ParameterizedTest
  @ValueSource(strings = {"a b", "a/b", "+", "#", "-a", "\u00e4", ""})
  void anIdFitsIntoATopicLevel(String text) {
    assertThat(read(Scalars.id(), text)).isEmpty();
    assertThat(read(Scalars.id(), "a".repeat(64))).isPresent();
    assertThat(read(Scalars.id(), "a".repeat(65))).isEmpty();
  }

  @Test
  void aSizeInBytesHasItsUnit() {
    Reader<Integer> reader = Scalars.bytes(1_024, 1 << 20);
    assertThat(read(reader, "64 KiB")).contains(65_536);
    assertThat(read(reader, "1024 bytes")).contains(1_024);
    assertThat(read(reader, "65536")).isEmpty();
    assertThat(told())
        .isEqualTo("file.yaml:1:1 key: expected a size from 1024 bytes to 1024 KiB, found 65536");
  }

  @Test
  void aTextIsOneLine() {
    assertThat(read(Scalars.text(5), "a b")).contains("a b");
    assertThat(read(Scalars.text(5), "   ")).isEmpty();
    assertThat(read(Scalars.text(5), "a\nb")).isEmpty();
    assertThat(told())
        .isEqualTo("file.yaml:1:1 key: expected a text of 1 to 5 characters, found nothing");
  }

  @Test
  void namesOfAMappingAreIds() {
    Node tree = YamlTree.read("{good: 1, 'a b': 2, c: x}", problems).orElseThrow();
    Reader<Map<String, Integer>> reader = Lists.named("names to numbers", 9, Scalars.whole(0, 9));
    assertThat(reader.read(new Item(tree, "names", problems))).contains(Map.of("good", 1));
    assertThat(problems.list().stream().map(Problem::toString))
        .containsExactly(
            "file.yaml:1:11 names.a b: expected an id of 1 to 64 letters, digits, \"-\", \"_\" or"
                + " \".\", no blanks, found a b",
            "file.yaml:1:24 names.c: expected a whole number from 0 to 9, found x");
  }

  @Test
  void aKeyThatTheReaderNeverNamedIsOurOwnMistake() {
    Node tree = YamlTree.read("{a: 1}", problems).orElseThrow();
    Fields fields = Fields.open(new Item(tree, "", problems), Keys.of("thing", "a")).orElseThrow();
    org.assertj.core.api.Assertions.assertThatThrownBy(() -> fields.has("b"))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("thing has no key b");
  }
}
