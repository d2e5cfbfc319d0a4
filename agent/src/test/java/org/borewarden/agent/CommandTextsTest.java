package org.borewarden.agent;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import picocli.CommandLine;

/**
 * What a person reads at the command line, against two texts that a person has read: {@code
 * help.txt} with the help of every command, and {@code bad-calls.txt} with one wrong call of each
 * and its answer up to the usage. With {@code -Dborewarden.write=true} both are written anew, to be
 * read again.
 */
class CommandTextsTest {
  private static final Path TEXTS = Path.of("src/test/resources/cli");
  private static final Pattern WORD = Pattern.compile("\"([^\"]*)\"|(\\S+)");

  /** The library's own commands and what it says of them. */
  private static final Set<String> NOT_OURS = Set.of("generate-completion");

  private record Ran(int exit, String out, String err) {}

  @Test
  void theHelpOfEachCommandReadsAsReviewed() throws Exception {
    StringBuilder all = new StringBuilder("== borewarden\n" + ran("--help").out() + "\n");
    for (String name : names()) {
      Ran help = ran(name, "--help");
      assertThat(help.exit()).as(name).isZero();
      assertThat(help.err()).as(name).isEmpty();
      all.append("== ").append(name).append('\n').append(help.out()).append('\n');
    }
    reads("help.txt", all.toString());
  }

  @Test
  void aWrongCallOfEachCommandIsAnsweredAsReviewed() throws Exception {
    Map<String, String> calls = new LinkedHashMap<>();
    for (String line : Files.readAllLines(TEXTS.resolve("bad-calls.txt"), StandardCharsets.UTF_8)) {
      if (line.startsWith("$ borewarden ")) {
        List<String> words = words(line.substring("$ borewarden ".length()));
        calls.put(words.get(0), line);
      }
    }
    assertThat(new TreeSet<>(calls.keySet())).isEqualTo(new TreeSet<>(names()));
    StringBuilder all = new StringBuilder();
    for (String line : calls.values()) {
      Ran bad = ran(words(line.substring("$ borewarden ".length())).toArray(String[]::new));
      assertThat(bad.exit()).as(line).isBetween(2, 3);
      assertThat(bad.out()).as("%s: nothing to standard output", line).isEmpty();
      all.append(line).append("\nexit ").append(bad.exit()).append('\n');
      all.append(bad.err().replaceFirst("(?s)(^|\n)Usage:.*", "$1")).append('\n');
    }
    assertThat(all.toString()).as("words of the machine").doesNotContain("java.", "Exception");
    reads("bad-calls.txt", all.toString());
  }

  private static void reads(String file, String said) throws Exception {
    Path text = TEXTS.resolve(file);
    if (Boolean.getBoolean("borewarden.write")) {
      Files.writeString(text, said, StandardCharsets.UTF_8);
    }
    assertThat(said).isEqualTo(Files.readString(text, StandardCharsets.UTF_8));
  }

  private static List<String> names() {
    return Main.line().getSubcommands().keySet().stream()
        .filter(name -> !NOT_OURS.contains(name))
        .collect(Collectors.toList());
  }

  private static List<String> words(String line) {
    List<String> words = new ArrayList<>();
    Matcher word = WORD.matcher(line);
    while (word.find()) {
      words.add(word.group(1) != null ? word.group(1) : word.group(2));
    }
    return words;
  }

  private static Ran ran(String... words) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    CommandLine line =
        Main.line().setOut(new PrintWriter(out, true)).setErr(new PrintWriter(err, true));
    int exit = line.execute(words);
    return new Ran(exit, out.toString(), err.toString());
  }
}
