package org.borewarden.rules.engine;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * The answers given, by command id, so that the same command again gets the same answer and does
 * nothing twice.
 *
 * @param answers the answers, oldest first
 */
public record CommandMemory(List<Answer> answers) {
  /** The answers that are kept; the oldest goes when one more comes. */
  public static final int LIMIT = 2000;

  /** How long an answer is kept. */
  public static final Duration KEPT = Duration.ofDays(30);

  /** Nothing was answered yet. */
  public static final CommandMemory EMPTY = new CommandMemory(List.of());

  /** Copies the list. */
  public CommandMemory {
    answers = List.copyOf(answers);
  }

  /**
   * One answer.
   *
   * @param at when the command came
   * @param answered the answer
   */
  public record Answer(Instant at, Decision.CommandAnswered answered) {}

  /**
   * The answer that a command got.
   *
   * @param id the command's id
   * @return the answer, if it is still kept
   */
  Optional<Decision.CommandAnswered> to(String id) {
    return answers.stream()
        .map(Answer::answered)
        .filter(answer -> answer.commandId().equals(id))
        .findFirst();
  }

  /** The memory with one more answer, without those that are too old. */
  CommandMemory with(Decision.CommandAnswered answered, Instant at) {
    List<Answer> kept = new ArrayList<>(answers);
    kept.removeIf(answer -> answer.at().plus(KEPT).isBefore(at));
    kept.add(new Answer(at, answered));
    return new CommandMemory(kept.subList(Math.max(0, kept.size() - LIMIT), kept.size()));
  }
}
