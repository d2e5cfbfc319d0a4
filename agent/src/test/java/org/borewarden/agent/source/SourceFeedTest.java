package org.borewarden.agent.source;

import static org.assertj.core.api.Assertions.assertThat;
import static org.borewarden.agent.source.SourceBench.until;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.rules.engine.Event.FrameRejected;
import org.borewarden.rules.engine.Event.SourceChanged;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

@Timeout(value = 60, unit = TimeUnit.SECONDS)
@SuppressWarnings("try") // Resources that only have to be closed.
class SourceFeedTest {
  private static final Duration CLOSES_WITHIN = SourceFeed.CLOSE_LIMIT.plusSeconds(1);

  private final SourceBench bench = new SourceBench();
  private final ScriptedLink link = new ScriptedLink();

  @Test
  void theFirstFrameOfAGaugeThatWasSilentWhileWeOpenedIsKept() {
    link.isQuiet(1).sends("62.034 mm\r\n");

    try (SourceFeed feed = started()) {
      until(() -> bench.readings().size() == 1);
    }
    assertThat(bench.readings()).containsExactly(62_034_000_000L);
    assertThat(bench.count("readings bore-a")).isEqualTo(1);
    assertThat(bench.count("last bore-a")).isEqualTo(1);
    assertThat(bench.count("connected bore-b")).isZero();
  }

  @Test
  void theTailOfAFrameThatWasUnderWayWhileWeOpenedIsNoReading() {
    link.sends("2.034 mm\r\n62.035 mm\r\n");

    try (SourceFeed feed = started()) {
      until(() -> bench.readings().size() == 1);
    }
    assertThat(bench.readings()).containsExactly(62_035_000_000L);
    assertThat(bench.rejections()).extracting(FrameRejected::why).containsExactly("partial");
    assertThat(bench.rejections()).extracting(FrameRejected::excerpt).containsExactly("2.034 mm");
    assertThat(bench.count("rejected bore-a partial")).isEqualTo(1);
    assertThat(bench.count("junk bore-a")).isEqualTo(8);
  }

  @Test
  void theHalvesOfAFrameOnBothSidesOfALostLinkAreNeverJoined() {
    link.isQuiet(1).sends("6").isGone().sends("2.034 mm\r\n").sends("62.036 mm\r\n");

    try (SourceFeed feed = started()) {
      until(() -> bench.readings().size() == 1);
    }
    assertThat(bench.readings()).containsExactly(62_036_000_000L);
    assertThat(bench.rejections())
        .extracting(FrameRejected::excerpt)
        .containsExactly("6", "2.034 mm");
  }

  @Test
  void aDigitLeftByAPulledCableIsNotPutBeforeTheNextReading() {
    link.isQuiet(1).sends("6").isQuiet(25).sends("62.034 mm\r\n").sends("62.035 mm\r\n");

    try (SourceFeed feed = started()) {
      until(() -> bench.readings().size() == 1);
    }
    assertThat(bench.readings()).containsExactly(62_035_000_000L);
    assertThat(bench.rejections()).extracting(FrameRejected::excerpt).containsExactly("662.034 mm");
  }

  @Test
  void aGaugeMayPauseASecondWithinAFrame() {
    link.isQuiet(1).sends("62.").isQuiet(10).sends("034 mm\r\n");

    try (SourceFeed feed = started()) {
      until(() -> bench.readings().size() == 1);
    }
    assertThat(bench.readings()).containsExactly(62_034_000_000L);
  }

  @Test
  void aSourceSaysOnlyChangesHoweverOftenItTries() {
    link.refusesToOpen("gone").refusesToOpen("gone").refusesToOpen("gone").refusesToOpen("busy");
    link.isQuiet(3).sends("62.034 mm\r\n").isQuiet(3).sends("62.035 mm\r\n").isGone();

    try (SourceFeed feed = started()) {
      until(() -> link.timesOpened() == 2);
      until(() -> bench.changes().size() == 5);
    }
    assertThat(bench.changes())
        .extracting(SourceChanged::connected)
        .containsExactly(false, false, true, false, true);
    assertThat(bench.changes())
        .extracting(SourceChanged::detail)
        .containsExactly(
            "cannot open the scripted link: gone",
            "cannot open the scripted link: busy",
            "connected to scripted",
            "lost scripted",
            "connected to scripted");
    assertThat(bench.changes()).allMatch(change -> change.gauges().equals(List.of("bore-a")));
  }

  @Test
  void aStopIsNoLossAndIsNotSaid() {
    link.isQuiet(1);

    try (SourceFeed feed = started()) {
      until(link::isScriptRead);
      until(() -> bench.count("connected bore-a") == 1);
    }
    assertThat(bench.changes()).hasSize(1);
    assertThat(bench.count("connected bore-a")).isZero();
  }

  @Test
  void aLineThatIsSilentTooLongIsShownAsQuietUntilSomethingComes() {
    link.isQuiet(15).sends("62.034 mm\r\n").isQuiet(9);
    SourceFeed feed = feed(Optional.of(Duration.ofSeconds(1)), link);

    feed.start();
    until(() -> link.isScriptRead() && bench.readings().size() == 1);
    feed.close();

    assertThat(bench.changes())
        .extracting(SourceChanged::detail)
        .containsExactly(
            "connected to scripted", "quiet: nothing came for 1.0 s", "connected to scripted");
    assertThat(bench.changes()).allMatch(SourceChanged::connected);
  }

  @Test
  void aFloodOfGarbageFillsTheCountersAndNotTheJournal() {
    link.isQuiet(1);
    for (int i = 0; i < 5_000; i++) {
      link.sends("garbage\r\n");
    }
    link.isQuiet(11).sends("garbage\r\n62.034 mm\r\n");

    try (SourceFeed feed = started()) {
      until(() -> bench.readings().size() == 1);
    }
    assertThat(bench.count("rejected bore-a no-match")).isEqualTo(5_001);
    assertThat(bench.rejections()).hasSize(11);
    assertThat(bench.rejections().get(10).unpublished()).isEqualTo(4_990);
  }

  @Test
  void anEndlessFrameIsRejectedOnceAndTheNextIsRead() {
    link.isQuiet(1);
    for (int i = 0; i < 2_000; i++) {
      link.sends("x".repeat(1_000));
    }
    link.sends("\r\n62.034 mm\r\n");

    try (SourceFeed feed = started()) {
      until(() -> bench.readings().size() == 1);
    }
    assertThat(bench.rejections()).extracting(FrameRejected::why).containsExactly("too-long");
    assertThat(bench.rejections().get(0).excerpt()).hasSize(64);
    assertThat(bench.count("junk bore-a")).isEqualTo(2_000_000);
  }

  @Test
  void aFaultInTheDriverIsSaidAndTheLinkIsOpenedAgain() {
    link.hasAFault().isQuiet(1).sends("62.034 mm\r\n");

    try (SourceFeed feed = started()) {
      until(() -> bench.readings().size() == 1);
    }
    assertThat(bench.changes())
        .extracting(SourceChanged::connected)
        .containsExactly(true, false, true);
    assertThat(bench.changes().get(1).detail()).contains("fault").contains("a fault in the driver");
  }

  @Test
  void aDriverThatReturnsAtOnceWithNothingHasLostItsDevice() {
    link.isHasty(100).isQuiet(1).sends("62.034 mm\r\n");

    try (SourceFeed feed = started()) {
      until(() -> bench.readings().size() == 1);
    }
    assertThat(link.timesOpened()).isGreaterThan(1);
    assertThat(bench.changes().get(1).connected()).isFalse();
  }

  @Test
  void aFullInboxHoldsTheReadingBackAndLosesNothing() {
    link.isQuiet(1);
    SourceFeed feed = started();
    until(link::isScriptRead);
    bench.fillInbox();
    link.sends("62.034 mm\r\n").sends("62.035 mm\r\n");
    until(() -> link.stepsLeft() == 1);
    assertThat(bench.readings()).isEmpty();
    assertThat(bench.count("overrun bore-a")).isEqualTo(1);

    bench.emptyInbox();

    until(() -> bench.readings().size() == 2);
    assertThat(bench.rejections()).isEmpty();
    feed.close();
  }

  @Test
  void aStopDoesNotWaitForAFullInbox() {
    bench.fillInbox();
    SourceFeed feed = started();
    until(() -> link.timesOpened() == 1);

    assertThat(timeToClose(feed)).isLessThan(CLOSES_WITHIN);
    assertThat(threadsOf("bore-a")).isEmpty();
  }

  @Test
  void aStopDoesNotWaitForADriverThatNeverReturns() throws InterruptedException {
    CountDownLatch reading = new CountDownLatch(1);
    CountDownLatch released = new CountDownLatch(1);
    SourceFeed feed = feed(Optional.empty(), new HangingLink(reading, released));
    feed.start();
    assertThat(reading.await(30, TimeUnit.SECONDS)).isTrue();

    assertThat(timeToClose(feed)).isLessThan(CLOSES_WITHIN);
    released.countDown();
    until(() -> threadsOf("bore-a").isEmpty());
  }

  @Test
  void closingTwiceAndClosingWhatNeverStartedIsHarmless() {
    SourceFeed never = feed(Optional.empty(), link);
    never.close();
    SourceFeed feed = started();
    feed.close();
    feed.close();

    assertThat(threadsOf("bore-a")).isEmpty();
  }

  private SourceFeed started() {
    SourceFeed feed = feed(Optional.empty(), link);
    feed.start();
    return feed;
  }

  private SourceFeed feed(Optional<Duration> quietFor, ByteLink device) {
    PortConfig port =
        SourceBench.port(new PortConfig.Tcp("scripted", 1, Duration.ofSeconds(1)), quietFor);
    return Sources.feed(
        port,
        SourceBench.gauges(),
        device,
        bench,
        bench,
        cell -> false,
        () -> Instant.EPOCH,
        link::nanos,
        new SplittableRandom(7));
  }

  private static Duration timeToClose(SourceFeed feed) {
    long from = System.nanoTime();
    feed.close();
    return Duration.ofNanos(System.nanoTime() - from);
  }

  private static List<String> threadsOf(String source) {
    return Thread.getAllStackTraces().keySet().stream()
        .map(Thread::getName)
        .filter(name -> name.equals("source-" + source))
        .toList();
  }

  /** A driver that hangs in a read, deaf to closing and to interrupts, until the test ends it. */
  private record HangingLink(CountDownLatch reading, CountDownLatch released) implements ByteLink {
    @Override
    public void open() {
      // Opens at once.
    }

    @Override
    public int read(byte[] buffer) {
      reading.countDown();
      boolean over = false;
      while (!over) {
        try {
          over = released.await(1, TimeUnit.MINUTES);
        } catch (InterruptedException ignored) {
          over = false;
        }
      }
      return -1;
    }

    @Override
    public void close() {
      // Deaf.
    }

    @Override
    public boolean isPresent() {
      return true;
    }

    @Override
    public String name() {
      return "hanging";
    }
  }
}
