package org.borewarden.agent.peers;

/**
 * How many cases an attack makes: a few at every build, the project's goal for a long run with
 * {@code -Dborewarden.long=true}, and any other number with {@code -Dborewarden.cases=N}.
 */
public final class Cases {
  /** Whether this is a long run. */
  public static final boolean LONG = Boolean.getBoolean("borewarden.long");

  private Cases() {}

  /**
   * How many.
   *
   * @param build at every build
   * @param goal in a long run, if no other number is asked for
   */
  public static int count(int build, int goal) {
    return LONG ? Integer.getInteger("borewarden.cases", goal) : build;
  }
}
