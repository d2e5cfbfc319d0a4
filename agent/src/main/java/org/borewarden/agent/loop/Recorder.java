package org.borewarden.agent.loop;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.payload.Coded;
import org.borewarden.agent.payload.DecisionCodec;
import org.borewarden.agent.payload.EventCodec;
import org.borewarden.rules.engine.Decision;

/**
 * Turns a turn into journal entries: seq after seq, each with the seq before it on its topic. Used
 * on the loop thread only.
 */
final class Recorder {
  private final Map<String, Long> lastPerTopic;

  Recorder(Map<String, Long> lastPerTopic) {
    this.lastPerTopic = new HashMap<>(lastPerTopic);
  }

  List<Entry> entries(Turn turn) {
    List<Entry> entries = new ArrayList<>(1 + turn.decisions().size());
    entries.add(entry(turn, turn.event().seq(), EventCodec.encode(turn.event().event())));
    int index = 0;
    for (Decision decision : turn.decisions()) {
      entries.add(entry(turn, turn.seqOf(index), DecisionCodec.encode(decision)));
      index++;
    }
    return entries;
  }

  private Entry entry(Turn turn, long seq, Coded coded) {
    long prev = 0;
    if (coded.topic().isPresent()) {
      Long before = lastPerTopic.put(coded.topic().get(), seq);
      prev = before == null ? 0 : before;
    }
    return new Entry(
        seq,
        turn.event().seq(),
        turn.event().at(),
        coded.kind(),
        coded.topic(),
        prev,
        turn.rules(),
        coded.body());
  }
}
