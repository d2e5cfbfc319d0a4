package org.borewarden.rules.engine;

import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.watch.Finding;

/** Alerts. */
final class Alerts {
  static final String SHELVE_TIMER = "shelve:";

  private Alerts() {}

  static void raised(Work work, Feature f, Finding finding, boolean holds, boolean would) {}

  static void returned(Work work, String key) {}

  static void released(Work work, String cell) {}

  static void unshelved(Work work, String key) {}

  static AnswerCode acknowledged(Work work, String alert, String by) {
    return AnswerCode.ACCEPTED;
  }

  static AnswerCode shelved(Work work, Order.Shelve shelve, String by) {
    return AnswerCode.ACCEPTED;
  }

  static void tell(Work work, State before) {}
}
