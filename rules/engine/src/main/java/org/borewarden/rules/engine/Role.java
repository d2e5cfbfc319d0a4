package org.borewarden.rules.engine;

/** Who may ask for what (the rights matrix of docs/hold.md). */
public enum Role {
  /** Measures. */
  INSPECTOR,
  /** Sets up the machine. */
  SETTER,
  /** Answers for the line. */
  SUPERVISOR,
  /** Answers for the rules. */
  QUALITY,
  /** The machine cell's controller. */
  CELL,
  /** Runs the agent; never releases. */
  IT;

  /**
   * The role as it stands in command topics.
   *
   * @return lower case
   */
  public String key() {
    return name().toLowerCase(java.util.Locale.ROOT);
  }
}
