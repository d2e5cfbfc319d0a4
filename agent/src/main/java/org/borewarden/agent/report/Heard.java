package org.borewarden.agent.report;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.hold.AnswerCode;

/**
 * One event of the journal with all that followed from it.
 *
 * @param event the event
 * @param decisions what followed, in the order of their seqs, which come right behind the event's
 * @param state what is remembered after it
 */
public record Heard(Stamped event, List<Decision> decisions, State state) {
  /** Copies the list. */
  public Heard {
    decisions = List.copyOf(decisions);
  }

  Instant at() {
    return event.at();
  }

  long seqOf(int decision) {
    return event.seq() + 1 + decision;
  }

  /** The command of this event, where it is one and was not refused. */
  Optional<Command> taken() {
    boolean accepted = answer().filter(code -> code == AnswerCode.ACCEPTED).isPresent();
    return accepted ? command() : Optional.empty();
  }

  Optional<Command> command() {
    return event.event() instanceof Event.CommandGiven given
        ? Optional.of(given.command())
        : Optional.empty();
  }

  Optional<AnswerCode> answer() {
    return command()
        .flatMap(
            given ->
                decisions.stream()
                    .filter(Decision.CommandAnswered.class::isInstance)
                    .map(Decision.CommandAnswered.class::cast)
                    .filter(answered -> answered.commandId().equals(given.id()))
                    .map(Decision.CommandAnswered::code)
                    .findFirst());
  }

  static String by(Command command) {
    return command.who().orElse(command.authenticatedAs());
  }
}
