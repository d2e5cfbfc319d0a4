package org.borewarden.agent;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.concurrent.locks.LockSupport;
import org.borewarden.agent.peers.Chromium;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.By;
import org.openqa.selenium.chrome.ChromeDriver;

/** Fifty features with 20 bores a second, before a browser that counts the frames it drops. */
@EnabledIfSystemProperty(named = "borewarden.long", matches = "true")
@SuppressWarnings("try") // Who waits for the end of a process may be interrupted.
class BoardLoadIT {
  private static final int FEATURES = 50;
  private static final int BORES_PER_SECOND = 20;
  private static final int SECONDS = 30;
  private static final Duration SOON = Duration.ofSeconds(60);

  /** The gaps between frames, and how many of them were over 200 ms. */
  private static final String COUNT =
      """
      const gaps = [];
      window.gaps = gaps;
      let before = performance.now();
      const frame = (now) => { gaps.push(now - before); before = now; if (window.gaps === gaps) requestAnimationFrame(frame); };
      requestAnimationFrame(frame);
      """;

  @TempDir private Path folder;

  @Test
  void noFrameTakesLongerThanAFifthOfASecond() throws Exception {
    long seed = Long.getLong("borewarden.seed", 7);
    System.out.println("seed " + seed);
    ChromeDriver browser =
        Chromium.start(Files.createDirectory(folder.resolve("profile")), 1920, 1080);
    try (BoardShop shop = new BoardShop(folder, agentYaml(), rulesYaml())) {
      shop.startAgent();
      browser.get(shop.address() + "/#/bores");
      await()
          .atMost(SOON)
          .until(() -> browser.findElements(By.cssSelector(".features li")).size() == FEATURES);
      Random random = new Random(seed);
      send(shop, random, 10);
      for (String view : List.of("#/bores", "#/bores/bore-1", "#/")) {
        browser.executeScript("location.hash = arguments[0]", view);
        browser.executeScript(COUNT);
        send(shop, random, SECONDS);
        List<?> gaps = (List<?>) browser.executeScript("return window.gaps");
        double longest = gaps.stream().mapToDouble(g -> ((Number) g).doubleValue()).max().orElse(0);
        System.out.printf(
            Locale.ROOT, "%s: %d frames, the longest %.0f ms%n", view, gaps.size(), longest);
        assertThat(longest).as("ms of the longest frame at %s", view).isLessThan(200);
      }
    } finally {
      browser.quit();
    }
  }

  /** By the clock: the rate is what is tested. */
  private static void send(BoardShop shop, Random random, int seconds) throws Exception {
    long begin = System.nanoTime();
    for (int i = 0; i < seconds * BORES_PER_SECOND; i++) {
      long due = begin + i * 1_000_000_000L / BORES_PER_SECOND;
      while (System.nanoTime() < due) {
        LockSupport.parkNanos(due - System.nanoTime());
      }
      int input = 1 + i % FEATURES;
      shop.send(String.format(Locale.ROOT, "%d:62.%03d", input, 11 + random.nextInt(9)));
    }
  }

  private static String agentYaml() {
    StringBuilder yaml =
        new StringBuilder(
            """
            agent: northworks-cell-4
            root: northworks/housings/cell-4
            rules: rules.yaml
            data: data
            ports:
              - {id: bench, tcp: "@GAUGE@", pattern: '(?P<input>[0-9]+):(?P<value>[0-9.]+)'}
            http: off
            board: {port: @BOARD@}
            gauges:
            """);
    for (int i = 1; i <= FEATURES; i++) {
      yaml.append("  - {id: gauge-%d, port: bench, input: %d, unit: mm}%n".formatted(i, i));
    }
    return yaml.toString();
  }

  private static String rulesYaml() {
    StringBuilder yaml = new StringBuilder("part: housing-31\nfeatures:\n");
    for (int i = 1; i <= FEATURES; i++) {
      yaml.append(
          "  - {id: bore-%d, gauge: gauge-%d, tool: \"%d\", nominal: 62.000 mm, upper: +0.030 mm, lower: 0 mm, watches: [{forecast: {hold-within: 2 parts, alert-within: 5 parts}}]}%n"
              .formatted(i, i, 1 + i % 8));
    }
    return yaml.toString();
  }
}
