package org.borewarden.agent.faults.calls;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.borewarden.agent.faults.Consumer;
import org.borewarden.agent.faults.JudgingLife;
import org.borewarden.agent.faults.JudgingLife.Day;
import org.borewarden.agent.faults.Outcome;
import org.borewarden.agent.peers.Folders;

/**
 * A life during which its data folder is copied before each call, and then, for each copy, the life
 * that goes on from it as the agent does after a kill there.
 */
final class Copies {
  private final Path scratch;
  private final Day day;
  private final Path data;
  private final Path kept;
  private final int every;
  private final List<String> said = new ArrayList<>();
  private final Map<Calls.Kind, Integer> points = new EnumMap<>(Calls.Kind.class);
  private final Set<String> seen = new TreeSet<>();
  private int goneOn;

  /**
   * Begins nothing yet.
   *
   * @param scratch a folder of its own
   * @param day what the life is to do, in a data folder of its own
   * @param every one out of so many copies that differ is gone on from
   */
  Copies(Path scratch, Day day, int every) {
    this.scratch = scratch;
    this.every = every;
    this.day = day;
    this.data = day.data();
    this.kept = scratch.resolve("kept.db");
  }

  /** How many copies were made before calls of each kind. */
  Map<Calls.Kind, Integer> points() {
    return points;
  }

  /** How many of them differ from all others. */
  int distinct() {
    return seen.size();
  }

  /** How many of those were gone on from. */
  int goneOn() {
    return goneOn;
  }

  /** The life, and what comes of each copy; fails with the first that goes on wrongly. */
  void run(Calls.Slot slot) throws Exception {
    Path copies = Files.createDirectories(scratch.resolve("copies"));
    slot.about(data);
    slot.copyTo(copies);
    JudgingLife.breathing(day, line -> hear(line, slot)).run();
    slot.disarm();
    Files.createLink(kept, data.resolve("journal/journal.db"));
    for (Path copy : sorted(copies)) {
      goOn(copy);
      Folders.delete(copy);
    }
    Folders.delete(copies);
    Files.deleteIfExists(kept);
  }

  private synchronized void hear(String line, Calls.Slot slot) {
    if (line.startsWith("record ")) {
      said.add(line);
      slot.heard(said.size());
    }
  }

  /** A copy's name is its number, the bit of the kind, and the records heard before. */
  private void goOn(Path copy) throws Exception {
    String[] name = copy.getFileName().toString().split("-", -1);
    points.merge(Calls.Kind.of(Long.parseLong(name[1])), 1, Integer::sum);
    int heard = Integer.parseInt(name[2]);
    if (!seen.add(fingerprint(copy, heard)) || seen.size() % every != 0) {
      return;
    }
    goneOn++;
    try {
      restore(copy);
      Consumer consumer = new Consumer();
      said.subList(0, heard).forEach(line -> Outcome.take(line, consumer));
      Day last = Outcome.lastOf(day, Outcome.readings(data));
      new JudgingLife(last, line -> Outcome.take(line, consumer)).run();
      Outcome.require(last, consumer);
    } catch (Exception | AssertionError wrong) {
      throw new AssertionError("seed " + day.seed() + ", killed before call " + copy, wrong);
    }
  }

  /**
   * The folder as it was. A journal knows the inode of its file, so as to notice a copy: its bytes
   * go into the file that was there, which a link keeps.
   */
  private void restore(Path copy) throws IOException {
    for (Path file : sorted(data)) {
      Folders.delete(file);
    }
    try (Stream<Path> all = Files.walk(copy)) {
      for (Path from : all.skip(1).toList()) {
        Path to = data.resolve(copy.relativize(from).toString());
        if (Files.isDirectory(from)) {
          Files.createDirectory(to);
        } else if (from.endsWith("journal.db")) {
          Files.write(kept, Files.readAllBytes(from), StandardOpenOption.TRUNCATE_EXISTING);
          Files.createLink(to, kept);
        } else {
          Files.copy(from, to);
        }
      }
    }
  }

  private static String fingerprint(Path copy, int heard) throws IOException {
    try (Stream<Path> all = Files.walk(copy)) {
      MessageDigest digest = MessageDigest.getInstance("SHA-256");
      for (Path file : all.sorted().toList()) {
        digest.update(copy.relativize(file).toString().getBytes(StandardCharsets.UTF_8));
        // The index of the write-ahead log is made anew by whoever opens it first.
        if (Files.isRegularFile(file) && !file.toString().endsWith("-shm")) {
          digest.update(Files.readAllBytes(file));
        }
      }
      return HexFormat.of().formatHex(digest.digest()) + " " + heard;
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform must offer SHA-256", e);
    }
  }

  private static List<Path> sorted(Path folder) throws IOException {
    try (Stream<Path> listed = Files.list(folder)) {
      return listed.sorted().toList();
    }
  }
}
