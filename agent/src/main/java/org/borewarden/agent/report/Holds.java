package org.borewarden.agent.report;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Cause;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.part.StopKind;

/** Tells each hold from its beginning to its release. Used by one thread. */
final class Holds {
  private final Wanted wanted;
  private final List<Told> holds = new ArrayList<>();
  private final Map<String, Told> open = new HashMap<>();
  private final List<Bypassed> bypasses = new ArrayList<>();

  Holds(Wanted wanted) {
    this.wanted = wanted;
  }

  /** One hold. Filled by one thread. */
  static final class Told {
    final String cell;
    final int number;
    final Instant since;
    final Map<String, Cause> causes = new TreeMap<>();
    Optional<StopKind> kind = Optional.empty();
    List<String> contain = List.of();
    Optional<Instant> heard = Optional.empty();
    Optional<Instant> stopped = Optional.empty();
    Optional<Instant> ended = Optional.empty();
    Optional<Said> said = Optional.empty();

    Told(String cell, int number, Instant since) {
      this.cell = cell;
      this.number = number;
      this.since = since;
    }

    private void seen(Instant at, HoldView view) {
      view.causes().forEach(cause -> causes.put(cause.key(), cause));
      kind = view.kind().isPresent() ? view.kind() : kind;
      contain = view.contain().size() >= contain.size() ? view.contain() : contain;
      heard = heard.isEmpty() && view.heard() ? Optional.of(at) : heard;
      stopped = stopped.isEmpty() && view.stopped() ? Optional.of(at) : stopped;
    }
  }

  /**
   * What a release said.
   *
   * @param at when it was asked for
   * @param by who
   * @param role in which role
   * @param order what was said
   * @param text his free words
   * @param confirmedBy the second person
   */
  record Said(
      Instant at,
      String by,
      String role,
      Order.Release order,
      Optional<String> text,
      Optional<String> confirmedBy) {}

  /**
   * A bypass that was given.
   *
   * @param at when
   * @param by who
   * @param order of what, for how long and why
   * @param confirmedBy the second person
   */
  record Bypassed(Instant at, String by, Order.Bypass order, Optional<String> confirmedBy) {}

  void hear(Heard heard) {
    heard.command().ifPresent(command -> ordered(heard, command));
    for (Decision decision : heard.decisions()) {
      if (decision instanceof Decision.HoldChanged changed) {
        changed(heard.at(), changed.hold());
      }
    }
  }

  private void changed(Instant at, HoldView view) {
    Told told = open.get(view.cell());
    if (told != null && told.number != view.number()) {
      told.ended = Optional.of(at);
      open.remove(view.cell());
      told = null;
    }
    if (view.number() == 0) {
      return;
    }
    if (told == null) {
      told = new Told(view.cell(), view.number(), at);
      open.put(view.cell(), told);
      holds.add(told);
    }
    told.seen(at, view);
  }

  private void ordered(Heard heard, Command command) {
    AnswerCode code = heard.answer().orElse(AnswerCode.MALFORMED);
    boolean waits = code == AnswerCode.PENDING_SECOND_PERSON;
    if (code != AnswerCode.ACCEPTED && code != AnswerCode.PENDING_EVIDENCE && !waits) {
      return;
    }
    String by = Heard.by(command);
    if (command.order() instanceof Order.Release release) {
      told(release.cell(), release.hold())
          .ifPresent(
              told ->
                  told.said =
                      Optional.of(
                          new Said(
                              heard.at(),
                              by,
                              command.role().name().toLowerCase(Locale.ROOT),
                              release,
                              command.text(),
                              Optional.empty())));
    } else if (command.order() instanceof Order.Bypass bypass) {
      bypasses.add(new Bypassed(heard.at(), by, bypass, Optional.empty()));
    } else if (command.order() instanceof Order.Confirm confirm) {
      confirmed(confirm, by);
    }
  }

  private void confirmed(Order.Confirm confirm, String by) {
    told(confirm.cell(), confirm.hold())
        .ifPresent(
            told ->
                told.said =
                    told.said.map(
                        said ->
                            new Said(
                                said.at(),
                                said.by(),
                                said.role(),
                                said.order(),
                                said.text(),
                                Optional.of(by))));
    for (int i = bypasses.size() - 1; i >= 0; i--) {
      Bypassed last = bypasses.get(i);
      if (last.order().cell().equals(confirm.cell()) && last.order().hold() == confirm.hold()) {
        bypasses.set(i, new Bypassed(last.at(), last.by(), last.order(), Optional.of(by)));
        return;
      }
    }
  }

  /** The newest hold of that number: numbers begin anew with a journal. */
  private Optional<Told> told(String cell, int number) {
    for (int i = holds.size() - 1; i >= 0; i--) {
      Told told = holds.get(i);
      if (told.cell.equals(cell) && told.number == number) {
        return Optional.of(told);
      }
    }
    return Optional.empty();
  }

  /** The holds that stood at any time of the span, oldest first. */
  List<Told> holds() {
    return holds.stream()
        .filter(told -> told.since.isBefore(wanted.to()))
        .filter(told -> told.ended.map(end -> end.isAfter(wanted.from())).orElse(true))
        .toList();
  }

  List<Bypassed> bypasses() {
    return bypasses.stream().filter(bypass -> wanted.holds(bypass.at())).toList();
  }
}
