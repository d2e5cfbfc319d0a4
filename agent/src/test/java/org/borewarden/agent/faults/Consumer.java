package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.publish.Envelope;

/**
 * Somebody who drops repeats of a record by its agent, journal and seq, as docs/reliability.md
 * tells consumers to do, and counts them.
 */
public final class Consumer {
  private final Map<String, String> records = new HashMap<>();
  private final Map<String, Long> highest = new TreeMap<>();
  private final boolean inOrder;
  private int raw;
  private int repeats;

  /** Somebody who minds the order on each topic. */
  public Consumer() {
    this(true);
  }

  /** Somebody who may not mind the order: a quota takes some rows of a window and not others. */
  Consumer(boolean inOrder) {
    this.inOrder = inOrder;
  }

  /** Takes what came, in order of arrival. */
  void take(String topic, String payload) {
    var json = Story.tree(payload);
    if (!json.hasNonNull("seq") || !json.hasNonNull("journal") || !json.has("prev")) {
      return;
    }
    raw++;
    long seq = json.path("seq").asLong();
    String key = key(payload);
    String before = records.putIfAbsent(key, payload);
    if (before != null) {
      repeats++;
      assertThat(payload).as("the same record again, %s", key).isEqualTo(before);
      return;
    }
    String stream = json.path("journal").asText() + " " + topic;
    if (inOrder) {
      assertThat(seq).as("first time on %s", topic).isGreaterThan(highest.getOrDefault(stream, 0L));
    }
    highest.put(stream, seq);
  }

  /** Everything that a journal says is to be published is here, byte for byte, and nothing else. */
  void requireAll(List<Entry> entries, Envelope envelope) {
    Map<String, String> expected = new TreeMap<>();
    for (Entry entry : entries) {
      if (entry.topic().isPresent()) {
        String payload = envelope.around(entry).orElseThrow();
        expected.put(key(payload), payload);
      }
    }
    assertThat(notIn(expected, records)).as("stored and not heard").isEmpty();
    assertThat(notIn(records, expected)).as("heard and not stored").isEmpty();
  }

  private static String key(String payload) {
    var json = Story.tree(payload);
    return json.path("agent").asText()
        + " "
        + json.path("journal").asText()
        + " "
        + json.path("seq").asLong();
  }

  private static List<String> notIn(Map<String, String> these, Map<String, String> others) {
    return these.entrySet().stream()
        .filter(record -> !record.getValue().equals(others.get(record.getKey())))
        .map(Map.Entry::getValue)
        .sorted()
        .limit(5)
        .toList();
  }

  int distinct() {
    return records.size();
  }

  int raw() {
    return raw;
  }

  int repeats() {
    return repeats;
  }
}
