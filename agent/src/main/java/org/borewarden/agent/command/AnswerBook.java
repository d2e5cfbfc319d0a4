package org.borewarden.agent.command;

import java.util.Optional;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.hold.Phase;

/** Knows which commands came by its door, and takes their answers back there. Never waits. */
public interface AnswerBook {
  /**
   * Answers a command whose record is synced. Does nothing for a command that came another way.
   *
   * @param answered the answer
   * @param seq the seq of its record
   * @param phase the state of its cell after it, where one was meant
   */
  void answer(Decision.CommandAnswered answered, long seq, Optional<Phase> phase);
}
