package org.borewarden.agent;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import org.borewarden.agent.intake.EventSink;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Reads the rules file again when it has changed, or when asked: on a thread of its own, so that
 * reading and checking never delay a beat. What it says becomes one event, so rules change whole
 * and between two readings; a file with a fault changes nothing but is told.
 *
 * <p>A change is taken once the file has been the same for one look: an editor that writes in
 * several goes is not read in the middle, if it does not rest longer than that.
 */
final class RulesReload implements AutoCloseable {
  /** Between two looks at the file. */
  static final Duration EVERY = Duration.ofSeconds(1);

  /** So many lines of a refused file are logged and published; how many more there are is said. */
  static final int LINES_SHOWN = 20;

  private static final Duration LONGEST_END = Duration.ofSeconds(2);
  private static final Logger LOG = LoggerFactory.getLogger(RulesReload.class);

  private final Path file;
  private final RulesInForce rules;
  private final Consumer<RulesInForce> keep;
  private final EventSink inbox;
  private final Duration every;
  private final Semaphore asked = new Semaphore(0);
  private final Thread thread = new Thread(this::run, "rules-file");

  /**
   * A watch over a rules file; it begins with {@link #start}.
   *
   * @param file the file
   * @param rules what was read of it last
   * @param keep keeps the text of good rules beside the journal, before the event that names them
   * @param inbox where the loop hears of it
   * @param every between two looks
   */
  RulesReload(
      Path file, RulesInForce rules, Consumer<RulesInForce> keep, EventSink inbox, Duration every) {
    this.file = file;
    this.rules = rules;
    this.keep = keep;
    this.inbox = inbox;
    this.every = every;
    thread.setDaemon(true);
  }

  /**
   * What tells one state of a file from another without reading it.
   *
   * @param modified when it was last written
   * @param bytes its length
   * @param key which file it is, where the file system knows; another one after a rename
   */
  private record Stamp(long modified, long bytes, String key) {
    static final Stamp MISSING = new Stamp(0, -1, "");

    static Stamp of(Path file) {
      try {
        BasicFileAttributes of = Files.readAttributes(file, BasicFileAttributes.class);
        return new Stamp(
            of.lastModifiedTime().to(TimeUnit.NANOSECONDS),
            of.size(),
            Optional.ofNullable(of.fileKey()).map(Object::toString).orElse(""));
      } catch (IOException missing) {
        return MISSING;
      }
    }
  }

  void start() {
    thread.start();
  }

  /** Reads the file at once, as SIGHUP asks. Any thread; never waits. */
  void ask() {
    asked.release();
  }

  private void run() {
    Optional<Stamp> taken = Optional.empty();
    Stamp seen = Stamp.MISSING;
    try {
      while (true) {
        boolean now = asked.tryAcquire(every.toNanos(), TimeUnit.NANOSECONDS);
        Stamp stamp = Stamp.of(file);
        boolean rested = stamp.equals(seen);
        seen = stamp;
        if (now || (rested && !taken.equals(Optional.of(stamp)))) {
          taken = Optional.of(stamp);
          look(now);
        }
      }
    } catch (InterruptedException stop) {
      LOG.debug("no longer looks at {}", file);
    }
  }

  private void look(boolean wasAsked) throws InterruptedException {
    if (!rules.readAgain()) {
      if (wasAsked) {
        LOG.info("{} says what it said before", file);
      }
      return;
    }
    List<String> lines = rules.problemLines();
    lines.forEach(line -> LOG.warn("{}", line));
    keep.accept(rules);
    inbox.put(rules.event());
  }

  @Override
  public void close() {
    thread.interrupt();
    try {
      thread.join(LONGEST_END.toMillis());
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    }
  }
}
