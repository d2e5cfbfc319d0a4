package org.borewarden.agent.hold;

/**
 * Carries the permit of one cell to its controller. What the cell says comes back as events at the
 * sink that the output was made with.
 */
public interface HoldOutput extends AutoCloseable {
  /**
   * The cell that it serves.
   *
   * @return the cell's id
   */
  String cell();

  /** Starts its thread. Until the first beat it shows nothing, which reads as no permit. */
  void start();

  /**
   * Shows an image. Called on the loop thread at each beat, and at once when a permit is withdrawn;
   * must not block. Only the newest image counts: an output that is still writing drops what it has
   * not begun. An output never writes a beat that it was not given here, so that a stalled loop
   * reads as no permit.
   *
   * @param beat 1 to 65535, skipping 0, one more at each call
   * @param image what to show
   */
  void beat(int beat, PermitImage image);

  /** Stops within two seconds and leaves the permit absent where the path allows it. */
  @Override
  void close();
}
