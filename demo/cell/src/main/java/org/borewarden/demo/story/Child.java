package org.borewarden.demo.story;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;

/** A process that the demo starts and ends. */
final class Child implements AutoCloseable {
  private static final long END_SECONDS = 8;

  private final Process process;

  private Child(Process process) {
    this.process = process;
  }

  static Child start(List<String> command, Path folder, Path log) throws IOException {
    return new Child(
        new ProcessBuilder(command)
            .directory(folder.toFile())
            .redirectErrorStream(true)
            .redirectOutput(log.toFile())
            .start());
  }

  boolean alive() {
    return process.isAlive();
  }

  long pid() {
    return process.pid();
  }

  @Override
  public void close() {
    process.destroy();
    try {
      if (!process.waitFor(END_SECONDS, TimeUnit.SECONDS)) {
        process.destroyForcibly();
      }
    } catch (InterruptedException e) {
      process.destroyForcibly();
      Thread.currentThread().interrupt();
    }
  }
}
