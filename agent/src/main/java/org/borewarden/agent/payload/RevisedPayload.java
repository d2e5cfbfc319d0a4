package org.borewarden.agent.payload;

import org.borewarden.rules.engine.Decision;

/**
 * A verdict that counts no more; topic {@code verdict/<feature>}. The verdict itself is never
 * rewritten.
 *
 * @param feature the feature
 * @param revised the seq of the verdict
 * @param verdict {@code discarded}
 * @param why what was said
 * @param by who
 */
record RevisedPayload(String feature, long revised, String verdict, String why, String by) {

  static RevisedPayload of(Decision.BoreDiscarded discarded) {
    return new RevisedPayload(
        discarded.feature(), discarded.seq(), "discarded", discarded.reason(), discarded.by());
  }
}
