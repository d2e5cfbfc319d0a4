package org.borewarden.agent.loop;

import java.util.List;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;

/**
 * One event and all that followed from it.
 *
 * @param event the event
 * @param step what it did
 * @param rules the rules revision in force after it; empty before any
 */
public record Turn(Stamped event, Step step, String rules) {

  /**
   * The seq of a decision of this turn.
   *
   * @param index its place in the step's decisions
   * @return its seq in the journal
   */
  public long seqOf(int index) {
    return event.seq() + 1 + index;
  }

  /**
   * The last seq that this turn takes.
   *
   * @return the seq of its last decision, or of its event where there is none
   */
  public long lastSeq() {
    return event.seq() + step.decisions().size();
  }

  /**
   * The decisions.
   *
   * @return in order
   */
  public List<Decision> decisions() {
    return step.decisions();
  }

  /**
   * The state after the event.
   *
   * @return a value that nobody changes any more
   */
  public State state() {
    return step.next();
  }
}
