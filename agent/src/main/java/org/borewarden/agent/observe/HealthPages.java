package org.borewarden.agent.observe;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpHandler;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;

/** The three pages. Any of the server's threads. */
final class HealthPages implements HttpHandler {
  /** A loop that has not turned for longer is not alive; twice a beat's longest excuse. */
  static final Duration TURN_WITHIN = Duration.ofSeconds(2);

  private static final String PLAIN = "text/plain; version=0.0.4; charset=utf-8";
  private static final String OPEN_METRICS =
      "application/openmetrics-text; version=1.0.0; charset=utf-8";
  private static final String JSON = "application/json";
  private static final ObjectMapper MAPPER = new ObjectMapper();

  private final Metrics metrics;
  private final HealthView health;

  HealthPages(Metrics metrics, HealthView health) {
    this.metrics = metrics;
    this.health = health;
  }

  @Override
  public void handle(HttpExchange exchange) throws IOException {
    try (exchange) {
      if (!exchange.getRequestMethod().equals("GET")) {
        exchange.getResponseHeaders().set("Allow", "GET");
        answer(exchange, 405, JSON, status("only GET is served", List.of(), List.of()));
        return;
      }
      switch (exchange.getRequestURI().getPath()) {
        case "/metrics" -> metrics(exchange);
        case "/healthz" -> state(exchange, "not alive", stalled().stream().toList(), List.of());
        case "/readyz" -> state(exchange, "not ready", notReady(), health.warnings());
        default -> answer(exchange, 404, JSON, status("no such page", List.of(), List.of()));
      }
    }
  }

  private void metrics(HttpExchange exchange) throws IOException {
    List<String> accept = exchange.getRequestHeaders().getOrDefault("Accept", List.of());
    boolean open = accept.stream().anyMatch(a -> a.contains("application/openmetrics-text"));
    String type = open ? OPEN_METRICS : PLAIN;
    answer(exchange, 200, type, metrics.scrape(type));
  }

  private static void state(
      HttpExchange exchange, String otherwise, List<String> reasons, List<String> warnings)
      throws IOException {
    if (reasons.isEmpty()) {
      answer(exchange, 200, JSON, status("ok", reasons, warnings));
    } else {
      answer(exchange, 503, JSON, status(otherwise, reasons, warnings));
    }
  }

  private List<String> notReady() {
    List<String> reasons = new ArrayList<>(health.notReadyBecause());
    stalled().ifPresent(reasons::add);
    return reasons;
  }

  private Optional<String> stalled() {
    Duration since = health.sinceLastTurn();
    return since.compareTo(TURN_WITHIN) <= 0
        ? Optional.empty()
        : Optional.of(
            String.format(
                Locale.ROOT,
                "the loop has not turned for %.1f s, expected at most %d s",
                since.toMillis() / 1e3,
                TURN_WITHIN.toSeconds()));
  }

  private static String status(String status, List<String> reasons, List<String> warnings)
      throws IOException {
    Map<String, Object> members = new LinkedHashMap<>();
    members.put("status", status);
    if (!reasons.isEmpty()) {
      members.put("reasons", reasons);
    }
    if (!warnings.isEmpty()) {
      members.put("warnings", warnings);
    }
    return MAPPER.writeValueAsString(members);
  }

  private static void answer(HttpExchange exchange, int code, String type, String text)
      throws IOException {
    byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
    exchange.getResponseHeaders().set("Content-Type", type);
    exchange.getResponseHeaders().set("Cache-Control", "no-store");
    exchange.sendResponseHeaders(code, bytes.length);
    try (OutputStream body = exchange.getResponseBody()) {
      body.write(bytes);
    }
  }
}
