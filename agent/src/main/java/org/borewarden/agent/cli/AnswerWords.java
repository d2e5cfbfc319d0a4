package org.borewarden.agent.cli;

import java.util.Map;
import java.util.Optional;

/** The answer codes in words. */
final class AnswerWords {
  private static final Map<String, String> WORDS =
      Map.ofEntries(
          Map.entry("accepted", "done, and recorded"),
          Map.entry("pending-evidence", "taken; a trial runs, measure each of its parts"),
          Map.entry(
              "pending-second-person",
              "taken; another person must confirm it: 'borewarden confirm --help'"),
          Map.entry("starting", "the agent has only just started; ask again in a moment"),
          Map.entry("nothing-held", "there is nothing that this could change"),
          Map.entry("superseded", "it changed since you looked; see 'borewarden status' again"),
          Map.entry("already-pending", "the same is already under way"),
          Map.entry(
              "evidence-missing",
              "nothing shows that the cause is gone: name --evidence, ask for a trial with --parts,"
                  + " or let a supervisor decide"),
          Map.entry(
              "condition-present", "a condition stands; remedy it first, see 'borewarden status'"),
          Map.entry("no-right", "your role may not do this"),
          Map.entry("stale", "the command is too old; give it again"),
          Map.entry("replayed", "the hold changed in between; see 'borewarden status' again"),
          Map.entry("malformed", "the agent does not understand it"),
          Map.entry("over-limit", "a value is over its limit"),
          Map.entry("not-recorded", "the agent could not write it down, so nothing was done"));

  private AnswerWords() {}

  static String of(String code) {
    return Optional.ofNullable(WORDS.get(code)).orElse("the agent refused");
  }
}
