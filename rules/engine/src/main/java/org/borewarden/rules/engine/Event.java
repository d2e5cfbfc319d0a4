package org.borewarden.rules.engine;

import java.util.List;
import java.util.Optional;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.reading.Reading;

/**
 * Something that happened and may change a verdict, a watch or a hold. Events enter by one door, in
 * one order, and the journal alone replays them.
 */
public sealed interface Event {

  /**
   * The agent started. Class agent-life.
   *
   * @param version the agent's version
   * @param bootId random, never 0, 16 bits
   * @param bootNonce secret random text from which challenges are derived
   * @param clean whether the run before it ended by {@link AgentStopped} or there was none
   * @param cells the cells that the config names, and what it says of them
   * @param ports the ports that the config names
   */
  record AgentStarted(
      String version,
      int bootId,
      String bootNonce,
      boolean clean,
      List<CellPolicy> cells,
      List<Port> ports)
      implements Event {
    /** Copies the lists. */
    public AgentStarted {
      cells = List.copyOf(cells);
      ports = List.copyOf(ports);
    }
  }

  /**
   * A port that the config names.
   *
   * @param id the port
   * @param gauges the gauges behind it
   * @param asked whether its gauge says nothing unless a command asks it
   */
  record Port(String id, List<String> gauges, boolean asked) {
    /** Copies the list. */
    public Port {
      gauges = List.copyOf(gauges);
    }

    /**
     * A port whose gauges speak by themselves.
     *
     * @param id the port
     * @param gauges the gauges behind it
     */
    public Port(String id, List<String> gauges) {
      this(id, gauges, false);
    }
  }

  /** The agent stopped on request. Class agent-life. */
  record AgentStopped() implements Event {}

  /**
   * Rules are in force from here on.
   *
   * @param rules the rules
   */
  record RulesLoaded(RuleSet rules) implements Event {}

  /**
   * A rules file was refused; the rules before it, if any, stay.
   *
   * @param problems how many problems it has
   * @param first the first of them
   */
  record RulesRefused(int problems, String first) implements Event {}

  /**
   * A gauge gave a value.
   *
   * @param reading the value
   */
  record ReadingTaken(Reading reading) implements Event {}

  /**
   * Bytes came that are no reading.
   *
   * @param gauge the gauge, or the source's id where none could be told
   * @param why a key such as {@code too-long} or {@code no-match}
   * @param detail what was expected and found
   * @param offset the byte of the frame at which it went wrong
   * @param excerpt the frame's first bytes, escaped, at most 64 characters
   * @param unpublished how many more were rejected since the last such event
   */
  record FrameRejected(
      String gauge, String why, String detail, int offset, String excerpt, long unpublished)
      implements Event {}

  /**
   * A source was connected or lost.
   *
   * @param source the source's id
   * @param gauges the gauges behind it
   * @param connected whether bytes can come
   * @param detail in words
   */
  record SourceChanged(String source, List<String> gauges, boolean connected, String detail)
      implements Event {
    /** Copies the list. */
    public SourceChanged {
      gauges = List.copyOf(gauges);
    }
  }

  /**
   * The cell's controller said something new.
   *
   * @param cell the cell
   * @param report what it said
   */
  record CellReported(String cell, CellReport report) implements Event {}

  /**
   * A cell's output walked the bits of its registers toward the cell, or as far as it came.
   *
   * @param cell the cell
   * @param run the seq of the command that began the test
   * @param whole whether every step was taken
   * @param lines the steps that were taken
   */
  record CellTestWalked(String cell, long run, boolean whole, List<CellTestLine> lines)
      implements Event {
    /** Copies the list. */
    public CellTestWalked {
      lines = List.copyOf(lines);
    }
  }

  /**
   * The link to a cell's controller was lost or came back.
   *
   * @param cell the cell
   * @param up whether the cell's echo moves
   * @param detail in words
   */
  record LinkChanged(String cell, boolean up, String detail) implements Event {}

  /**
   * The journal failed or recovered. Class agent-life.
   *
   * @param writable whether it can be written
   * @param detail in words
   */
  record JournalChanged(boolean writable, String detail) implements Event {}

  /**
   * A doubt about the journal, other than that it cannot be written, began or ended. Class
   * agent-life.
   *
   * @param subject a key: {@code outbox-full}, {@code not-adopted}
   * @param stands whether it stands; while it does, no permit is given
   * @param detail in words
   */
  record JournalDoubted(String subject, boolean stands, String detail) implements Event {}

  /**
   * Something was done to the journal that a person may ask about later. Class agent-life.
   *
   * @param what a key, such as {@code retired} or {@code left-unsent}
   * @param first the first entry concerned
   * @param last the last entry concerned
   * @param count how many entries
   * @param detail in words
   */
  record JournalNoted(String what, long first, long last, long count, String detail)
      implements Event {}

  /**
   * The loop saw that its own beat was late, or in time again. Class agent-life.
   *
   * @param overdue whether it is late
   * @param gapMillis the gap in milliseconds
   */
  record BeatChanged(boolean overdue, long gapMillis) implements Event {}

  /**
   * A broker connection was lost or made. Class agent-life.
   *
   * @param link {@code control} or {@code record}
   * @param connected whether it stands
   * @param detail in words
   */
  record BrokerChanged(String link, boolean connected, String detail) implements Event {}

  /**
   * An authenticated, well-formed command.
   *
   * @param command what is asked, by whom
   */
  record CommandGiven(Command command) implements Event {}

  /**
   * A command was refused at the door.
   *
   * @param code why
   * @param command its name as far as it could be told
   * @param authenticatedAs what was proved of the sender
   * @param id its id as far as it could be told
   * @param detail in words
   */
  record CommandRefused(
      AnswerCode code, String command, String authenticatedAs, Optional<String> id, String detail)
      implements Event {}

  /**
   * A timer that the engine had set has run out.
   *
   * @param timer its name
   */
  record TimerFired(String timer) implements Event {}

  /**
   * The record that holds a grant (a release, a trial, a bypass, a condition's end) is synced.
   *
   * @param cell the cell
   * @param revision the revision at which it was asked for
   */
  record GrantSynced(String cell, int revision) implements Event {}

  /**
   * The wall clock stepped against the monotonic one. Class agent-life.
   *
   * @param millis by how much; negative is backward
   */
  record ClockStepped(long millis) implements Event {}
}
