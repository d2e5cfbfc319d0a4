package org.borewarden.agent.observe;

import static org.assertj.core.api.Assertions.assertThat;

import ch.qos.logback.classic.Logger;
import ch.qos.logback.classic.LoggerContext;
import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.core.read.ListAppender;
import java.util.List;
import java.util.concurrent.atomic.AtomicLong;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

class FirstOfTest {
  private final AtomicLong nanos = new AtomicLong(-5);
  private final ListAppender<ILoggingEvent> lines = new ListAppender<>();
  private final Logger log = new LoggerContext().getLogger("port");
  private final FirstOf faults = new FirstOf(log, nanos::get);

  @BeforeEach
  void listen() {
    lines.start();
    log.addAppender(lines);
  }

  @Test
  void aRepeatedFaultIsSaidOnceAndCounted() {
    for (int i = 0; i < 1000; i++) {
      faults.warn("bore-60/open", "gauge bore-60: cannot be opened");
    }
    faults.over("bore-60/open", "gauge bore-60: open");
    assertThat(said())
        .containsExactly(
            "WARN gauge bore-60: cannot be opened",
            "INFO gauge bore-60: open (the fault was seen 1000 times)");
  }

  @Test
  void anotherFaultIsSaidOnItsOwn() {
    faults.warn("bore-60/open", "gauge bore-60: cannot be opened");
    faults.warn("bore-35/open", "gauge bore-35: cannot be opened");
    assertThat(said()).hasSize(2);
  }

  @Test
  void aFaultThatStandsIsSaidAgainAfterAnHour() {
    faults.warn("k", "lost");
    nanos.addAndGet(FirstOf.SAID_AGAIN_AFTER.toNanos() - 1);
    faults.warn("k", "lost");
    assertThat(said()).hasSize(1);
    nanos.addAndGet(1);
    faults.warn("k", "lost");
    assertThat(said()).containsExactly("WARN lost", "WARN lost (seen 3 times)");
  }

  @Test
  void theEndOfAFaultIsSaidOnlyIfItStood() {
    faults.over("k", "well");
    faults.warn("k", "lost");
    faults.over("k", "well");
    faults.over("k", "well");
    faults.warn("k", "lost");
    assertThat(said()).containsExactly("WARN lost", "INFO well", "WARN lost");
  }

  @Test
  void beyondTheLimitFaultsAreTakenForOne() {
    for (int i = 0; i < FirstOf.FAULTS_AT_MOST + 50; i++) {
      faults.warn("key-" + i, "fault " + i);
    }
    assertThat(said()).hasSize(FirstOf.FAULTS_AT_MOST + 1);
  }

  private List<String> said() {
    return lines.list.stream().map(e -> e.getLevel() + " " + e.getFormattedMessage()).toList();
  }
}
