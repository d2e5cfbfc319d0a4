package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.borewarden.agent.faults.JudgingLife.Day;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalReader;
import org.borewarden.agent.publish.Envelope;

/** What must have come of a {@link JudgingLife}, whatever struck it. */
public final class Outcome {
  /** The readings of the last life, after all faults. */
  private static final int MORE = 5;

  private Outcome() {}

  /** How many readings a journal has; none when there is no journal yet. */
  public static int readings(Path data) throws Exception {
    return Files.exists(data.resolve("journal"))
        ? Journals.count(Journals.all(data), "reading-taken")
        : 0;
  }

  /** The life after all faults, so that the outbox becomes empty. */
  public static Day lastOf(Day day, int readings) {
    return new Day(day.mode(), day.seed(), day.data(), readings + MORE);
  }

  /** A line of a life goes to its consumer; what is no record, or is cut, is not taken. */
  public static void take(String line, Consumer consumer) {
    String[] words = line.split(" ", 3);
    if (words.length == 3 && words[0].equals("record") && words[2].endsWith("}")) {
      try {
        consumer.take(topic(words[2]), words[2]);
      } catch (AssertionError cut) {
        if (!String.valueOf(cut.getMessage()).startsWith("not JSON")) {
          throw cut;
        }
      }
    }
  }

  /** The story is that of an uninterrupted run, and every record is in the journal and heard. */
  public static void require(Day last, Consumer consumer) throws Exception {
    List<Entry> entries = Journals.all(last.data());
    Story.requireSame(Shop.golden(last.seed(), last.most()), Story.of(entries));
    for (int at = 0; at < entries.size(); at++) {
      assertThat(entries.get(at).seq()).isEqualTo(at + 1L);
    }
    try (JournalReader reader = JournalReader.open(last.data())) {
      consumer.requireAll(entries, new Envelope("cell-4", reader.journalId()));
    }
  }

  private static String topic(String payload) {
    return payload.contains("\"verdict\":")
        ? "verdict"
        : payload.contains("\"alert\":") ? "alert" : "reading";
  }
}
