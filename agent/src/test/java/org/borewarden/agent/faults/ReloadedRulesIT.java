package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.MissingNode;
import java.io.IOException;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.peers.Cases;
import org.borewarden.agent.peers.TestSubscriber.Heard;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A rules file that is changed and broken in turn below a running agent, in the ways that editors,
 * deployments and mistakes do it. Each bore is judged whole by the rules of its record, a broken
 * file changes nothing and is told, and the journal judged again gives the same. Only with {@code
 * -Dborewarden.long=true}; what every build sees is {@code RulesReloadTest}.
 */
class ReloadedRulesIT {
  private static final int PAIRS = Cases.count(0, 5_000);

  /** What a subscriber heard is looked through again and again, so it should not be long. */
  private static final int PAIRS_OF_A_PLANT = 50;

  private static final String GOOD = Shop.RULES_YAML;
  private static final List<String> UPPERS = List.of("+0.030", "+0.031");

  @TempDir Path scratch;

  private Path folder = Path.of("");

  private final Map<String, String> upperOfRevision = new HashMap<>();
  private int sent;

  /** What may be wrong with a file. */
  private enum Broken {
    TRUNCATED(GOOD.substring(0, GOOD.indexOf("30 mm"))),
    WRONG_TYPE(GOOD.replace("62.000 mm", "[62]")),
    CROSSED_LIMITS(GOOD.replace("lower: 0 mm", "lower: 0.5 mm")),
    NOT_A_NUMBER(GOOD.replace("+0.030 mm", ".nan")),
    KEY_TWICE(GOOD + "part: another\n"),
    UNKNOWN_KEY(GOOD.replace("upper:", "uper:")),
    NO_UTF_8("part: h\u0000"),
    EMPTY(""),
    LONG(GOOD + "# and so on\n".repeat(500_000));

    private final String text;

    Broken(String text) {
      this.text = text;
    }
  }

  @Test
  void howeverTheRulesFileChangesEachBoreIsJudgedByTheRulesOfItsRecord() throws Exception {
    assumeTrue(Cases.LONG, "only with -Dborewarden.long=true");
    long seed = Long.getLong("borewarden.seed", System.nanoTime());
    System.err.println("reloaded rules: seed " + seed);
    Random random = new Random(seed);
    int bores = 0;
    for (int done = 0; done < PAIRS; done += PAIRS_OF_A_PLANT) {
      folder = Files.createDirectories(scratch.resolve("plant-" + done));
      upperOfRevision.clear();
      sent = 0;
      onePlant(Math.min(PAIRS_OF_A_PLANT, PAIRS - done), random);
      bores += sent;
    }
    System.err.printf("reloaded rules: %d changes, %d bores%n", 2 * PAIRS, bores);
  }

  private void onePlant(int pairs, Random random) throws Exception {
    try (Plant plant = new Plant(folder, "r", 0, 0)) {
      plant.start();
      for (int pair = 0; pair < pairs; pair++) {
        Broken broken = Broken.values()[random.nextInt(Broken.values().length)];
        write(broken.text, random);
        Waits.until(broken + " told", () -> word(plant).has("rules_refused"));
        measure(plant, 1 + random.nextInt(3));

        String upper = UPPERS.get((pair + 1) % 2);
        write(GOOD.replace("+0.030", upper), random);
        Waits.until(
            "the rules with " + upper,
            () ->
                !word(plant).has("rules_refused")
                    && upper.equals(
                        upperOfRevision.computeIfAbsent(
                            word(plant).path("rules").asText(), newest -> upper)));
        measure(plant, 1 + random.nextInt(3));
      }
      Waits.untilJournal("all readings", () -> plant.taken() == sent);
      plant.agent().stop();
      requireEachBoreByItsRules(Journals.all(plant.agent().data()));
      assertThat(judgedAgain()).contains("decisions compared: all as written");
    }
  }

  private void requireEachBoreByItsRules(List<Entry> entries) {
    List<Entry> bores = entries.stream().filter(e -> e.kind().equals("bore-judged")).toList();
    assertThat(bores).hasSize(sent);
    Map<String, BigDecimal> limits = new HashMap<>();
    for (Entry bore : bores) {
      BigDecimal upper = Story.tree(bore.body()).findValue("upper").decimalValue();
      assertThat(limits.computeIfAbsent(bore.rules(), first -> upper)).isEqualByComparingTo(upper);
    }
    assertThat(limits.values())
        .usingElementComparator(BigDecimal::compareTo)
        .containsExactlyInAnyOrder(new BigDecimal("62.030"), new BigDecimal("62.031"));
  }

  /** Bores are sent while the file changes; each has its verdict before the next change. */
  private void measure(Plant plant, int bores) throws Exception {
    for (int bore = 0; bore < bores; bore++) {
      plant.gauge().send("62.01" + sent % 10 + " mm");
      sent++;
    }
    int all = sent;
    Waits.until("verdicts", () -> verdicts(plant) >= all);
  }

  private static long verdicts(Plant plant) {
    return plant.subscriber().heard().stream()
        .filter(heard -> heard.topic().startsWith("r/verdict/"))
        .count();
  }

  /** The newest word of the agent; a missing one before the first is heard. */
  private static JsonNode word(Plant plant) {
    return plant.subscriber().heard().stream()
        .filter(heard -> heard.topic().equals("r/agent"))
        .reduce((earlier, later) -> later)
        .map(Heard::text)
        .map(Story::tree)
        .orElseGet(MissingNode::getInstance);
  }

  /** Moved over the old one, written into it, or by a link to another. */
  private void write(String text, Random random) throws IOException {
    Path file = folder.resolve("rules.yaml");
    Path beside = folder.resolve("rules-" + random.nextInt(1_000_000) + ".yaml");
    switch (random.nextInt(3)) {
      case 0 -> {
        Files.writeString(beside, text, StandardCharsets.UTF_8);
        Files.move(
            beside, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
      }
      case 1 -> {
        Files.deleteIfExists(file);
        Files.writeString(file, text, StandardCharsets.UTF_8);
      }
      default -> {
        Files.writeString(beside, text, StandardCharsets.UTF_8);
        Files.deleteIfExists(file);
        Files.createSymbolicLink(file, beside);
      }
    }
  }

  private String judgedAgain() throws IOException, InterruptedException {
    Process verify =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-cp",
                System.getProperty("java.class.path"),
                "org.borewarden.agent.Main",
                "verify",
                "--judge",
                "--config",
                folder.resolve("agent.yaml").toString())
            .redirectErrorStream(true)
            .start();
    String said = new String(verify.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    assertThat(verify.waitFor()).as(said).isZero();
    return said;
  }
}
