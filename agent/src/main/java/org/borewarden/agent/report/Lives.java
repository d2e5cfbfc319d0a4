package org.borewarden.agent.report;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.part.Feature;

/** Sorts the bores of a journal by tool life. Used by one thread. */
final class Lives {
  /** The most bores of a report; it is refused beyond, and names a shorter span as the way out. */
  static final int MOST_BORES = 50_000;

  /** The most bores of a life before the span; the life counts as a partial one beyond. */
  static final int MOST_BEFORE = 5_000;

  private final Wanted wanted;
  private final Map<String, ToolLife> open = new TreeMap<>();
  private final Map<String, ToolLife.Begun> begun = new HashMap<>();
  private final List<ToolLife> lives = new ArrayList<>();
  private final TreeMap<Long, TakenBack> takenBack = new TreeMap<>();
  private final Map<Long, Corrected> corrected = new HashMap<>();
  private final Set<String> features = new TreeSet<>();
  private final Set<String> parts = new TreeSet<>();
  private Optional<Instant> firstBore = Optional.empty();
  private Optional<Instant> lastBore = Optional.empty();
  private int inSpan;

  Lives(Wanted wanted) {
    this.wanted = wanted;
  }

  /**
   * A bore that was taken back.
   *
   * @param at when
   * @param feature its feature
   * @param seq the seq of its verdict
   * @param reason why
   * @param by who
   */
  record TakenBack(Instant at, String feature, long seq, String reason, String by) {}

  /**
   * A bore whose part was scanned wrongly.
   *
   * @param was the serial that its verdict has
   * @param serial the serial of its part
   * @param reason why
   * @param by who
   */
  record Corrected(Optional<String> was, String serial, String reason, String by) {}

  void hear(Heard heard) {
    know(heard);
    heard.taken().ifPresent(command -> ordered(heard, command));
    for (int i = 0; i < heard.decisions().size(); i++) {
      Decision decision = heard.decisions().get(i);
      if (decision instanceof Decision.BoreJudged judged) {
        bore(heard, heard.seqOf(i), judged);
      } else if (decision instanceof Decision.Found found) {
        found(heard.at(), found);
      }
    }
  }

  /** Only learns which features there are, and what was said later of a bore. */
  void know(Heard heard) {
    for (Decision decision : heard.decisions()) {
      if (decision instanceof Decision.BoreDiscarded gone) {
        takenBack.put(
            gone.seq(),
            new TakenBack(heard.at(), gone.feature(), gone.seq(), gone.reason(), gone.by()));
      } else if (decision instanceof Decision.SerialCorrected other) {
        corrected.put(
            other.seq(), new Corrected(other.was(), other.serial(), other.reason(), other.by()));
      }
    }
    if (heard.event().event() instanceof Event.RulesLoaded loaded) {
      loaded
          .rules()
          .features()
          .forEach(
              feature -> {
                features.add(feature.id());
                parts.add(feature.part());
              });
    }
  }

  private void ordered(Heard heard, Command command) {
    if (command.order() instanceof Order.ToolChanged changed) {
      for (Feature feature : cut(heard, changed.cell(), changed.tool())) {
        end(feature.id(), heard.at());
        begun.put(feature.id(), new ToolLife.Begun(heard.at(), changed.tool(), Heard.by(command)));
      }
    } else if (command.order() instanceof Order.OffsetEntered offset) {
      for (Feature feature : cut(heard, offset.cell(), offset.tool())) {
        of(feature.id())
            .forEach(
                life ->
                    life.offsets.add(
                        new ToolLife.Offset(
                            heard.at(), life.bores.size(), offset.diameter(), Heard.by(command))));
      }
    }
  }

  /** The features that a tool of a cell cuts, as the engine takes it. */
  private static List<Feature> cut(Heard heard, String cell, Optional<String> tool) {
    return heard.state().rules().stream()
        .flatMap(rules -> rules.features().stream())
        .filter(feature -> feature.cell().equals(Optional.of(cell)))
        .filter(f -> tool.isEmpty() || f.tool().isEmpty() || f.tool().equals(tool))
        .toList();
  }

  private List<ToolLife> of(String feature) {
    return open.values().stream().filter(life -> life.feature.id().equals(feature)).toList();
  }

  private void end(String feature, Instant at) {
    List<ToolLife> ending = of(feature);
    ending.forEach(life -> life.ended = Optional.of(at));
    open.values().removeAll(ending);
    lives.removeIf(life -> life.ended.filter(end -> !end.isAfter(wanted.from())).isPresent());
  }

  private void bore(Heard heard, long seq, Decision.BoreJudged judged) {
    Instant at = heard.at();
    firstBore = firstBore.isPresent() ? firstBore : Optional.of(at);
    lastBore = Optional.of(at);
    features.add(judged.feature().id());
    parts.add(judged.feature().part());
    if (!wanted.wants(judged.feature())) {
      return;
    }
    boolean before = at.isBefore(wanted.from());
    ToolLife life = life(judged, at);
    if ((before && life.begun.isEmpty()) || tooMany()) {
      return;
    }
    long part = judged.bore().part();
    boolean again = !life.parts.add(part);
    life.bores.add(
        new LifeBore(seq, at, judged, again, life.offsets.size(), heard.state().rulesRevision()));
    if (before && life.bores.size() > MOST_BEFORE) {
      life.bores.remove(0);
      life.cut = true;
    }
    inSpan += before ? 0 : 1;
  }

  private ToolLife life(Decision.BoreJudged judged, Instant at) {
    Feature feature = judged.feature();
    String stream = feature.streams().stream(judged.bore().context());
    String key = feature.id() + "@" + stream;
    ToolLife life = open.get(key);
    if (life != null && !sameAsked(life.feature, feature)) {
      end(feature.id(), at);
      begun.remove(feature.id());
      life = null;
    }
    if (life == null) {
      life = new ToolLife(feature, stream, Optional.ofNullable(begun.get(feature.id())));
      open.put(key, life);
      lives.add(life);
    }
    return life;
  }

  /** Under other limits the bores are no one series any more. */
  private static boolean sameAsked(Feature a, Feature b) {
    return a.limits().equals(b.limits()) && a.nominal().equals(b.nominal());
  }

  private void found(Instant at, Decision.Found found) {
    if (wanted.holds(at)) {
      of(found.finding().feature())
          .forEach(life -> life.found(at, found.finding(), found.wouldHaveHeld()));
    }
  }

  /** Whether there were more bores than a report can hold. */
  boolean tooMany() {
    return inSpan > MOST_BORES;
  }

  /** The lives with a bore in the span, by feature, in the order of their beginning. */
  List<ToolLife> lives() {
    return lives.stream()
        .filter(life -> life.bores.stream().anyMatch(bore -> wanted.holds(bore.at())))
        .sorted(
            Comparator.comparing((ToolLife life) -> life.feature.id())
                .thenComparing(life -> life.bores.get(0).seq()))
        .toList();
  }

  Optional<TakenBack> takenBack(long seq) {
    return Optional.ofNullable(takenBack.get(seq));
  }

  Optional<Corrected> corrected(long seq) {
    return Optional.ofNullable(corrected.get(seq));
  }

  /** The serial of a bore's part, as far as is known now. */
  Optional<String> serial(LifeBore bore) {
    return corrected(bore.seq()).map(Corrected::serial).or(() -> bore.bore().context().serial());
  }

  Collection<TakenBack> takenBack() {
    return takenBack.values();
  }

  Set<String> features() {
    return features;
  }

  Set<String> parts() {
    return parts;
  }

  Optional<Instant> firstBore() {
    return firstBore;
  }

  Optional<Instant> lastBore() {
    return lastBore;
  }
}
