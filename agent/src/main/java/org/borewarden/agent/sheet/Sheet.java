package org.borewarden.agent.sheet;

import java.io.IOException;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.config.SheetConfig;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalIds;
import org.borewarden.agent.journal.JournalView;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Follows the journal and adds a line to a file for each bore. Behind the journal, so that a full
 * disk or a program that keeps the file to itself holds up nothing but the file, which then catches
 * up.
 */
public final class Sheet implements AutoCloseable {
  /** How often the journal is looked at. */
  public static final Duration EVERY = Duration.ofSeconds(1);

  private static final Logger LOG = LoggerFactory.getLogger(Sheet.class);
  private static final int PAGE = 500;
  private static final Duration END = Duration.ofSeconds(5);

  private final SheetConfig config;
  private final JournalView journal;
  private final JournalIds ids;
  private final SheetFile file;
  private final Thread thread = new Thread(this::run, "sheet");
  private final CountDownLatch stop = new CountDownLatch(1);
  private long next;
  private boolean opened;
  private boolean failing;

  /**
   * A file behind a journal.
   *
   * @param config which file
   * @param journal a view of its own, closed with it
   * @param ids the ids of the journal
   */
  public Sheet(SheetConfig config, JournalView journal, JournalIds ids) {
    this.config = config;
    this.journal = journal;
    this.ids = ids;
    this.file = new SheetFile(config.file(), config.comma());
  }

  /** Begins. */
  public void start() {
    thread.start();
  }

  private void run() {
    try {
      do {
        follow();
      } while (!stop.await(EVERY.toMillis(), TimeUnit.MILLISECONDS));
      // What was judged until the stop is in the file too.
      follow();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } finally {
      journal.close();
    }
  }

  /** Adds what came since the last time; what fails is tried again the next time. */
  void follow() {
    try {
      if (!opened) {
        next = file.open().map(this::behind).orElse(1L);
        next = Math.max(next, journal.firstSeq());
        opened = true;
      }
      List<Entry> page = journal.read(next, PAGE);
      while (!page.isEmpty()) {
        add(page);
        next = page.get(page.size() - 1).seq() + 1;
        page = journal.read(next, PAGE);
      }
      if (failing) {
        LOG.info("{} is written again", config.file());
        failing = false;
      }
    } catch (IOException | JournalException e) {
      if (!failing) {
        LOG.warn("{}: {}; tried again until it can be written", config.file(), e.toString());
        failing = true;
      }
      // Nobody knows how much of it was written: the file itself says so.
      opened = false;
    }
  }

  /** A file of another journal goes on with this one from its first entry. */
  private long behind(SheetFile.Reached reached) {
    return ids.of(reached.seq()).equals(reached.journal()) ? reached.seq() + 1 : 1;
  }

  private void add(List<Entry> page) throws IOException {
    List<List<String>> lines = new ArrayList<>();
    for (Entry entry : page) {
      Optional<List<String>> line = SheetLine.of(entry, ids.of(entry.seq()), config.comma());
      line.ifPresent(lines::add);
    }
    if (!lines.isEmpty()) {
      file.append(lines);
    }
  }

  @Override
  public void close() {
    // Not interrupted: that would close the file in the midst of a line.
    stop.countDown();
    try {
      thread.join(END.toMillis());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
