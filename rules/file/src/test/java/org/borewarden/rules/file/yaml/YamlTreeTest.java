package org.borewarden.rules.file.yaml;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Where values stand, what they are before anybody asks for a type, and what is too much. */
class YamlTreeTest {
  private final Problems problems = new Problems("file.yaml");

  private Node read(String text) {
    return YamlTree.read(text, problems)
        .orElseThrow(() -> new AssertionError(problems.list().toString()));
  }

  private List<String> told() {
    return problems.list().stream().map(Problem::toString).toList();
  }

  @Test
  void everyValueKnowsItsLineAndColumn() {
    Places places =
        Places.of(
            "file.yaml", read("# one\npart: p\nlist:\n  - a: 1\n    b: {c: 'x', d: \"y\"}\n"));
    assertThat(places.positions())
        .containsEntry("part", new Position(2, 7))
        .containsEntry("list", new Position(4, 3))
        .containsEntry("list[0].a", new Position(4, 8))
        .containsEntry("list[0].b.c", new Position(5, 12))
        .containsEntry("list[0].b.d", new Position(5, 20));
  }

  @Test
  void columnsCountCharactersAndWindowsLinesCountOnce() {
    Places places = Places.of("file.yaml", read("a: {\u00e4: \ud83d\ude00, z: 1}\r\nb: 2\r\n"));
    assertThat(places.positions())
        .containsEntry("a.z", new Position(1, 14))
        .containsEntry("b", new Position(2, 4));
  }

  @Test
  void aScalarStaysTheTextThatWasWritten() {
    Node.Mapping mapping =
        (Node.Mapping) read("{a: on, b: no, c: 12:30, d: 0o17, e: 1_000, f: 1e3, g: '007'}");
    assertThat(mapping.entries().stream().map(e -> ((Node.Scalar) e.value()).text()).toList())
        .containsExactly("on", "no", "12:30", "0o17", "1_000", "1e3", "007");
  }

  @Test
  void nothingNullAndTildeAreNothing() {
    Node.Mapping mapping = (Node.Mapping) read("a:\nb: null\nc: ~\nd: ''\n");
    assertThat(mapping.entries().stream().map(e -> ((Node.Scalar) e.value()).nothing()).toList())
        .containsExactly(true, true, true, false);
  }

  @Test
  void theTwentiethLevelIsReadAndTheNextIsNot() {
    read("[".repeat(YamlTree.DEEPEST) + "]".repeat(YamlTree.DEEPEST));
    int tooDeep = YamlTree.DEEPEST + 2;
    assertThat(YamlTree.read("[".repeat(tooDeep) + "]".repeat(tooDeep), problems)).isEmpty();
    assertThat(told()).containsExactly("file.yaml:1:22 expected at most 20 levels, found more");
  }

  @Test
  void tooManyValuesAreRefused() {
    assertThat(YamlTree.read("- a\n".repeat(YamlTree.MOST_NODES), problems)).isEmpty();
    assertThat(told())
        .containsExactly("file.yaml:20000:3 expected at most 20000 values, found more");
  }

  @Test
  void aControlCharacterIsRefusedWhereItStands() {
    assertThat(YamlTree.read("a: 1\nb: x\u0007\n", problems)).isEmpty();
    assertThat(told()).containsExactly("file.yaml:2:5 expected printable characters, found U+0007");
  }

  @Test
  void aLineBreakThatEditorsDoNotCountIsRefused() {
    assertThat(YamlTree.read("a: 1\u2028", problems)).isEmpty();
    assertThat(told()).containsExactly("file.yaml:1:5 expected printable characters, found U+2028");
  }

  @Test
  void onlyUtf8IsRead() {
    byte[] latin1 = "part: p\nname: B\u00e4r\n".getBytes(StandardCharsets.ISO_8859_1);
    assertThat(FileText.decode(latin1, problems)).isEmpty();
    assertThat(told()).containsExactly("file.yaml:2:8 expected UTF-8 text, found the byte 0xE4");
  }

  @Test
  void aByteOrderMarkIsLeftOut() {
    byte[] marked = "\uFEFFpart: p\n".getBytes(StandardCharsets.UTF_8);
    assertThat(FileText.decode(marked, problems)).contains("part: p\n");
  }

  @Test
  void aFileThatIsTooLongIsRefused() {
    assertThat(FileText.decode(new byte[FileText.LONGEST_BYTES + 1], problems)).isEmpty();
    assertThat(told()).containsExactly("file.yaml:1:1 expected at most 1048576 bytes, found more");
  }

  @Test
  void aFileOnDiskIsReadOrSaidToBeMissing(@TempDir Path folder) throws IOException {
    Path file = Files.writeString(folder.resolve("file.yaml"), "a: 1\n");
    assertThat(FileText.read(file, problems)).contains("a: 1\n");
    assertThat(FileText.read(folder.resolve("other.yaml"), problems)).isEmpty();
    assertThat(told())
        .containsExactly("file.yaml:1:1 expected a readable file, found none (no such file)");
  }

  @Test
  void problemsBeyondTheLimitAreCounted() {
    for (int i = 0; i < Problems.MOST + 3; i++) {
      problems.add(new Position(i + 1, 1), "", "wrong");
    }
    assertThat(told())
        .hasSize(Problems.MOST + 1)
        .contains("file.yaml:1:1 wrong", "file.yaml:1:1 3 more problems are not listed");
  }

  @Test
  void theNearestKeyIsOfferedAndAFarOneIsNot() {
    List<String> known = List.of("hold-within", "alert-within", "lead", "id");
    assertThat(Nearest.to("holdWithin", known)).contains("hold-within");
    assertThat(Nearest.to("alert_withn", known)).contains("alert-within");
    assertThat(Nearest.to("laed", known)).isEmpty();
    assertThat(Nearest.to("leat", known)).contains("lead");
    assertThat(Nearest.to("author", known)).isEmpty();
    assertThat(Nearest.to("x".repeat(10_000), known)).isEqualTo(Optional.empty());
  }

  @Test
  void aLongValueIsShortenedInItsMessage() {
    Item item =
        new Item(new Node.Scalar(Position.START, "x\n".repeat(100), false), "key", problems);
    Scalars.flag().read(item);
    assertThat(told().get(0))
        .startsWith("file.yaml:1:1 key: expected true or false, found x\\u000Ax\\u000A")
        .endsWith("...");
  }
}
