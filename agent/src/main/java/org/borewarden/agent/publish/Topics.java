package org.borewarden.agent.publish;

/**
 * The topics below one root.
 *
 * @param root without wildcards and without a slash at either end
 */
public record Topics(String root) {
  private static final String ALERT = "alert/";

  /**
   * A topic below the root.
   *
   * @param below for example {@code verdict/bearing-seat}
   * @return the whole topic
   */
  public String of(String below) {
    return root + "/" + below;
  }

  /**
   * The agent itself, retained, with a last will.
   *
   * @return the whole topic
   */
  public String agent() {
    return of("agent");
  }

  /**
   * Where the agent publishes to itself at each connection to see whether the broker delivers.
   *
   * @return the whole topic
   */
  public String canary() {
    return of("agent/canary");
  }

  /**
   * A cell's beat.
   *
   * @param cell the cell
   * @return the whole topic
   */
  public String heartbeat(String cell) {
    return of("heartbeat/" + cell);
  }

  /**
   * All commands.
   *
   * @return a filter
   */
  public String commands() {
    return of("command/+/+");
  }

  /**
   * Below which answers may be asked for.
   *
   * @return the beginning of a topic, with a slash at its end
   */
  public String answers() {
    return of("answer/");
  }

  /**
   * Whether the record topic is also a state, so that the broker keeps the latest of it.
   *
   * @param below the topic below the root
   * @return true for alerts
   */
  public static boolean alsoState(String below) {
    return below.startsWith(ALERT);
  }
}
