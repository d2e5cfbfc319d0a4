package org.borewarden.agent.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.List;
import org.borewarden.agent.peers.Cases;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Lets the system's sync calls fail now and then, with the next ones succeeding: the trap. */
class FailedSyncIT {
  private static final int RECOVERIES = Cases.count(6, 500);

  @TempDir Path scratch;

  @Test
  void aFailedSyncIsToldAndNothingPromisedIsMissing() throws Exception {
    Machine.need("tracing a process", "strace", "-o", "/dev/null", "true");
    Path data = scratch.resolve("data");
    List<String> nowAndThen =
        List.of(
            "strace",
            "-f",
            "-qq",
            "--seccomp-bpf",
            "-o",
            scratch.resolve("trace").toString(),
            "-e",
            "trace=fdatasync,fsync",
            "-e",
            "inject=fdatasync,fsync:error=EIO:when=60+11");
    long durable;
    try (Child child = Child.start(nowAndThen, WriterProcess.Mode.HONEST, data, scratch)) {
      child.readUntilRecovered(RECOVERIES);
      child.readUntilDurable(child.durable() + 1);
      child.kill();
      durable = child.durable();
    }
    VerifyReport report = Verify.dataFolder(data);
    assertThat(report.first()).isEmpty();
    System.err.printf(
        "failed syncs: %d, each said and left behind, %d entries promised, none missing%n",
        RECOVERIES, durable);
    assertThat(report.entries()).isEqualTo(report.lastSeq()).isGreaterThanOrEqualTo(durable);
  }
}
