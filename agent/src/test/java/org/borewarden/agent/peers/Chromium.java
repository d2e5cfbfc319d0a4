package org.borewarden.agent.peers;

import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.logging.Level;
import org.openqa.selenium.chrome.ChromeDriver;
import org.openqa.selenium.chrome.ChromeDriverService;
import org.openqa.selenium.chrome.ChromeOptions;
import org.openqa.selenium.logging.LoggingPreferences;

/** Debian's Chromium without a screen, with a profile of its own and nothing to say to others. */
public final class Chromium {
  private Chromium() {}

  /**
   * Starts one.
   *
   * @param profile an empty folder
   * @param width of the window
   * @param height of the window
   * @return the browser; the caller quits it
   */
  public static ChromeDriver start(Path profile, int width, int height) {
    Peers.require("chromium", "chromedriver");
    ChromeOptions options = new ChromeOptions();
    options.setBinary(Peers.program("chromium").toFile());
    options.addArguments(
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--disable-dev-shm-usage",
        "--hide-scrollbars",
        "--lang=en",
        "--window-size=" + width + "," + height,
        "--user-data-dir=" + profile);
    options.setExperimentalOption("prefs", Map.of("intl.accept_languages", "en"));
    LoggingPreferences logs = new LoggingPreferences();
    logs.enable("performance", Level.ALL);
    logs.enable("browser", Level.ALL);
    options.setCapability("goog:loggingPrefs", logs);
    ChromeDriver driver =
        new ChromeDriver(
            new ChromeDriverService.Builder()
                .usingDriverExecutable(Peers.program("chromedriver").toFile())
                .usingAnyFreePort()
                .build(),
            options);
    driver.manage().timeouts().scriptTimeout(Duration.ofMinutes(3));
    return driver;
  }

  /**
   * What its pages asked for since this was last asked.
   *
   * @param driver the browser
   * @return addresses
   */
  public static List<String> requests(ChromeDriver driver) {
    return driver.manage().logs().get("performance").getAll().stream()
        .map(entry -> entry.getMessage())
        .filter(message -> message.contains("\"Network.requestWillBeSent\""))
        .map(message -> message.replaceAll("(?s).*\"request\":\\{.*?\"url\":\"([^\"]*)\".*", "$1"))
        // The browser's own pages and pictures inside a page ask nobody.
        .filter(url -> !url.startsWith("chrome:") && !url.startsWith("data:"))
        .toList();
  }
}
