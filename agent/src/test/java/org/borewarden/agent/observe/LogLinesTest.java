package org.borewarden.agent.observe;

import static org.assertj.core.api.Assertions.assertThat;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.LoggerContext;
import ch.qos.logback.classic.joran.JoranConfigurator;
import ch.qos.logback.classic.util.LogbackMDCAdapter;
import ch.qos.logback.core.joran.spi.JoranException;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class LogLinesTest {
  private static final Path SHIPPED = Path.of("src/main/resources/logback.xml");

  @Test
  void anEventIsOneLineInUtcWithThreeDigitsAlsoWithAnException(@TempDir Path folder)
      throws Exception {
    LoggerContext logs = configured(Optional.of(folder));
    try {
      logs.getLogger("org.borewarden.agent.Main").info("started\nas cell-4");
      logs.getLogger("org.borewarden.agent.Main")
          .error("lost", new IOException("gone", new IllegalStateException("why")));
    } finally {
      logs.stop();
    }
    List<String> lines = Files.readAllLines(folder.resolve("borewarden.log"));
    assertThat(lines).hasSize(2);
    assertThat(lines.get(0))
        .matches(
            "\\d{4}-\\d\\d-\\d\\dT\\d\\d:\\d\\d:\\d\\d\\.\\d{3}Z INFO  \\[.+\\] Main - started \\| as"
                + " cell-4");
    assertThat(lines.get(1))
        .contains("lost | java.io.IOException: gone | at ")
        .contains("Caused by: java.lang.IllegalStateException: why");
  }

  @Test
  void withoutAFolderNoFileIsWritten() throws Exception {
    LoggerContext logs = configured(Optional.empty());
    try {
      assertThat(logs.getLogger("ROOT").getAppender("FILE")).isNull();
      assertThat(logs.getLogger("ROOT").getAppender("CONSOLE")).isNotNull();
    } finally {
      logs.stop();
    }
  }

  @Test
  void librariesAreHeardFromWarningsOn() throws Exception {
    LoggerContext logs = configured(Optional.empty());
    try {
      for (String library : List.of("io.netty.channel", "com.fazecast", "org.sqlite.core")) {
        assertThat(logs.getLogger(library).getEffectiveLevel()).isEqualTo(Level.WARN);
      }
      assertThat(logs.getLogger("org.borewarden.agent").getEffectiveLevel()).isEqualTo(Level.INFO);
    } finally {
      logs.stop();
    }
  }

  private static LoggerContext configured(Optional<Path> folder) throws JoranException {
    LoggerContext logs = new LoggerContext();
    logs.setMDCAdapter(new LogbackMDCAdapter());
    folder.ifPresent(f -> logs.putProperty("borewarden.log.dir", f.toString()));
    JoranConfigurator configurator = new JoranConfigurator();
    configurator.setContext(logs);
    configurator.doConfigure(SHIPPED.toFile());
    return logs;
  }
}
