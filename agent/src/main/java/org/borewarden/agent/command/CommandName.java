package org.borewarden.agent.command;

import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;

/** The commands by their names on topics and on the command line. */
public enum CommandName {
  /** Release a hold. */
  RELEASE,
  /** Run in spite of named causes, for a time. */
  BYPASS,
  /** End a bypass before its time. */
  END_BYPASS,
  /** The cell has heard a hold. */
  HEARD,
  /** The cell has stopped for lack of permit. */
  STOPPED,
  /** What part stands in front of the gauges. */
  CONTEXT,
  /** A tool or its edge was changed. */
  TOOL_CHANGED,
  /** A tool offset was entered at the machine. */
  OFFSET,
  /** What temperature part, ring or gauge body has. */
  TEMPERATURE,
  /** Take back a bore. */
  DISCARD,
  /** Measure a place of the bore under way again, or the last part. */
  MEASURE_AGAIN,
  /** Go on to the next part though the bore under way lacks readings. */
  NEXT_PART,
  /** What was found of a bore without a number. */
  ATTRIBUTE,
  /** Pass over a feature of a part. */
  SKIP,
  /** The next bore is of a part that was cut again. */
  REWORK,
  /** The next bore is of a piece of known size. */
  CHALLENGE,
  /** First-offs are asked for: another program, a changeover. */
  FIRST_OFF,
  /** The wrong part was scanned. */
  CORRECT_SERIAL,
  /** Other limits for named parts. */
  CONCESSION,
  /** A concession counts no more. */
  WITHDRAW_CONCESSION,
  /** The batch that is cut is at its end. */
  CLOSE_BATCH,
  /** What is open, at the start of a shift or for who takes over. */
  HAND_OVER,
  /** The next readings of a gauge are of a ring. */
  RING_CHECK,
  /** A gauge was set to a ring; its next readings show how it was left. */
  MASTERED,
  /** Something happened to a gauge. */
  GAUGE_DISTURBED,
  /** A gauge that says nothing by itself is asked for a reading. */
  ASK,
  /** The feature whose turn it is is passed over. */
  STEP_FORWARD,
  /** The feature before the one whose turn it is is measured again. */
  STEP_BACK,
  /** A person has seen an alert. */
  ACKNOWLEDGE,
  /** Set an alert aside until an end. */
  SHELVE,
  /** Take an alert out of the shelf before its time. */
  UNSHELVE,
  /** Take an alert out of service. */
  OUT_OF_SERVICE,
  /** Put an alert back in service. */
  BACK_IN_SERVICE,
  /** Confirm, as a second person, what a first one asked for. */
  CONFIRM,
  /** Walk every bit of the registers toward a cell in test mode. */
  CELL_TEST,
  /** Send entries to the broker again. */
  SEND_AGAIN,
  /** Take a copied or moved journal as this agent's. */
  ADOPT_JOURNAL,
  /** Read the rules file again now. */
  RELOAD,
  /** Ask for a hold. */
  ASK_HOLD;

  /**
   * The name on topics.
   *
   * @return lower case, with hyphens
   */
  public String key() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /**
   * The command of that name.
   *
   * @param key a name on a topic
   * @return the command, if there is one
   */
  public static Optional<CommandName> of(String key) {
    return Arrays.stream(values()).filter(name -> name.key().equals(key)).findFirst();
  }

  /**
   * All names, for messages.
   *
   * @return separated by commas
   */
  public static String all() {
    return Arrays.stream(values()).map(CommandName::key).collect(Collectors.joining(", "));
  }
}
