package org.borewarden.agent;

import java.util.List;
import java.util.Optional;
import org.borewarden.agent.cli.ReadFiles;
import org.borewarden.agent.config.ConfigCheck;
import org.borewarden.agent.hold.modbus.NumberedFeature;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalStore;
import org.borewarden.agent.journal.JournalView;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.file.RulesFile;
import org.borewarden.rules.file.RulesResult;
import org.borewarden.rules.file.yaml.Outcome;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.RuleSet;

/** The rules file as it was read at the start, and the texts of older ones in the journal. */
final class RulesInForce {
  private static final String TEXT = "rules/";

  private final ReadFiles files;

  RulesInForce(ReadFiles files) {
    this.files = files;
  }

  /** The event that tells the engine. */
  Event event() {
    if (files.rules() instanceof Outcome.Refused<RulesResult> refused) {
      return new Event.RulesRefused(
          refused.problems().size(), refused.problems().get(0).toString());
    }
    return new Event.RulesLoaded(files.checked().orElseThrow().rules());
  }

  /** Keeps the text beside the journal, before the event that names it. */
  void keep(JournalStore journal) {
    good().ifPresent(rules -> journal.putText(TEXT + rules.revision(), files.rulesText()));
  }

  /** The rules of a revision that an older event names. */
  static RuleSet kept(JournalView journal, String revision) {
    try {
      String old =
          journal
              .text(TEXT + revision)
              .orElseThrow(
                  () -> new IllegalArgumentException("no text of rules revision " + revision));
      Outcome<RulesResult> read = RulesFile.read("rules " + revision, old);
      if (read instanceof Outcome.Good<RulesResult> good) {
        return good.value().rules();
      }
      throw new IllegalArgumentException("rules revision " + revision + " is no longer understood");
    } catch (JournalException e) {
      throw new IllegalArgumentException("rules revision " + revision + " cannot be read", e);
    }
  }

  Optional<NumberedFeature> featureNumbered(int number) {
    return good().stream()
        .flatMap(rules -> rules.features().stream())
        .filter(feature -> feature.number() == number)
        .map(feature -> new NumberedFeature(feature.id(), feature.gauge()))
        .findFirst();
  }

  /** The features of the rules; none where they are refused. */
  List<Feature> features() {
    return good().map(RuleSet::features).orElse(List.of());
  }

  /** Why there are no rules, if so. */
  Optional<String> problem() {
    return files.rules() instanceof Outcome.Refused<RulesResult> refused
        ? Optional.of("the rules file is refused: " + refused.problems().get(0))
        : Optional.empty();
  }

  private Optional<RuleSet> good() {
    return files.rules() instanceof Outcome.Good<RulesResult>
        ? files.checked().map(ConfigCheck.Checked::rules)
        : Optional.empty();
  }
}
