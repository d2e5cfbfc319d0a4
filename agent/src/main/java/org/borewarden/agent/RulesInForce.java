package org.borewarden.agent;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.cli.ReadFiles;
import org.borewarden.agent.config.ConfigCheck;
import org.borewarden.agent.hold.modbus.NumberedFeature;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalView;
import org.borewarden.agent.journal.Shelf;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.file.RulesFile;
import org.borewarden.rules.file.RulesResult;
import org.borewarden.rules.file.yaml.Outcome;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.RuleSet;

/**
 * The rules file as it was read last, and the texts of older ones in the journal. Read by any
 * thread; read anew by one.
 */
final class RulesInForce {
  private static final String TEXT = "rules/";

  private volatile ReadFiles files;
  private volatile Optional<RuleSet> inForce;

  RulesInForce(ReadFiles files) {
    this.files = files;
    this.inForce = good(files);
  }

  /**
   * Reads the rules file again.
   *
   * @return whether it says something else than before
   */
  boolean readAgain() {
    ReadFiles again = files.rulesAgain();
    boolean other =
        !again.rulesText().equals(files.rulesText()) || !again.problems().equals(files.problems());
    files = again;
    good(again).ifPresent(rules -> inForce = Optional.of(rules));
    return other;
  }

  /** The event that tells the engine. */
  Event event() {
    ReadFiles read = files;
    if (read.rules() instanceof Outcome.Refused<RulesResult> refused) {
      return new Event.RulesRefused(
          refused.problems().size(), refused.problems().get(0).toString());
    }
    return new Event.RulesLoaded(read.checked().orElseThrow().rules());
  }

  /** Keeps the text beside the journal, before the event that names it. */
  void keep(Shelf journal) {
    ReadFiles read = files;
    good(read).ifPresent(rules -> journal.putText(TEXT + rules.revision(), read.rulesText()));
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
    return inForce.stream()
        .flatMap(rules -> rules.features().stream())
        .filter(feature -> feature.number() == number)
        .map(feature -> new NumberedFeature(feature.id(), feature.gauge()))
        .findFirst();
  }

  /** The features of the rules in force; none where there are none. */
  List<Feature> features() {
    return inForce.map(RuleSet::features).orElse(List.of());
  }

  /** Why there are no rules, if so; a file that was refused later leaves the earlier in force. */
  Optional<String> problem() {
    return inForce.isPresent()
        ? Optional.empty()
        : Optional.of("the rules file is refused: " + problemLines().get(0));
  }

  /** What is wrong with the file, the first lines of it; none while it is good. */
  List<String> problemLines() {
    List<String> all = files.problems();
    if (all.size() <= RulesReload.LINES_SHOWN) {
      return all;
    }
    List<String> shown = new ArrayList<>(all.subList(0, RulesReload.LINES_SHOWN));
    shown.add((all.size() - RulesReload.LINES_SHOWN) + " more");
    return shown;
  }

  private static Optional<RuleSet> good(ReadFiles files) {
    return files.rules() instanceof Outcome.Good<RulesResult>
        ? files.checked().map(ConfigCheck.Checked::rules)
        : Optional.empty();
  }
}
