package org.borewarden.agent.service;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;

class ClockSyncTest {
  /** The mark is that of systemd-timesyncd.service(8), from memory. */
  @Test
  void theMarkOfTheTimeServiceTells(@TempDir Path marks) throws Exception {
    assertThat(ClockSync.now(marks)).contains(false);
    Files.createFile(marks.resolve("synchronized"));
    assertThat(ClockSync.now(marks)).contains(true);
  }

  /** As chronyd, ntpd or a virtual machine's host leave it; the answer is this machine's own. */
  @Test
  @EnabledOnOs(OS.LINUX)
  void whereThatServiceDoesNotRunTheKernelIsAskedAndAnswersAlike(@TempDir Path folder) {
    Path none = folder.resolve("none");
    assertThat(ClockSync.now(none)).isPresent().isEqualTo(ClockSync.now(none));
  }
}
