package org.borewarden.agent.observe;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.LoggerContext;
import ch.qos.logback.classic.joran.JoranConfigurator;
import ch.qos.logback.classic.util.LogbackMDCAdapter;
import ch.qos.logback.core.joran.spi.JoranException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class LogLinesTest {
  /** The lines are written by a thread of their own. */
  private static final Duration SOON = Duration.ofSeconds(60);

  private static final ObjectMapper JSON = new ObjectMapper();
  private static final Path SHIPPED = Path.of("src/main/resources/logback.xml");

  @Test
  void anEventIsOneLineInUtcWithThreeDigitsAlsoWithAnException(@TempDir Path folder)
      throws Exception {
    LoggerContext logs = configured(Optional.of(folder));
    try {
      logs.getLogger("org.borewarden.agent.Main").info("started\nas cell-4");
      logs.getLogger("org.borewarden.agent.Main")
          .error("lost", new IOException("gone", new IllegalStateException("why")));
      await()
          .atMost(SOON)
          .until(() -> Files.readString(folder.resolve("borewarden.log")).lines().count() == 2);
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
      assertThat(logs.getLogger("ROOT").getAppender("UNBLOCKED_FILE")).isNull();
      assertThat(logs.getLogger("ROOT").getAppender("UNBLOCKED")).isNotNull();
    } finally {
      logs.stop();
    }
  }

  @Test
  void asJsonAnEventIsOneBoundedObjectOnALineOfItsOwn() throws Exception {
    ByteArrayOutputStream said = new ByteArrayOutputStream();
    PrintStream before = System.err;
    LoggerContext logs = new LoggerContext();
    System.setErr(new PrintStream(said, true, StandardCharsets.UTF_8));
    try {
      logs.setMDCAdapter(new LogbackMDCAdapter());
      logs.putProperty("borewarden.log.json", "true");
      configure(logs);
      logs.getLogger("org.borewarden.agent.Main").info("started\nas \"cell-4\"");
      logs.getLogger("org.borewarden.agent.Main")
          .error("x".repeat(9_000), new IOException("y".repeat(9_000)));
      await().atMost(SOON).until(() -> said.toString(StandardCharsets.UTF_8).lines().count() == 2);
    } finally {
      logs.stop();
      System.setErr(before);
    }
    List<String> lines = said.toString(StandardCharsets.UTF_8).lines().toList();
    assertThat(lines).hasSize(2);
    JsonNode first = JSON.readTree(lines.get(0));
    assertThat(first.get("at").textValue())
        .matches("\\d{4}-\\d\\d-\\d\\dT\\d\\d:\\d\\d:\\d\\d\\.\\d{3}Z");
    assertThat(first.get("level").textValue()).isEqualTo("INFO");
    assertThat(first.get("logger").textValue()).isEqualTo("Main");
    assertThat(first.get("message").textValue()).isEqualTo("started\nas \"cell-4\"");
    assertThat(first.has("trace")).isFalse();
    JsonNode second = JSON.readTree(lines.get(1));
    assertThat(second.get("message").textValue()).hasSize(4_000);
    assertThat(second.get("trace").textValue())
        .startsWith("java.io.IOException: yyy")
        .hasSizeLessThan(4_100);
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
    configure(logs);
    return logs;
  }

  private static void configure(LoggerContext logs) throws JoranException {
    JoranConfigurator configurator = new JoranConfigurator();
    configurator.setContext(logs);
    configurator.doConfigure(SHIPPED.toFile());
  }
}
