package org.borewarden.agent;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.logging.Level;
import org.borewarden.agent.peers.Chromium;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.MethodOrderer;
import org.junit.jupiter.api.Order;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestMethodOrder;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.By;
import org.openqa.selenium.Keys;
import org.openqa.selenium.OutputType;
import org.openqa.selenium.chrome.ChromeDriver;

/**
 * One shift at the board, in a real browser before the real agent: calm, a drift, a slip of the
 * hand, a hold, a lost connection. Its pictures are those of docs/board.md.
 */
@TestMethodOrder(MethodOrderer.OrderAnnotation.class)
class BoardIT {
  private static final Duration SOON = Duration.ofSeconds(30);
  private static final String AGENT =
      """
      agent: northworks-cell-4
      root: northworks/housings/cell-4
      rules: rules.yaml
      data: data
      ports:
        - id: bench
          tcp: "@GAUGE@"
          pattern: '(?P<input>[0-9]+):(?P<value>[0-9.]+)(?P<status>B)?'
          low-battery: [B]
      gauges:
        - {id: bore-1, port: bench, input: 1, unit: mm}
        - {id: bore-2, port: bench, input: 2, unit: mm}
        - {id: bore-3, port: bench, input: 3, unit: mm}
      cells:
        - id: cell-4
          modbus: {host: 127.0.0.1, port: @CELL@, base: 100, cell-base: 200, answer-within: 1 s, echo-within: 3 s}
      http: off
      site: {zone: Europe/Berlin}
      board: {port: @BOARD@, hands: "on"}
      """;
  private static final String RULES =
      """
      part: housing-31
      features:
        - id: bearing-seat
          gauge: bore-1
          tool: "7"
          nominal: 62.000 mm
          upper: +0.030 mm
          lower: 0 mm
          decision: simple
          uncertainty: {U: 3 um, k: 2}
          watches:
            - forecast: {hold-within: 2 parts, alert-within: 12 parts}
        - id: dowel-hole
          gauge: bore-2
          tool: "3"
          nominal: 12.000 mm
          upper: +0.018 mm
          lower: 0 mm
        - {id: pin-left, gauge: bore-3, tool: "3", nominal: 8.000 mm, upper: +0.015 mm, lower: 0 mm}
        - {id: pin-right, gauge: bore-3, tool: "3", nominal: 8.000 mm, upper: +0.015 mm, lower: 0 mm}
      gauges:
        - {id: bore-3, which: {by: sequence, order: [pin-left, pin-right]}}
      """;

  @TempDir private static Path folder;

  private static BoardShop shop;
  private static ChromeDriver browser;
  private final HttpClient http = HttpClient.newHttpClient();

  @BeforeAll
  static void start() throws Exception {
    browser = Chromium.start(Files.createDirectory(folder.resolve("profile")), 1920, 1080);
    shop = new BoardShop(folder, AGENT, RULES);
    shop.startAgent();
    await().atMost(SOON).until(() -> shop.cell().state().permit());
    browser.get(shop.address());
  }

  @AfterAll
  static void stop() throws Exception {
    if (browser != null) {
      browser.quit();
    }
    if (shop != null) {
      shop.close();
    }
  }

  @Test
  @Order(1)
  void thePageStandsAtOnce() {
    awaitText("h1", "To decide");
    double paint =
        number("return performance.getEntriesByName('first-contentful-paint')[0].startTime");
    System.out.println("first paint after " + Math.round(paint) + " ms");
    assertThat(paint).as("ms to the first paint").isPositive().isLessThan(10_000);
  }

  @Test
  @Order(2)
  void aBoreIsSeenWithoutAReloadInWordsAndInItsPlace() throws Exception {
    go("#/bores");
    shop.send("1:62.024", "2:12.009");
    awaitText("[data-key=bearing-seat] .word", "within");
    assertThat(find("[data-key=bearing-seat] svg").getAttribute("aria-label"))
        .isEqualTo("within; 80 % of the way from the lower to the upper limit");
    awaitText("[data-key=bearing-seat] .size", "62.024 mm");
    browser.findElement(By.cssSelector("#unit option[value=in]")).click();
    // 62.024 mm / 25.4 mm = 2.441890 in.
    awaitText("[data-key=bearing-seat] .size", "2.44189 in");
    browser.findElement(By.cssSelector("#unit option[value=shop]")).click();
    awaitText("[data-key=bearing-seat] .size", "62.024 mm");
  }

  @Test
  @Order(3)
  void aDriftIsToldInPartsThatAreLeft() throws Exception {
    int[] noise = {1, -1, 0, 2, -2, 1, 0, -1, 2, 0, -2, 1, -1, 0, 1, -1, 0};
    for (int i = 0; i < noise.length; i++) {
      shop.send(String.format(Locale.ROOT, "1:62.0%02d", 23 - i + noise[i] / 2));
      shop.send(String.format(Locale.ROOT, "2:12.0%02d", 9 + noise[i]));
    }
    go("#/");
    awaitText("[data-decision='soon/bearing-seat'] .title", "left");
    assertThat(find("[data-decision='soon/bearing-seat'] .next").getText())
        .isEqualTo("Change tool 7 or correct it before then.");
    go("#/bores/bearing-seat");
    awaitText(".forecast", "until the forecast's bound reaches undersize");
    assertThat(find(".chart").getAttribute("aria-label"))
        .contains("Run of the last 18 bores of bearing-seat");
    await().until(() -> browser.findElements(By.cssSelector(".chart canvas")).size() == 1);
    picture("run");
    go("#/bores");
    picture("bores");
  }

  @Test
  @Order(4)
  void aSlipOfTheHandIsTakenBackAtTheGaugeWithTwoTaps() throws Exception {
    go("#/gauge/bore-2");
    awaitText(".verdict", "within");
    picture("gauge");
    find("[data-order=discard]").click();
    awaitText("[data-order=discard]", "Tap again to do it");
    find("[data-order=discard]").click();
    awaitText(".answer", "Done.");
    awaitText(".verdict", "taken back");
    double capHeight =
        number("return parseFloat(getComputedStyle(document.querySelector('.verdict')).fontSize)")
            * 0.7;
    // 22 minutes of arc at 6 m are 38 mm (ISO 9241-303, from memory); a 24-inch screen of 1080
    // lines has 0.277 mm.
    assertThat(capHeight).as("pixels of a capital").isGreaterThan(38 / 0.277);
  }

  @Test
  @Order(5)
  void whoseTurnItIsAndALowBatteryAreSaidAtTheGaugeAndWhatToDoAboutIt() throws Exception {
    go("#/gauge/bore-3");
    awaitExactly(".next-bore strong", "pin-left");
    shop.send("3:8.003");
    awaitExactly(".next-bore strong", "pin-right");
    assertThat(find(".ring").getText())
        .as("the negative control")
        .contains("Connected")
        .doesNotContain("battery");
    shop.send("3:8.004B");
    awaitExactly(".next-bore strong", "pin-left");
    awaitText(".ring", "battery low");
    picture("gauge-sequence");
    go("#/");
    awaitText("[data-decision='battery/bore-3'] .title", "bore-3: battery low");
    awaitText("[data-decision='battery/bore-3'] .next", "Change the battery, then check");
    shop.send("3:8.005");
    await()
        .atMost(SOON)
        .until(() -> browser.findElements(By.cssSelector("[data-decision^=battery]")).isEmpty());
  }

  @Test
  @Order(6)
  void onlyThePageItselfAndOnlyFiveOrdersReachTheInbox() throws Exception {
    assertThat(order("{\"command\":\"discard\"}", "http://elsewhere.example").statusCode())
        .isEqualTo(403);
    assertThat(order("{\"command\":\"discard\"}", "").statusCode()).isEqualTo(403);
    assertThat(order("{\"command\":\"release\",\"cell\":\"cell-4\"}", shop.address()).body())
        .contains("no-right");
    assertThat(order("{\"command\":\"skip\",\"feature\":\"dowel-hole\"}", shop.address()).body())
        .as("the same door as for all: a reason is missing")
        .contains("malformed", "reason");
    HttpResponse<String> page =
        http.send(
            HttpRequest.newBuilder(URI.create(shop.address() + "/")).build(),
            HttpResponse.BodyHandlers.ofString(StandardCharsets.UTF_8));
    assertThat(page.headers().firstValue("Content-Security-Policy"))
        .get()
        .asString()
        .startsWith("default-src 'none'; script-src 'self'; style-src 'self'")
        .doesNotContain("unsafe");
  }

  @Test
  @Order(7)
  void aHeldCellStandsFirstWithWhyAndWhatToHoldBack() throws Exception {
    go("#/");
    shop.send("1:62.041");
    awaitText("[data-decision='held/cell-4'] .title", "cell-4 is held");
    assertThat(find(".line").getAttribute("data-decision")).isEqualTo("held/cell-4");
    assertThat(find("[data-decision='held/cell-4'] .about").getText())
        .contains("oversize (bearing-seat)", "since ");
    awaitText("[data-decision='held/cell-4'] .next", ".");
    picture("held");
    go("#/gauge/bore-1");
    awaitText(".verdict", "oversize");
    picture("gauge-out");
    browser.findElement(By.cssSelector("#language option[value=de]")).click();
    awaitText(".verdict", "zu groß");
    go("#/");
    awaitText("h1", "Zu entscheiden");
    browser.findElement(By.cssSelector("#language option[value=en]")).click();
    awaitText("h1", "To decide");
  }

  @Test
  @Order(8)
  void noViewHasAFaultThatARuleOfAccessibilityKnows() throws Exception {
    String axe;
    try (InputStream script = BoardIT.class.getResourceAsStream("/axe.min.js")) {
      axe = new String(Objects.requireNonNull(script).readAllBytes(), StandardCharsets.UTF_8);
    }
    List<String> faults = new ArrayList<>();
    for (String scheme : List.of("light", "dark")) {
      browser.executeCdpCommand(
          "Emulation.setEmulatedMedia",
          Map.of("features", List.of(Map.of("name", "prefers-color-scheme", "value", scheme))));
      for (String view : List.of("#/", "#/bores", "#/bores/bearing-seat", "#/gauge/bore-1")) {
        go(view);
        awaitText("h1", "");
        browser.executeScript(axe);
        Object found =
            browser.executeAsyncScript(
                "const done = arguments[arguments.length - 1];"
                    + "axe.run().then(r => done(r.violations.map(v => v.id + ': '"
                    + " + v.nodes.map(n => n.html).join(' | '))))");
        ((List<?>) found).forEach(fault -> faults.add(scheme + " " + view + " " + fault));
        if (scheme.equals("dark") && !view.equals("#/")) {
          continue;
        }
        if (scheme.equals("dark")) {
          picture("held-dark");
        }
      }
    }
    assertThat(faults).isEmpty();
    browser.executeCdpCommand("Emulation.setEmulatedMedia", Map.of("features", List.of()));
    go("#/");
    browser.findElement(By.tagName("body")).sendKeys(Keys.TAB);
    browser.switchTo().activeElement().sendKeys(Keys.TAB);
    assertThat(browser.switchTo().activeElement().getTagName()).isEqualTo("a");
  }

  @Test
  @Order(9)
  void aLostConnectionCoversWhatThePageClaimsUntilItIsBack() throws Exception {
    go("#/");
    assertThat(find("#cover").isDisplayed()).as("the negative control").isFalse();
    shop.stopAgent();
    await().atMost(SOON).until(() -> find("#cover").isDisplayed());
    assertThat(find("#cover").getText()).contains("Connection lost");
    assertThat(number("return document.getElementById('main').inert ? 1 : 0")).isEqualTo(1);
    picture("lost");
    shop.startAgent();
    await().atMost(SOON).until(() -> !find("#cover").isDisplayed());
    awaitText("[data-decision='held/cell-4'] .title", "cell-4 is held");
    go("#/bores/bearing-seat");
    awaitText("tbody tr th", "oversize");
  }

  @Test
  @Order(10)
  void aPhoneShowsTheSameInOneColumn() {
    browser.executeCdpCommand(
        "Emulation.setDeviceMetricsOverride",
        Map.of("width", 390, "height", 844, "deviceScaleFactor", 1, "mobile", true));
    go("#/");
    awaitText("[data-decision='held/cell-4'] .title", "cell-4 is held");
    assertThat(number("return document.documentElement.scrollWidth")).isLessThanOrEqualTo(390);
    picture("phone");
    browser.executeCdpCommand("Emulation.clearDeviceMetricsOverride", Map.of());
  }

  @Test
  @Order(11)
  void noRequestLeftTheMachineAndTheBrowserHadNothingToComplainOf() {
    assertThat(Chromium.requests(browser))
        .isNotEmpty()
        .allMatch(url -> url.startsWith(shop.address() + "/"));
    assertThat(browser.manage().logs().get("browser").getAll())
        .filteredOn(entry -> entry.getLevel().intValue() >= Level.WARNING.intValue())
        .as("but that the agent was away")
        .filteredOn(entry -> !entry.getMessage().contains("/events - Failed to load resource"))
        .isEmpty();
  }

  private HttpResponse<String> order(String json, String origin) throws Exception {
    HttpRequest.Builder request =
        HttpRequest.newBuilder(URI.create(shop.address() + "/hands"))
            .header("Content-Type", "application/json")
            .POST(HttpRequest.BodyPublishers.ofString(json, StandardCharsets.UTF_8));
    if (!origin.isEmpty()) {
      request.header("Origin", origin);
    }
    return http.send(request.build(), HttpResponse.BodyHandlers.ofString(StandardCharsets.UTF_8));
  }

  private static void go(String view) {
    browser.executeScript("location.hash = arguments[0]", view);
    await()
        .atMost(SOON)
        .until(
            () ->
                browser
                    .executeScript("return document.querySelector('main h1') !== null")
                    .equals(true));
  }

  private static org.openqa.selenium.WebElement find(String css) {
    return browser.findElement(By.cssSelector(css));
  }

  private static void awaitText(String css, String words) {
    await()
        .atMost(SOON)
        .ignoreExceptions()
        .untilAsserted(() -> assertThat(find(css).getText()).contains(words));
  }

  private static void awaitExactly(String css, String words) {
    await()
        .atMost(SOON)
        .ignoreExceptions()
        .untilAsserted(() -> assertThat(find(css).getText()).isEqualTo(words));
  }

  private static double number(String script) {
    return ((Number) browser.executeScript(script)).doubleValue();
  }

  /** Where pictures go: the build's folder, or that of the docs when they are taken for these. */
  static Path pictures() throws IOException {
    return Files.createDirectories(
        Path.of(System.getProperty("borewarden.pictures", "target/board")));
  }

  private static void picture(String name) {
    try {
      Files.write(pictures().resolve(name + ".png"), browser.getScreenshotAs(OutputType.BYTES));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
