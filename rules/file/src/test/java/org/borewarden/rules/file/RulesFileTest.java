package org.borewarden.rules.file;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.dataformat.yaml.YAMLFactory;
import com.networknt.schema.Error;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import org.borewarden.rules.file.yaml.Keys;
import org.borewarden.rules.file.yaml.Outcome;
import org.borewarden.rules.file.yaml.Problem;
import org.borewarden.rules.measure.Length;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Holds the reader, the schema and the reference page of rules.yaml against each other. */
class RulesFileTest {
  private static final Path DOCS = Path.of("../../docs");
  private static final ObjectMapper YAML = new ObjectMapper(new YAMLFactory());

  static List<Cases> refused() {
    return Cases.of("/refused.txt");
  }

  @ParameterizedTest
  @MethodSource("refused")
  void eachRefusalIsOneLineWithItsPlace(Cases refused) {
    assertThat(problems(refused.text())).containsExactlyElementsOf(refused.problems());
  }

  @ParameterizedTest
  @MethodSource("refused")
  void theSchemaRefusesWhatItCanExpress(Cases refused) throws Exception {
    switch (refused.schema()) {
      case REFUSES -> assertThat(schemaErrors(refused.text())).isNotEmpty();
      case ACCEPTS -> assertThat(schemaErrors(refused.text())).isEmpty();
      case UNASKED -> assertThat(refused.problems()).hasSize(1);
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"smallest", "every-key", "inch-and-one-sided"})
  void aGoodFileIsReadAndUnderstood(String name) throws Exception {
    String text = Cases.resource("/valid/" + name + ".yaml");
    assertThat(problems(text)).isEmpty();
    assertThat(schemaErrors(text)).isEmpty();
    assertThat(good(text).understood())
        .containsExactlyElementsOf(Cases.resource("/valid/" + name + ".txt").lines().toList());
  }

  /**
   * s 0.6 um, r 1 um, three readings: three times sqrt((0.36 + 1/12)/3) um is 1.153 um, by hand.
   */
  @Test
  void aRingCheckWhoseLimitIsNoWiderThanItsNoiseIsCautioned() {
    String text =
        """
        part: p
        rings: [{id: R62, size: 62 mm}]
        gauges:
          - id: g
            resolution: 1 um
            repeatability: 0.6 um
            ring-check: {ring: R62, error-limit: 1.15 um}
        features: [{id: a, gauge: g, size: 62 H7}]
        """;
    assertThat(good(text).understood())
        .anyMatch(line -> line.contains("caution: noise alone fails such a check"));
    assertThat(good(text.replace("1.15 um", "1.16 um")).understood())
        .noneMatch(line -> line.contains("caution"));
  }

  /** 1.2 um with k = 3 is 0.8 um with k = 2. */
  @Test
  void aCertificateMayStateItsOwnCoverageFactor() {
    String text =
        """
        part: p
        drawing: asme
        rings: [{id: R62, size: 62.0013 mm, uncertainty: {U: 1.2 um, k: 3}}]
        features: [{id: a, gauge: g, size: 62 H7}, {id: b, gauge: h, size: 40 H7, drawing: iso}]
        """;
    assertThat(good(text).rules().rings().get(0).uncertainty()).contains(new Length(800_000));
    assertThat(good(text).understood())
        .filteredOn(line -> line.contains("envelope at"))
        .containsExactly(
            "  caution: the drawing (ASME) asks for the envelope at 62.000 mm too, which a two- or"
                + " three-point head cannot prove");
  }

  @Test
  void everyKeyStandsInTheSchemaAndNoOther() throws Exception {
    JsonNode definitions = new ObjectMapper().readTree(schemaText()).get("$defs");
    for (Keys keys : RulesKeys.ALL) {
      JsonNode definition = definitions.get(keys.mapping());
      JsonNode properties = definition.findValue("properties");
      Set<String> inSchema = new TreeSet<>();
      properties.fieldNames().forEachRemaining(inSchema::add);
      assertThat(inSchema)
          .as(keys.mapping())
          .containsExactlyInAnyOrderElementsOf(new TreeSet<>(keys.known()));
    }
  }

  @Test
  void everyKeyStandsInTheReferencePageAndInTheExampleOfAllKeys() throws Exception {
    String page = Files.readString(DOCS.resolve("rules-file.md"));
    String example = Cases.resource("/valid/every-key.yaml");
    assertThat(page).contains("```yaml\n" + Cases.resource("/valid/smallest.yaml") + "```");
    for (Keys keys : RulesKeys.ALL) {
      for (String key : keys.known()) {
        assertThat(page).as(keys.mapping()).contains("`" + key + "`");
        assertThat(example).as(keys.mapping()).containsPattern("[ {,]*" + key + ":");
      }
    }
  }

  /**
   * The coefficients that the page gives are those of the tables: GUM H.1 for gauge steel,
   * amesweb.info and machinemfg.com for the others.
   */
  @Test
  void theCoefficientsOfThePageAreThoseOfTheTables() throws Exception {
    List<String> page = Files.readAllLines(DOCS.resolve("rules-file.md"));
    List<String> rows = Cases.resource("/expansion_coefficients.csv").lines().toList();
    assertThat(rows).hasSize(10);
    for (String row : rows) {
      String[] cells = row.split(",", -1);
      assertThat(page)
          .as(row)
          .anyMatch(line -> line.contains(cells[0]) && line.endsWith("| " + cells[1] + " |"));
    }
  }

  /** Seeded: each text is a good file with a few characters changed, doubled or cut. */
  @Test
  void aDamagedFileIsEitherGoodOrRefusedInLines() {
    long seed = 20_260_101;
    Random random = new Random(seed);
    String good = Cases.resource("/valid/every-key.yaml");
    int refused = 0;
    for (int i = 0; i < 2_000; i++) {
      List<String> told = problems(damaged(good, random));
      refused += told.isEmpty() ? 0 : 1;
      assertThat(told).as("seed %s, file %s", seed, i).allMatch(line -> line.lines().count() == 1);
    }
    assertThat(refused).as("seed %s", seed).isGreaterThan(1_000);
  }

  private static String damaged(String good, Random random) {
    String odd = "{}[]:,-#&*!|>'\"%@`\n\t 0+.mu\u0000\ud800";
    StringBuilder text = new StringBuilder(good);
    for (int n = 1 + random.nextInt(4); n > 0; n--) {
      int at = random.nextInt(text.length());
      switch (random.nextInt(3)) {
        case 0 -> text.setCharAt(at, odd.charAt(random.nextInt(odd.length())));
        case 1 -> text.insert(at, text.substring(at, Math.min(text.length(), at + 20)));
        default -> text.delete(at, Math.min(text.length() - 1, at + random.nextInt(30)));
      }
    }
    return text.toString();
  }

  static List<String> problems(String text) {
    Outcome<RulesResult> outcome = RulesFile.read("rules.yaml", text);
    return outcome instanceof Outcome.Refused<RulesResult> refused
        ? refused.problems().stream().map(Problem::toString).toList()
        : List.of();
  }

  static RulesResult good(String text) {
    Outcome<RulesResult> outcome = RulesFile.read("rules.yaml", text);
    if (outcome instanceof Outcome.Good<RulesResult> good) {
      return good.value();
    }
    throw new AssertionError(outcome.toString());
  }

  private static String schemaText() throws Exception {
    return Files.readString(DOCS.resolve("rules.schema.json"));
  }

  private static List<Error> schemaErrors(String text) throws Exception {
    Schema schema =
        SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
            .getSchema(schemaText());
    return schema.validate(YAML.readTree(text));
  }
}
