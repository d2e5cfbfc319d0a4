package org.borewarden.rules.watch;

import java.util.List;

/**
 * What follows for a pool.
 *
 * @param next what it remembers now
 * @param findings what its charts saw
 * @param cleared the keys of findings that stood before and stand no longer
 */
public record PoolStep(PoolState next, List<Finding> findings, List<String> cleared) {
  /** Copies the lists. */
  public PoolStep {
    findings = List.copyOf(findings);
    cleared = List.copyOf(cleared);
  }
}
