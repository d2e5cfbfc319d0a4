package org.borewarden.agent.publish.mqtt;

import java.util.Optional;
import org.borewarden.agent.journal.Entry;

/**
 * Whether the window is open, or one row goes alone behind probes: after a loss each one that was
 * under way then, and each row at which the broker closed the connection before. Owned by the
 * publisher's thread.
 */
final class Probing {
  private Step step = Step.OPEN;
  private int owed;

  /** Rows up to this one were under way when a connection was lost. */
  private long suspectedUpTo;

  private Optional<Entry> called = Optional.empty();

  private enum Step {
    /** The window is open. */
    OPEN,
    /** A probe has to be sent. */
    OWED,
    /** A probe is under way. */
    SENT,
    /** The broker has taken the probes; the next row goes alone. */
    TAKEN,
    /** The row is under way alone. */
    ROW
  }

  /**
   * The connection is gone. The next one begins with a probe, unless nothing was under way.
   *
   * @param lastUnderWay the last row that was under way; 0 for none
   */
  void lost(long lastUnderWay) {
    suspectedUpTo = Math.max(suspectedUpTo, lastUnderWay);
    if (lastUnderWay > 0 || step != Step.OPEN) {
      step = Step.OWED;
      owed = 1;
    }
    called = Optional.empty();
  }

  /** Whether a row may be called: none is, and none is under way alone. */
  boolean mayCall() {
    return called.isEmpty() && (step == Step.OPEN || step == Step.TAKEN);
  }

  /** A row goes alone behind so many probes. Nothing is under way. */
  void call(Entry row, int probes) {
    called = Optional.of(row);
    owed = step == Step.TAKEN ? probes - 1 : probes;
    step = Step.OWED;
  }

  /** The row that was called, once, when the broker has taken its probes. */
  Optional<Entry> takeCalled() {
    if (step != Step.TAKEN) {
      return Optional.empty();
    }
    Optional<Entry> row = called;
    called = Optional.empty();
    return row;
  }

  boolean probeIsOwed() {
    return step == Step.OWED;
  }

  void probeSent() {
    step = Step.SENT;
  }

  boolean awaitsAnswer() {
    return step == Step.SENT;
  }

  /** The probe was answered, and the connection stands. */
  void probeAnswered() {
    if (step == Step.SENT) {
      owed--;
      step = owed > 0 ? Step.OWED : Step.TAKEN;
    }
  }

  void rowSent() {
    if (step == Step.TAKEN) {
      step = Step.ROW;
    }
  }

  void rowAnswered(long seq) {
    if (step == Step.ROW) {
      step = seq < suspectedUpTo ? Step.TAKEN : Step.OPEN;
      suspectedUpTo = seq < suspectedUpTo ? suspectedUpTo : 0;
    }
  }

  /** Whether a row is under way alone. */
  boolean isAlone() {
    return step == Step.ROW;
  }

  /**
   * How many rows may be under way now.
   *
   * @param most how many in an open window
   */
  int window(int most) {
    return switch (step) {
      case OPEN -> most;
      case OWED, SENT -> 0;
      case TAKEN, ROW -> 1;
    };
  }
}
