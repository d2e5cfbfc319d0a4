package org.borewarden.agent.source.file;

import static org.assertj.core.api.Assertions.assertThat;
import static org.borewarden.agent.source.SourceBench.until;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.config.FollowLink;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.source.SourceBench;
import org.borewarden.agent.source.SourceFeed;
import org.borewarden.rules.reading.Reading;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** A data logger's file, written by a shell. */
@Timeout(value = 90, unit = TimeUnit.SECONDS)
@SuppressWarnings("try") // Resources that only have to be closed.
class FollowedFileTest {
  private SourceBench bench = new SourceBench();
  @TempDir private Path folder;

  @Test
  void onlyWhatIsAddedIsReadAndALineOnlyWhenItIsWhole() throws Exception {
    append("62.001 mm\n62.0");
    try (SourceFeed feed = follow(false, Optional.empty())) {
      until(bench::isConnected);
      append("02 mm\n62.003 mm\n");
      until(() -> bench.readings().size() == 2);
    }
    assertThat(bench.readings()).containsExactly(62_002_000_000L, 62_003_000_000L);
    assertThat(bench.rejections()).isEmpty();
  }

  @Test
  void fromTheStartEverythingIsRead() throws Exception {
    append("62.001 mm\n62.002 mm\n");
    try (SourceFeed feed = follow(true, Optional.empty())) {
      until(() -> bench.readings().size() == 2);
    }
  }

  /** Each life begins at the bookmark of any reading: what is behind it comes once, in order. */
  @Test
  void afterARestartAtAnyReadingNoneIsMissingAndNoneComesTwice() throws Exception {
    List<String> bookmarks = new ArrayList<>();
    append("62.001 mm\nnoise\n62.002 mm\n62.003 mm\n");
    try (SourceFeed feed = follow(true, Optional.empty())) {
      until(() -> bench.readings().size() == 3);
      bench.taken().stream().map(Reading::bookmark).forEach(b -> bookmarks.add(b.orElseThrow()));
    }
    append("62.004 mm\n");
    for (int life = 0; life < 3; life++) {
      bench = new SourceBench();
      int left = 3 - life;
      try (SourceFeed feed = follow(true, Optional.of(bookmarks.get(life)))) {
        until(() -> bench.readings().size() == left);
      }
      assertThat(bench.readings()).doesNotHaveDuplicates().endsWith(62_004_000_000L);
    }
  }

  @Test
  void aFileThatIsPutInItsPlaceIsReadFromItsStart() throws Exception {
    append("62.001 mm\n62.002 mm\n");
    String bookmark;
    try (SourceFeed feed = follow(true, Optional.empty())) {
      until(() -> bench.readings().size() == 2);
      bookmark = bench.taken().get(1).bookmark().orElseThrow();
      Files.writeString(folder.resolve("next"), "62.003 mm\n62.004 mm\n62.005 mm\n");
      Files.move(
          folder.resolve("next"), folder.resolve("log"), StandardCopyOption.REPLACE_EXISTING);
      until(() -> bench.readings().size() == 5);
    }
    bench = new SourceBench();
    try (SourceFeed feed = follow(false, Optional.of(bookmark))) {
      until(() -> bench.readings().size() == 3);
    }
  }

  @Test
  void aFileThatWasCutIsReadFromItsStart() throws Exception {
    append("62.001 mm\n62.002 mm\n");
    try (SourceFeed feed = follow(true, Optional.empty())) {
      until(() -> bench.readings().size() == 2);
      Files.writeString(folder.resolve("log"), "62.003 mm\n");
      until(() -> bench.readings().contains(62_003_000_000L));
    }
  }

  @Test
  void aFileThatIsNotThereYetIsWaitedForAndSaid() throws Exception {
    try (SourceFeed feed = follow(true, Optional.empty())) {
      until(() -> !bench.changes().isEmpty());
      assertThat(bench.changes().get(0).detail())
          .isEqualTo("cannot read " + folder.resolve("log") + ": there is no such file");
      append("62.001 mm\n");
      until(() -> bench.readings().size() == 1);
    }
  }

  private SourceFeed follow(boolean fromStart, Optional<String> bookmark) {
    FollowLink link = new FollowLink(folder.resolve("log"), fromStart);
    PortConfig port = SourceBench.port(link, Optional.empty());
    SourceFeed feed = bench.feed(port, new FollowedFile(link, bookmark));
    feed.start();
    return feed;
  }

  private void append(String text) throws IOException, InterruptedException {
    Process shell =
        new ProcessBuilder("sh", "-c", "printf '%s' \"$1\" >> \"$2\"", "sh", text, folder + "/log")
            .inheritIO()
            .start();
    assertThat(shell.waitFor()).isZero();
  }
}
