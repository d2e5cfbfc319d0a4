package org.borewarden.agent.observe;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import ch.qos.logback.classic.LoggerContext;
import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.classic.util.LogbackMDCAdapter;
import ch.qos.logback.core.AppenderBase;
import java.time.Duration;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import org.junit.jupiter.api.Test;
import org.slf4j.Logger;

class UnblockedAppenderTest {
  private static final int LINES = 3 * UnblockedAppender.LINES_AT_MOST;

  private final CountDownLatch taken = new CountDownLatch(1);
  private final List<String> written = new CopyOnWriteArrayList<>();

  @Test
  void whoLogsDoesNotWaitForALogThatIsNotTakenAndWhatWasDroppedIsCounted() {
    LoggerContext logs = new LoggerContext();
    logs.setMDCAdapter(new LogbackMDCAdapter());
    UnblockedAppender unblocked = new UnblockedAppender();
    unblocked.setContext(logs);
    unblocked.addAppender(stuck());
    unblocked.start();
    logs.getLogger(Logger.ROOT_LOGGER_NAME).addAppender(unblocked);
    Logger log = logs.getLogger("cell");
    for (int line = 0; line < LINES; line++) {
      log.info("line {}", line);
    }
    taken.countDown();
    await().atMost(Duration.ofSeconds(60)).until(() -> unblocked.getNumberOfElementsInQueue() == 0);
    log.info("the last");
    logs.stop();
    List<String> lines = written.stream().filter(text -> text.startsWith("line ")).toList();
    assertThat(lines).hasSizeLessThan(LINES).startsWith("line 0");
    assertThat(written).endsWith("the last");
    long said =
        written.stream()
            .filter(text -> text.endsWith(" log lines were dropped: the log was not taken"))
            .mapToLong(text -> Long.parseLong(text.substring(0, text.indexOf(' '))))
            .sum();
    assertThat(said).isEqualTo(LINES - lines.size());
  }

  /**
   * Takes nothing until it may; the thread is interrupted at the end, so it asks and never waits.
   */
  private AppenderBase<ILoggingEvent> stuck() {
    AppenderBase<ILoggingEvent> behind =
        new AppenderBase<>() {
          @Override
          protected void append(ILoggingEvent event) {
            while (taken.getCount() > 0) {
              Thread.onSpinWait();
            }
            written.add(event.getFormattedMessage());
          }
        };
    behind.start();
    return behind;
  }
}
