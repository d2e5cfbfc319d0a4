package org.borewarden.agent.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Lets the system's sync or write calls fail now and then, with the next ones succeeding: the trap.
 */
class FailedSyncIT {
  private static final int RECOVERIES = 4;

  @TempDir Path scratch;

  @ParameterizedTest
  @ValueSource(
      strings = {
        "fdatasync,fsync:error=EIO:when=20+5",
        "pwrite64:error=EIO:when=60+40",
        "pwrite64:error=ENOSPC:when=60+40"
      })
  void aFailedCallIsToldAndNothingPromisedIsMissing(String fault) throws Exception {
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
            "trace=" + fault.substring(0, fault.indexOf(':')),
            "-e",
            "inject=" + fault);
    long durable;
    try (Child child = Child.start(nowAndThen, WriterProcess.Mode.HONEST, data, scratch)) {
      child.readUntilRecovered(RECOVERIES);
      child.readUntilDurable(child.durable() + 1);
      child.kill();
      durable = child.durable();
    }
    VerifyReport report = Verify.dataFolder(data);
    assertThat(report.first()).isEmpty();
    assertThat(report.entries()).isEqualTo(report.lastSeq()).isGreaterThanOrEqualTo(durable);
  }
}
