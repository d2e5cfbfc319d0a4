package org.borewarden.agent.faults;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalReader;
import org.borewarden.agent.journal.JournalView;

/** Reads whole journals. */
final class Journals {
  private static final int PAGE = 5_000;

  private Journals() {}

  static List<Entry> all(JournalView view) throws JournalException {
    List<Entry> entries = new ArrayList<>();
    List<Entry> page = view.read(1, PAGE);
    while (!page.isEmpty()) {
      entries.addAll(page);
      page = view.read(page.get(page.size() - 1).seq() + 1, PAGE);
    }
    return entries;
  }

  static List<Entry> all(Path data) throws JournalException {
    try (JournalReader reader = JournalReader.open(data)) {
      return all(reader);
    }
  }

  static int count(List<Entry> entries, String kind) {
    return (int) entries.stream().filter(entry -> entry.kind().equals(kind)).count();
  }
}
