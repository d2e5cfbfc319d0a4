package org.borewarden.agent;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.loop.Outlet;
import org.borewarden.agent.loop.Turn;
import org.borewarden.agent.payload.Json;
import org.borewarden.rules.engine.CellTestLine;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.hold.AnswerCode;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Writes the protocol of each cell test once its record is synced, into a file of the data folder,
 * and keeps the last one of each cell for whoever asks. One thread of its own writes, so that the
 * loop never waits for the disk.
 */
final class CellTestProtocols implements Outlet, AutoCloseable {
  private static final Logger LOG = LoggerFactory.getLogger(CellTestProtocols.class);
  private static final long CLOSE_SECONDS = 2;

  private final String agent;
  private final String version;
  private final Path folder;
  private final Map<String, Shown> last = new ConcurrentHashMap<>();
  private final ExecutorService writer =
      Executors.newSingleThreadExecutor(
          task -> {
            Thread thread = new Thread(task, "cell-test-protocols");
            thread.setDaemon(true);
            return thread;
          });

  /**
   * Makes the outlet.
   *
   * @param agent the agent's id
   * @param version its version
   * @param data the data folder
   */
  CellTestProtocols(String agent, String version, Path data) {
    this.agent = agent;
    this.version = version;
    this.folder = data.resolve("cell-tests");
  }

  /**
   * How a cell's test stands.
   *
   * @param cell the cell
   * @param run the seq of the command that began it; 0 none since the start
   * @param running whether it runs
   * @param outcome how it ended
   * @param protocol its protocol, once it ended
   * @param file where that is kept
   */
  record Shown(
      String cell,
      long run,
      boolean running,
      Optional<String> outcome,
      Optional<String> protocol,
      Optional<String> file) {}

  /** How a cell's test stands, as JSON. Any thread. */
  String shown(String cell) {
    return Json.write(
        last.getOrDefault(
            cell, new Shown(cell, 0, false, Optional.empty(), Optional.empty(), Optional.empty())));
  }

  @Override
  public void stepped(Turn turn) {
    // A protocol says "recorded", so it waits.
  }

  @Override
  public void synced(Turn turn) {
    for (Decision decision : turn.decisions()) {
      if (decision instanceof Decision.CellTestEnded ended) {
        ended(turn, ended);
      } else if (decision instanceof Decision.CommandAnswered answered
          && answered.code() == AnswerCode.ACCEPTED
          && turn.event().event() instanceof Event.CommandGiven given
          && given.command().order() instanceof Order.CellTest test) {
        begun(test.cell(), turn.event().seq());
      }
    }
  }

  /** The same command again gets the same answer and begins nothing. */
  private void begun(String cell, long run) {
    Optional<Shown> shown = Optional.ofNullable(last.get(cell));
    if (shown.filter(Shown::running).isEmpty()) {
      last.put(
          cell, new Shown(cell, run, true, Optional.empty(), Optional.empty(), Optional.empty()));
    }
  }

  private void ended(Turn turn, Decision.CellTestEnded ended) {
    List<CellTestLine> lines =
        turn.event().event() instanceof Event.CellTestWalked walked ? walked.lines() : List.of();
    String text =
        CellTestProtocol.of(agent, version, turn.rules(), turn.event().at(), ended, lines);
    Path file = folder.resolve(ended.cell() + "-run-" + ended.run() + ".md");
    last.put(
        ended.cell(),
        new Shown(
            ended.cell(),
            ended.run(),
            false,
            Optional.of(ended.outcome()),
            Optional.of(text),
            Optional.of(file.toString())));
    writer.execute(() -> write(file, text));
  }

  private static void write(Path file, String text) {
    try {
      Files.createDirectories(file.getParent());
      Path part = file.resolveSibling(file.getFileName() + ".part");
      Files.writeString(part, text, StandardCharsets.UTF_8);
      Files.move(part, file, StandardCopyOption.REPLACE_EXISTING, StandardCopyOption.ATOMIC_MOVE);
      LOG.info("the protocol of the cell test stands in {}", file);
    } catch (IOException e) {
      LOG.warn("the protocol of the cell test could not be written to {}: {}", file, e.toString());
    }
  }

  /** Lets the last protocol be written. Idempotent. */
  @Override
  public void close() {
    writer.shutdown();
    try {
      if (!writer.awaitTermination(CLOSE_SECONDS, TimeUnit.SECONDS)) {
        LOG.warn("a protocol was not written in time");
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      LOG.warn("the wait for a protocol to be written was interrupted");
    }
  }
}
