package org.borewarden.agent;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.borewarden.agent.board.Board;
import org.borewarden.agent.board.BoardServer;
import org.borewarden.agent.board.EmptyJournal;
import org.borewarden.agent.board.Glance;
import org.borewarden.agent.config.BoardConfig;
import org.borewarden.agent.faults.Shop;
import org.borewarden.agent.peers.Chromium;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Engine;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.By;
import org.openqa.selenium.OutputType;
import org.openqa.selenium.chrome.ChromeDriver;

/** What the page says while the loop turns, and while it stands still behind a live connection. */
class BlindBoardIT {
  private static final Duration SOON = Duration.ofSeconds(30);

  @TempDir private Path folder;

  /** A loop that a test stops and lets go on. */
  private static final class Turning implements Glance {
    private final State state;
    private volatile Optional<Instant> stoodSince = Optional.empty();

    Turning(State state) {
      this.state = state;
    }

    @Override
    public Seen seen() {
      return new Seen(state, OptionalLong.of(1));
    }

    @Override
    public Duration sinceTurn() {
      return stoodSince.map(since -> Duration.between(since, Instant.now())).orElse(Duration.ZERO);
    }

    @Override
    public List<String> refusedLines() {
      return List.of();
    }
  }

  @Test
  void whatIsOldShowsAsOldTheHoldAfterTwoBeatsAndTheRestAfterTenSeconds() throws Exception {
    Turning loop = new Turning(calm());
    BoardServer.letStreamsLive();
    try (Board board =
            new Board(
                "northworks-cell-4",
                false,
                loop,
                new EmptyJournal(),
                Instant::now,
                System::nanoTime);
        BoardServer server =
            BoardServer.start(
                new BoardConfig(
                    "127.0.0.1", 0, Optional.empty(), Optional.empty(), false, Optional.empty()),
                ZoneOffset.UTC,
                board,
                Optional.empty(),
                System::nanoTime)) {
      board.start();
      ChromeDriver browser =
          Chromium.start(Files.createDirectory(folder.resolve("profile")), 1920, 1080);
      try {
        browser.get("http://127.0.0.1:" + server.port());
        awaitText(browser, ".calm", "Nothing to decide.");
        Files.write(
            BoardIT.pictures().resolve("calm.png"), browser.getScreenshotAs(OutputType.BYTES));

        Instant stood = Instant.now();
        loop.stoodSince = Optional.of(stood);
        awaitText(browser, "[data-decision=hold-unknown] .title", "The hold is not known");
        assertThat(shown(browser, ".calm")).as("never fine").isFalse();

        await().atMost(SOON).until(() -> shown(browser, ".stale"));
        assertThat(Duration.between(stood, Instant.now())).isGreaterThan(Duration.ofSeconds(9));
        assertThat(shown(browser, "#cover")).as("the connection stands").isFalse();

        loop.stoodSince = Optional.empty();
        awaitText(browser, ".calm", "Nothing to decide.");
      } finally {
        browser.quit();
      }
    }
  }

  private static State calm() {
    State state = State.initial();
    long seq = 0;
    for (Event event :
        List.of(Shop.started(1, true), Shop.rulesLoaded(), Shop.source(true), Shop.reading(1, 0))) {
      seq += 100;
      Step step = Engine.step(state, new Stamped(seq, Instant.now(), event));
      state = step.next();
      for (Decision decision : step.decisions()) {
        if (decision instanceof Decision.HoldChanged changed
            && changed.grantPending().isPresent()) {
          seq += 100;
          Event granted = new Event.GrantSynced(Shop.CELL, changed.grantPending().get());
          state = Engine.step(state, new Stamped(seq, Instant.now(), granted)).next();
        }
      }
    }
    return state;
  }

  private static boolean shown(ChromeDriver browser, String css) {
    return browser.findElement(By.cssSelector(css)).isDisplayed();
  }

  private static void awaitText(ChromeDriver browser, String css, String words) {
    await()
        .atMost(SOON)
        .ignoreExceptions()
        .untilAsserted(
            () ->
                assertThat(browser.findElement(By.cssSelector(css)).getText())
                    .as(() -> browser.findElement(By.tagName("body")).getText())
                    .contains(words));
  }
}
