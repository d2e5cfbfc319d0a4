package org.borewarden.agent.board;

import com.sun.net.httpserver.Headers;
import com.sun.net.httpserver.HttpExchange;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;

/** Answers of the page's server. */
final class Answer {
  private static final String POLICY =
      "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self';"
          + " form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

  private Answer() {}

  /** What keeps a browser to this page, and others out of it. */
  static void guard(Headers headers) {
    headers.set("Content-Security-Policy", POLICY);
    headers.set("X-Content-Type-Options", "nosniff");
    headers.set("X-Frame-Options", "DENY");
    headers.set("Referrer-Policy", "no-referrer");
    headers.set("Cross-Origin-Opener-Policy", "same-origin");
    headers.set("Cross-Origin-Resource-Policy", "same-origin");
    headers.set("Permissions-Policy", "camera=(), geolocation=(), microphone=(), usb=()");
    headers.set("Cache-Control", "no-store");
  }

  static void text(HttpExchange exchange, int code, String words) throws IOException {
    bytes(exchange, code, "text/plain; charset=utf-8", words.getBytes(StandardCharsets.UTF_8));
  }

  static void json(HttpExchange exchange, int code, String json) throws IOException {
    bytes(exchange, code, "application/json", json.getBytes(StandardCharsets.UTF_8));
  }

  static void bytes(HttpExchange exchange, int code, String type, byte[] body) throws IOException {
    exchange.getResponseHeaders().set("Content-Type", type);
    exchange.sendResponseHeaders(code, body.length == 0 ? -1 : body.length);
    try (OutputStream out = exchange.getResponseBody()) {
      out.write(body);
    }
  }
}
