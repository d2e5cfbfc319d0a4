package org.borewarden.demo.speed;

import java.util.List;

/**
 * What is measured, and under which load.
 *
 * @param readings how many readings are timed to their verdicts
 * @param holds how many holds are timed
 * @param backlog how many readings are journalled while the broker is away
 * @param busy whether two more processes keep the processors busy
 * @param raised whether the busy processes are to have less weight than all else, which runs raised
 * @param slowSyncMillis how long every sync to disk is held up; 0 not at all
 * @param slowSyncEvery which sync is held up: 1 each, 2 every second, and so on
 */
record Options(
    int readings,
    int holds,
    int backlog,
    boolean busy,
    boolean raised,
    int slowSyncMillis,
    int slowSyncEvery) {
  /** How far all but the busy processes are raised; demo/speed says so to {@code nice}. */
  static final int RAISED = 10;

  static final String USAGE =
      "usage: demo/speed [--readings N] [--holds M] [--backlog N] [--busy] [--raised]"
          + " [--slow-sync MS] [--slow-sync-every K]";

  static Options of(List<String> words) {
    int readings = 1000;
    int holds = 200;
    int backlog = 0;
    boolean busy = false;
    boolean raised = false;
    int slow = 0;
    int every = 1;
    for (int i = 0; i < words.size(); i++) {
      String word = words.get(i);
      if (word.equals("--busy")) {
        busy = true;
        continue;
      }
      if (word.equals("--raised")) {
        raised = true;
        continue;
      }
      int value = number(words, ++i);
      switch (word) {
        case "--readings" -> readings = value;
        case "--holds" -> holds = value;
        case "--backlog" -> backlog = value;
        case "--slow-sync" -> slow = value;
        case "--slow-sync-every" -> every = Math.max(1, value);
        default -> throw new IllegalArgumentException(word + " is no option; " + USAGE);
      }
    }
    return new Options(readings, holds, backlog, busy, raised, slow, every);
  }

  private static int number(List<String> words, int at) {
    try {
      return Integer.parseInt(words.get(at));
    } catch (NumberFormatException | IndexOutOfBoundsException e) {
      throw new IllegalArgumentException(
          words.get(at - 1) + ": expected a whole number; " + USAGE, e);
    }
  }

  /** What loads the machine beside the measurement, in words. */
  String load() {
    StringBuilder words = new StringBuilder();
    if (backlog > 0) {
      words.append("a backlog of ").append(backlog).append(" readings draining; ");
    }
    if (busy) {
      words.append("two busy loops; ");
      words.append(raised ? "all else raised above them; " : "");
    }
    if (slowSyncMillis > 0) {
      words.append("sync held up by ").append(slowSyncMillis).append(" ms");
      words.append(slowSyncEvery == 1 ? ", each" : ", one in " + slowSyncEvery).append("; ");
    }
    return words.length() == 0 ? "none" : words.substring(0, words.length() - 2);
  }
}
