package org.borewarden.agent.observe;

import java.util.List;

/**
 * Every metric of our own: the name as it stands in a scrape, what it means, and its labels. Base
 * units only; label values come from the config, the rules file or a fixed list, never from a
 * gauge, a part or a sender.
 */
enum Metric {
  PERMIT("permit", "1 while the cell's run permit is given.", "cell"),
  HOLD_LATCHED("hold_latched", "1 while a hold is latched; only a release ends it.", "cell"),
  HOLD_HEARD("hold_heard", "1 when the cell has said that it heard the latched hold.", "cell"),
  HOLD_STATE("hold_state", "1 for the state that the cell's hold is in, 0 else.", "cell", "state"),
  HOLD_RAISED("hold_raised_total", "Causes raised, by reason.", "cell", "cause"),
  HOLD_RAISED_AT(
      "hold_raised_timestamp_seconds", "When the latched or last hold was raised.", "cell"),
  CONDITION("condition_active", "1 while a condition withholds the permit.", "cell", "condition"),
  BYPASS_END(
      "bypass_end_timestamp_seconds", "When the bypass that runs ends; absent else.", "cell"),
  BYPASS("bypass_seconds_total", "Time spent in a bypass since the start.", "cell"),
  TRIAL_PARTS("trial_parts_left", "Parts left in a trial permit; 0 outside one.", "cell"),
  CELL_IN_CYCLE("cell_in_cycle", "1 while the cell says that it is in cycle.", "cell"),
  CELL_LINK("cell_link_up", "1 while the cell's echo moves.", "cell", "output"),
  CELL_REFUSED(
      "cell_refused_total", "Refused or failed at the cell's registers, by why.", "cell", "why"),
  BEAT_GAP("beat_gap_seconds", "Time between two beats as written.", "cell", "output"),
  ECHO_AGE("echo_age_seconds", "Time since the cell's echo last moved.", "cell", "output"),
  HOLD_LATENCY(
      "hold_latency_seconds",
      "From the finding until the cell's controller has the withdrawn permit."),
  HOLD_NEEDED(
      "hold_needed_total", "Holds released, by whether they were needed.", "cell", "needed"),
  CONTAIN(
      "hold_contain_total",
      "Holds released, by what became of the parts to hold back.",
      "cell",
      "outcome"),
  HOLD_TEST_DUE(
      "hold_test_due_timestamp_seconds", "When the hold path is due to be proved.", "cell"),
  HOLD_TEST("hold_test_passed_timestamp_seconds", "When the hold path was last proved.", "cell"),

  READINGS("readings_total", "Accepted readings.", "gauge"),
  SAMPLES("samples_total", "Samples of streams from which readings are captured.", "gauge"),
  REJECTED("frames_rejected_total", "Bytes that were no reading, by why.", "gauge", "why"),
  LAST_READING("last_reading_timestamp_seconds", "When the last reading came.", "gauge"),
  GAUGE_CONNECTED("gauge_connected", "1 while bytes can come from the gauge.", "gauge"),
  BATTERY_LOW("battery_low", "1 while the gauge says that its battery is low.", "gauge"),
  RING_CHECK_DUE("ring_check_due_timestamp_seconds", "When the next ring check is due.", "gauge"),
  BELIEF(
      "gauge_belief",
      "1 for what is believed of a gauge that is checked on a ring.",
      "gauge",
      "state"),
  OVERRUNS("input_overruns_total", "Times that input came faster than it was taken.", "gauge"),

  BORES("bores_total", "Judged bores, by verdict.", "feature", "verdict"),
  BORE("bore_meters", "The last judged bore.", "feature"),
  DEVIATION("deviation_meters", "The last judged bore less its nominal.", "feature"),
  BORES_UNTIL_LIMIT(
      "bores_until_limit", "Bores until a limit by the forecast; absent without one.", "feature"),
  CAPABILITY(
      "capability_ratio",
      "Cp, Cpk, Pp or Ppk over whole tool lives, or over the last bores, or of a form; absent where"
          + " it is not honest.",
      "feature",
      "index"),
  FINDINGS("findings_total", "What watches and limits found.", "feature", "watch"),

  JOURNAL_WRITABLE("journal_writable", "1 while the journal can be written."),
  JOURNAL_COMMIT("journal_commit_seconds", "Time of a group commit with its sync."),
  JOURNAL_SIZE("journal_bytes", "The size of the journal, without free pages in its file."),
  JOURNAL_RETIRED("journal_retired_total", "Entries retired for their age or for the size."),
  OUTBOX_UNSENT("outbox_left_unsent_total", "Readings that left a full outbox unsent."),
  DATA_FREE("data_free_bytes", "Free space where the journal lies."),
  OUTBOX("outbox_messages", "Records that the broker has not acknowledged."),
  OUTBOX_OLDEST(
      "outbox_oldest_timestamp_seconds", "The time of the oldest of them; absent when none waits."),
  DEAD_LETTERS("dead_letters_total", "Records set aside because the broker refused them.", "why"),
  BROKER_CONNECTED("broker_connected", "1 while the broker connection stands.", "link"),
  PUBLISH("publish_seconds", "From a publish to the broker's acknowledgement."),

  INBOX("inbox_events", "Events that wait for the loop."),
  LOOP_TURN("loop_turn_seconds", "Time of one turn of the loop."),
  CLOCK_SYNCHRONISED("clock_synchronised", "1 while the wall clock is synchronised."),
  CLOCK_STEPS("clock_steps_total", "Steps of the wall clock against the monotonic one."),
  CERTIFICATE_EXPIRY(
      "certificate_expiry_timestamp_seconds", "When a certificate in use expires.", "use"),
  COMMANDS("commands_total", "Commands, by the answer's code.", "command", "outcome"),
  RULES_INFO("rules_info", "The rules revision in force.", "revision"),
  RULES_RELOAD_FAILED("rules_reload_failed", "1 while the rules file on disk is refused."),
  BUILD_INFO("build_info", "The agent's version.", "version"),
  STARTED("start_timestamp_seconds", "When the agent started."),
  UNCLEAN_STARTS("unclean_starts_total", "Starts after an unclean stop, over the journal's life.");

  private static final String PREFIX = "borewarden_";

  private final String exposedName;
  private final String help;

  @SuppressWarnings("ImmutableEnumChecker") // made by List.of
  private final List<String> labels;

  Metric(String name, String help, String... labels) {
    this.exposedName = PREFIX + name;
    this.help = help;
    this.labels = List.of(labels);
  }

  /** The name as a scrape shows it. */
  String exposedName() {
    return exposedName;
  }

  /** What it means, in one sentence. */
  String help() {
    return help;
  }

  /** The label names, in the order in which label values are given. */
  List<String> labels() {
    return labels;
  }
}
