package org.borewarden.agent.command.local;

import java.nio.ByteBuffer;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.command.AnswerText;
import org.borewarden.agent.command.CommandReader;
import org.borewarden.agent.command.CommandText;
import org.borewarden.agent.command.LineText;
import org.borewarden.agent.command.RefusalPace;
import org.borewarden.agent.intake.EventSink;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.hold.AnswerCode;

/**
 * Reads lines, offers what is good to the inbox and records what is not. Owned by the socket's
 * thread.
 */
final class LineDoor {
  private final CommandReader reader;
  private final EventSink sink;
  private final MonotonicClock clock;
  private final RefusalPace pace;
  private Optional<HoldsShown> holds = Optional.empty();

  LineDoor(CommandReader reader, EventSink sink, MonotonicClock clock) {
    this.reader = reader;
    this.sink = sink;
    this.clock = clock;
    this.pace = new RefusalPace(clock);
  }

  /** Set once, before the thread starts. */
  void show(HoldsShown shown) {
    holds = Optional.of(shown);
  }

  static String full(int most) {
    return AnswerText.refused(
        Optional.empty(), AnswerCode.OVER_LIMIT, most + " others are connected, at most " + most);
  }

  /** Whoever has no role is told so once, on record, and hears nothing more. */
  void refuseStranger(Conversation conversation) {
    String detail = "no group of the user '" + conversation.peer().user() + "' has a role";
    record(conversation, "", AnswerCode.NO_RIGHT, Optional.empty(), detail);
    conversation.sayLast(
        AnswerText.refused(Optional.empty(), AnswerCode.NO_RIGHT, detail), clock.nanos());
  }

  /** Takes the lines that are whole, up to the first that waits for its answer. */
  void take(Conversation conversation, Set<String> awaited) {
    if (conversation.peer().roles().isEmpty()) {
      return;
    }
    Optional<ByteBuffer> line = conversation.line();
    while (line.isPresent()) {
      take(conversation, line.get(), awaited);
      line = conversation.line();
    }
    if (conversation.awaited().isPresent()) {
      return;
    }
    if (conversation.overfull()) {
      refuseRest(
          conversation,
          AnswerCode.OVER_LIMIT,
          "the line is longer than " + CommandReader.LONGEST_BYTES + " bytes");
    } else if (conversation.ended() && conversation.torn()) {
      refuseRest(conversation, AnswerCode.MALFORMED, "the line has no end");
    }
  }

  private void take(Conversation conversation, ByteBuffer line, Set<String> awaited) {
    Peer peer = conversation.peer();
    LineText text = reader.readLine(peer.roles(), peer.provedAs(), line);
    if (text instanceof LineText.Query query) {
      conversation.say(shown(query), clock.nanos());
    } else if (text instanceof LineText.CellTestQuery query) {
      conversation.say(
          shown(query.cell(), holds.flatMap(shown -> shown.cellTest(query.cell()))), clock.nanos());
    } else if (text instanceof LineText.Asked asked) {
      if (asked.text() instanceof CommandText.Read read) {
        offer(conversation, read.command(), awaited);
      } else if (asked.text() instanceof CommandText.Refused no) {
        record(conversation, asked.name(), no.code(), no.id(), no.detail());
        conversation.say(AnswerText.refused(no.id(), no.code(), no.detail()), clock.nanos());
      }
    }
  }

  private void offer(Conversation conversation, Command command, Set<String> awaited) {
    awaited.add(command.id());
    if (sink.offer(new Event.CommandGiven(command))) {
      conversation.await(command.id(), clock.nanos());
      return;
    }
    awaited.remove(command.id());
    conversation.say(
        AnswerText.refused(
            Optional.of(command.id()), AnswerCode.NOT_RECORDED, "the inbox is full; try again"),
        clock.nanos());
  }

  private String shown(LineText.Query query) {
    if (query.cell().isEmpty()) {
      List<String> all = holds.map(HoldsShown::holds).orElse(List.of());
      return "{\"holds\":[" + String.join(",", all) + "]}";
    }
    String cell = query.cell().get();
    return shown(cell, holds.flatMap(shown -> shown.hold(cell)));
  }

  private static String shown(String cell, Optional<String> payload) {
    return payload.orElseGet(
        () -> AnswerText.refused(Optional.empty(), AnswerCode.MALFORMED, "no such cell: " + cell));
  }

  private void refuseRest(Conversation conversation, AnswerCode code, String detail) {
    record(conversation, "", code, Optional.empty(), detail);
    conversation.sayLast(AnswerText.refused(Optional.empty(), code, detail), clock.nanos());
  }

  private void record(
      Conversation conversation, String name, AnswerCode code, Optional<String> id, String detail) {
    if (!pace.allows()) {
      return;
    }
    long more = pace.unrecorded();
    String words = more == 0 ? detail : detail + " (" + more + " more refusals before it)";
    // A full inbox loses the record, not the answer: nothing was done that must be known.
    sink.offer(new Event.CommandRefused(code, name, conversation.peer().provedAs(), id, words));
  }
}
