package org.borewarden.agent.faults.calls;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicInteger;
import org.borewarden.agent.faults.JudgingLife.Day;
import org.borewarden.agent.faults.JudgingLife.Mode;
import org.borewarden.agent.peers.Folders;

/**
 * The process below {@code calls.c}. Its last line is what it found; it ends with 1 at the first
 * thing that is wrong.
 *
 * <p>{@code page scratch copies mode seed days readings every} or {@code page scratch failures seed
 * days side-by-side} {@code page scratch reader-first} or, as the control, {@code page scratch
 * dropped seed}.
 */
final class CallsProcess {
  /** The calls before these open the files. */
  private static final int DROPPED_FROM = 15;

  private static final int DROPPED = 40;

  private final Calls calls;
  private final Path scratch;

  private CallsProcess(Calls calls, Path scratch) {
    this.calls = calls;
    this.scratch = scratch;
  }

  public static void main(String[] words) throws Exception {
    CallsProcess process = new CallsProcess(Calls.map(Path.of(words[0])), Path.of(words[1]));
    try {
      String found =
          switch (words[2]) {
            case "copies" ->
                process.copies(
                    Mode.valueOf(words[3]),
                    Long.parseLong(words[4]),
                    Integer.parseInt(words[5]),
                    Integer.parseInt(words[6]),
                    Integer.parseInt(words[7]));
            case "failures" ->
                process.failures(
                    Long.parseLong(words[3]),
                    Integer.parseInt(words[4]),
                    Integer.parseInt(words[5]));
            case "reader-first" ->
                new ReaderFirst(process.scratch, process.calls.slot(0)).run() + " readers";
            default -> process.dropped(Long.parseLong(words[3]));
          };
      System.out.println(found);
      System.exit(0);
    } catch (Exception | AssertionError wrong) {
      wrong.printStackTrace();
      System.exit(1);
    }
  }

  private String copies(Mode mode, long seed, int days, int readings, int every) throws Exception {
    List<Callable<Copies>> workers = new ArrayList<>();
    for (int number = 0; number < days; number++) {
      Path folder = Files.createDirectories(scratch.resolve("day-" + number));
      Day day = new Day(mode, seed + number, folder.resolve("data"), readings);
      Calls.Slot slot = calls.slot(number);
      workers.add(
          () -> {
            Copies copies = new Copies(folder, day, every);
            copies.run(slot);
            Folders.delete(folder);
            return copies;
          });
    }
    Map<Calls.Kind, Integer> points = new EnumMap<>(Calls.Kind.class);
    int distinct = 0;
    int goneOn = 0;
    for (Copies copies : sideBySide(days, workers)) {
      copies.points().forEach((kind, count) -> points.merge(kind, count, Integer::sum));
      distinct += copies.distinct();
      goneOn += copies.goneOn();
    }
    int all = points.values().stream().mapToInt(Integer::intValue).sum();
    return all
        + " points "
        + points
        + ", "
        + distinct
        + " of them unlike all others, gone on from "
        + goneOn;
  }

  private static <T> List<T> sideBySide(int count, List<Callable<T>> workers) throws Exception {
    ExecutorService pool = Executors.newFixedThreadPool(count);
    List<T> results = new ArrayList<>();
    for (Future<T> each : pool.invokeAll(workers)) {
      results.add(get(each));
    }
    return results;
  }

  private String failures(long seed, int days, int sideBySide) throws Exception {
    List<Failures.Sweep> sweeps = new ArrayList<>();
    for (int number = 0; number < days; number++) {
      sweeps.addAll(Failures.Sweep.all(seed + number));
    }
    AtomicInteger next = new AtomicInteger();
    List<Callable<Map<String, Integer>>> workers = new ArrayList<>();
    for (int number = 0; number < sideBySide; number++) {
      Path folder = Files.createDirectories(scratch.resolve("side-" + number));
      Failures failures = new Failures(folder, calls.slot(number));
      workers.add(() -> sweepUntilDone(failures, sweeps, next));
    }
    Map<String, Integer> struck = new TreeMap<>();
    for (Map<String, Integer> each : sideBySide(sideBySide, workers)) {
      each.forEach((fault, count) -> struck.merge(fault, count, Integer::sum));
    }
    int all = struck.values().stream().mapToInt(Integer::intValue).sum();
    return all + " lives struck " + struck;
  }

  private static Map<String, Integer> sweepUntilDone(
      Failures failures, List<Failures.Sweep> sweeps, AtomicInteger next) throws Exception {
    Map<String, Integer> struck = new TreeMap<>();
    for (int at = next.getAndIncrement(); at < sweeps.size(); at = next.getAndIncrement()) {
      Failures.Sweep sweep = sweeps.get(at);
      int count;
      try {
        count = failures.run(sweep);
      } catch (Exception | AssertionError wrong) {
        // The others need not go on to their ends before it is heard.
        wrong.printStackTrace();
        next.set(sweeps.size());
        throw wrong;
      }
      System.err.println("failures: " + sweep + ": " + count);
      struck.merge(
          sweep.kind() + " " + sweep.fault() + (sweep.onward() ? " and on" : ""),
          count,
          Integer::sum);
    }
    return struck;
  }

  /** A disk that takes one write for done and has not done it, at one call after the other. */
  private String dropped(long seed) throws Exception {
    Failures failures = new Failures(scratch, calls.slot(0));
    for (int n = DROPPED_FROM; n <= DROPPED; n++) {
      failures.one(new Failures.Sweep(Calls.Kind.WRITE, Calls.Fault.DROPPED, false, 3, seed), n);
    }
    return "nothing found";
  }

  private static <T> T get(Future<T> future) throws Exception {
    try {
      return future.get();
    } catch (ExecutionException wrong) {
      if (wrong.getCause() instanceof Error error) {
        throw error;
      }
      throw wrong;
    }
  }
}
