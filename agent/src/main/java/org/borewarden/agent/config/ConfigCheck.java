package org.borewarden.agent.config;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.file.RulesResult;
import org.borewarden.rules.file.yaml.Places;
import org.borewarden.rules.file.yaml.Problem;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.GaugeRules;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.part.Which;

/** Holds the two files against each other: what the rules name must be there. */
public final class ConfigCheck {
  private final AgentConfig config;
  private final Places places;
  private final List<Problem> problems = new ArrayList<>();

  private ConfigCheck(AgentConfig config, Places places) {
    this.config = config;
    this.places = places;
  }

  /**
   * What came of it.
   *
   * @param rules the rules, in which a feature without a cell got the only one there is
   * @param problems what the rules name and the config lacks, located in the rules file
   * @param notes what is odd and yet no mistake, such as a gauge that measures nothing
   */
  public record Checked(RuleSet rules, List<Problem> problems, List<String> notes) {
    /** Copies the lists. */
    public Checked {
      problems = List.copyOf(problems);
      notes = List.copyOf(notes);
    }
  }

  /**
   * Checks that gauges, inputs and cells of the rules are there.
   *
   * @param config what agent.yaml says
   * @param rules what rules.yaml says, with its places
   * @return the rules to use, and what is wrong; with a problem they must not be used
   */
  public static Checked references(AgentConfig config, RulesResult rules) {
    ConfigCheck check = new ConfigCheck(config, rules.places());
    List<Feature> features = new ArrayList<>();
    List<Feature> given = rules.rules().features();
    for (int i = 0; i < given.size(); i++) {
      features.add(check.feature("features[" + i + "]", given.get(i)));
    }
    List<String> known = config.gauges().stream().map(GaugeConfig::id).toList();
    for (int i = 0; i < rules.rules().gauges().size(); i++) {
      String id = rules.rules().gauges().get(i).id();
      if (!known.contains(id)) {
        check.problem("gauges[" + i + "].id", "a gauge of agent.yaml", known, id);
      }
    }
    RuleSet resolved = rules.rules().withFeatures(features);
    for (int i = 0; i < resolved.gauges().size(); i++) {
      check.named("gauges[" + i + "].which", resolved.gauges().get(i), features);
    }
    return new Checked(resolved, check.problems, check.notes(resolved));
  }

  /** Where no cell is, nobody would ever name a feature. */
  private void named(String path, GaugeRules gauge, List<Feature> features) {
    boolean byCell = gauge.which().filter(Which.ByCell.class::isInstance).isPresent();
    boolean without =
        features.stream().anyMatch(f -> f.gauge().equals(gauge.id()) && f.cell().isEmpty());
    if (byCell && without && config.cells().isEmpty()) {
      problem(path, "a cell in agent.yaml, which names the features", List.of(), "none");
    }
  }

  private Feature feature(String path, Feature feature) {
    Optional<GaugeConfig> gauge =
        config.gauges().stream().filter(g -> g.id().equals(feature.gauge())).findFirst();
    if (gauge.isEmpty()) {
      List<String> ids = config.gauges().stream().map(GaugeConfig::id).toList();
      problem(path + ".gauge", "a gauge of agent.yaml", ids, feature.gauge());
    }
    gauge.ifPresent(g -> feature.input().ifPresent(input -> input(path, g, input)));
    List<String> cells = config.cells().stream().map(CellConfig::id).toList();
    if (feature.cell().isEmpty()) {
      return inTheOnlyCell(path, feature, cells);
    }
    if (!cells.contains(feature.cell().get())) {
      problem(path + ".cell", "a cell of agent.yaml", cells, feature.cell().get());
    }
    return feature;
  }

  /** A reading carries the input that its frame names; another one would never be judged. */
  private void input(String path, GaugeConfig gauge, String input) {
    if (gauge.input().isPresent()) {
      if (!gauge.input().get().equals(input)) {
        problem(path + ".input", "the input of its gauge", List.of(gauge.input().get()), input);
      }
      return;
    }
    boolean named =
        config.ports().stream()
            .filter(port -> port.id().equals(gauge.port()))
            .anyMatch(port -> port.tells(input));
    if (!named) {
      problems.add(
          places.problem(
              path + ".input",
              "expected no input where the pattern of the gauge's port has no group"
                  + " (?P<input>...), found "
                  + input));
    }
  }

  private Feature inTheOnlyCell(String path, Feature feature, List<String> cells) {
    if (cells.size() > 1) {
      problem(path + ".cell", "a cell of agent.yaml", cells, "nothing");
    }
    return cells.size() == 1 ? feature.withCell(Optional.of(cells.get(0))) : feature;
  }

  private void problem(String path, String what, List<String> known, String found) {
    String allowed = known.isEmpty() ? " (it has none)" : " (" + String.join(", ", known) + ")";
    problems.add(places.problem(path, "expected " + what + allowed + ", found " + found));
  }

  private List<String> notes(RuleSet rules) {
    List<String> notes = new ArrayList<>();
    for (GaugeConfig gauge : config.gauges()) {
      if (rules.features().stream().noneMatch(f -> f.gauge().equals(gauge.id()))) {
        notes.add("gauge " + gauge.id() + " measures no feature: its readings are shown only");
      }
    }
    for (CellConfig cell : config.cells()) {
      if (rules.features().stream()
          .noneMatch(f -> f.cell().filter(cell.id()::equals).isPresent())) {
        notes.add("cell " + cell.id() + " has no feature: no bore can hold it");
      }
    }
    return notes;
  }
}
