package org.borewarden.agent.journal;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;

/** Makes entries as a loop would: readings and verdicts of some bores, and now and then a hold. */
final class Ledger {
  private static final Instant START = Instant.parse("2026-03-02T06:00:00Z");

  private final Random random;
  private final int bodyChars;
  private final Map<String, Long> last = new HashMap<>();
  private long seq;

  Ledger(long seed, int bodyChars) {
    this.random = new Random(seed);
    this.bodyChars = bodyChars;
  }

  /** Goes on after a journal that was read. */
  void continueFrom(long lastSeq, Map<String, Long> lastOfTopic) {
    seq = lastSeq;
    last.clear();
    last.putAll(lastOfTopic);
  }

  /** One event and what follows from it. */
  List<Entry> event() {
    long cause = seq + 1;
    List<Entry> entries = new ArrayList<>();
    int bore = random.nextInt(4) + 1;
    entries.add(entry(cause, "reading-taken", Optional.of("reading/gauge-" + bore)));
    entries.add(entry(cause, "bore-judged", Optional.of("verdict/housing/bore-" + bore)));
    if (random.nextInt(10) == 0) {
      entries.add(entry(cause, "trend-moved", Optional.empty()));
    }
    return entries;
  }

  List<Entry> events(int count) {
    List<Entry> entries = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      entries.addAll(event());
    }
    return entries;
  }

  Entry entry(long cause, String kind, Optional<String> topic) {
    seq++;
    long prev = topic.map(t -> last.getOrDefault(t, 0L)).orElse(0L);
    topic.ifPresent(t -> last.put(t, seq));
    return new Entry(
        seq, cause, START.plusMillis(seq * 250), kind, topic, prev, "rules-4f1c", body());
  }

  private String body() {
    StringBuilder text = new StringBuilder("{\"deviation\":\"+0.0");
    text.append(random.nextInt(100)).append(" mm\",\"note\":\"");
    while (text.length() < bodyChars - 2) {
      text.append((char) ('a' + random.nextInt(26)));
    }
    return text.append("\"}").toString();
  }
}
