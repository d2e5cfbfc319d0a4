package org.borewarden.agent.faults.sim;

/** A promise was broken. */
final class Violation extends RuntimeException {
  private static final long serialVersionUID = 1L;

  Violation(String what) {
    super(what);
  }
}
