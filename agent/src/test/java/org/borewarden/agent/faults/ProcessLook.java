package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Stream;

/**
 * What a Java process holds.
 *
 * @param heapBytes reachable, after a collection of all garbage
 * @param residentBytes of memory, as the system counts it
 * @param files open file descriptors
 * @param threads as the system counts them
 * @param diskBytes below its data folder
 */
record ProcessLook(long heapBytes, long residentBytes, long files, long threads, long diskBytes) {
  private static final long KIB = 1024;

  static ProcessLook at(long pid, Path data) throws Exception {
    long heap = liveHeap(pid);
    return new ProcessLook(
        heap,
        status(pid, "VmRSS:") * KIB,
        entries(Path.of("/proc/" + pid + "/fd")),
        status(pid, "Threads:"),
        bytesBelow(data));
  }

  /** What is reachable in the process's heap, after a collection of all garbage. */
  static long liveHeap(long pid) throws IOException, InterruptedException {
    long bytes = 0;
    for (String line : jcmd(pid, "GC.class_histogram").lines().toList()) {
      String[] words = line.trim().split("\\s+", -1);
      if (words[0].equals("Total")) {
        bytes = Long.parseLong(words[2]);
      }
    }
    assertThat(bytes).as("the histogram's total").isPositive();
    return bytes;
  }

  /** Where its threads are. */
  static String threads(long pid) throws IOException, InterruptedException {
    return jcmd(pid, "Thread.print");
  }

  private static String jcmd(long pid, String what) throws IOException, InterruptedException {
    Process jcmd =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "jcmd").toString(),
                Long.toString(pid),
                what)
            .redirectErrorStream(true)
            .start();
    String said = new String(jcmd.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    assertThat(jcmd.waitFor()).as(said).isZero();
    return said;
  }

  private static long status(long pid, String name) throws IOException {
    try (Stream<String> lines = Files.lines(Path.of("/proc/" + pid + "/status"))) {
      String line = lines.filter(l -> l.startsWith(name)).findFirst().orElseThrow();
      return Long.parseLong(line.replaceAll("\\D", ""));
    }
  }

  private static long entries(Path folder) throws IOException {
    try (Stream<Path> entries = Files.list(folder)) {
      return entries.count();
    }
  }

  private static long bytesBelow(Path folder) throws IOException {
    long bytes = 0;
    try (Stream<Path> files = Files.walk(folder)) {
      for (Path file : files.filter(Files::isRegularFile).toList()) {
        bytes += Files.exists(file) ? Files.size(file) : 0;
      }
    }
    return bytes;
  }
}
